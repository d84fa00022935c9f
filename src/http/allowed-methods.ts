import type { FastifyInstance } from 'fastify'
import { rowOf } from '../fhir/registry.ts'
import type { Interaction } from '../fhir/registry-row.ts'

/** Which methods an address has, as the header Allow names them; none where there is nothing at all. */
export type AllowedMethods = (path: string) => readonly string[]

interface Pattern {
  readonly segments: readonly string[]
  readonly methods: readonly string[]
}

/** What the registry must have for a method at an address of the FHIR base. */
const INTERACTION: Readonly<Record<string, Readonly<Record<string, Interaction>>>> = {
  '/:type': {
    GET: 'search-type',
    HEAD: 'search-type',
    POST: 'create',
    PUT: 'update',
    PATCH: 'patch',
    DELETE: 'delete',
  },
  '/:type/_search': { POST: 'search-type' },
  '/:type/_history': { GET: 'history-type', HEAD: 'history-type' },
  '/:type/:id': { GET: 'read', HEAD: 'read', PUT: 'update', PATCH: 'patch', DELETE: 'delete' },
  '/:type/:id/_history': { GET: 'history-instance', HEAD: 'history-instance' },
  '/:type/:id/_history/:version': { GET: 'vread', HEAD: 'vread' },
}

const FHIR = '/fhir'
const FORMS: Readonly<Record<string, RegExp>> = {
  ':type': /^[A-Z][A-Za-z]+$/,
  ':id': /^[A-Za-z0-9\-.]{1,64}$/,
}

/** Listens to the routes that are registered from now on. */
export function allowedMethods(app: FastifyInstance): AllowedMethods {
  const patterns: Pattern[] = []
  const bases = new Set<string>()
  app.addHook('onRoute', ({ url, method }) => {
    if (url.includes('*')) return
    if (url.endsWith('/')) bases.add(bare(url))
    patterns.push({ segments: bare(url).split('/'), methods: [method].flat() })
  })
  return (path) => {
    const sent = path.split('?')[0] ?? ''
    // A slash at the end makes another address, but of a base.
    const parts = (bases.has(bare(sent)) ? bare(sent) : sent).split('/')
    const found = patterns.filter(({ segments }) => fits(segments, parts))
    return [...new Set(found.flatMap(({ segments, methods }) => offered(segments, methods, parts)))]
  }
}

const bare = (path: string): string => path.replace(/\/$/, '')

const fits = (segments: readonly string[], parts: readonly string[]): boolean =>
  segments.length === parts.length &&
  segments.every((segment, index) => {
    const part = parts[index] ?? ''
    return segment.startsWith(':') ? formOf(segment).test(part) : segment === part
  })

/** A parameter may carry its form: `:name(^[A-Z]+$)`. */
function formOf(segment: string): RegExp {
  const own = /^:\w+\((.+)\)$/.exec(segment)?.[1]
  return own === undefined ? (FORMS[segment] ?? /./) : new RegExp(own)
}

function offered(
  segments: readonly string[],
  methods: readonly string[],
  parts: readonly string[],
): readonly string[] {
  const at = segments.indexOf(':type')
  if (at < 0) return methods
  const row = rowOf(parts[at] ?? '')
  if (row === undefined) return []
  const needed = INTERACTION[segments.join('/').slice(FHIR.length)]
  if (needed === undefined) return methods
  return methods.filter((method) => {
    const interaction = needed[method]
    return interaction !== undefined && row.interactions.includes(interaction)
  })
}
