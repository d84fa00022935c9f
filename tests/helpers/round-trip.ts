import { z } from 'zod'
import { writeJson } from '../../src/fhir/decimal.ts'
import { parseText } from '../../src/fhir/json-body.ts'
import { rowOf } from '../../src/fhir/registry.ts'
import type { Json } from './referral.ts'
import { type Answer, resources, type TestService, type Who } from './service.ts'

// What is sent comes back: resources as text, so that the digits of their numbers are compared too.

export const ELSEWHERE = 'https://other.example/fhir'
const JsonObject = z.record(z.string(), z.unknown())
const Identifier = z.object({ system: z.string().optional(), value: z.string() })

/** The object with its numbers as they are written. */
function read(text: string): Json {
  const parsed = parseText(text)
  if (!parsed.ok) throw new Error('This is no JSON')
  return JsonObject.parse(parsed.value)
}

/** Without what the service sets. */
export function content(text: string): Json {
  const { id: _id, meta, ...rest } = read(text)
  const { versionId: _version, lastUpdated: _updated, ...kept } = JsonObject.parse(meta ?? {})
  return Object.keys(kept).length === 0 ? rest : { ...rest, meta: kept }
}

/** The same with an element that every resource may have. */
export const changedText = (place: string, text: string): string =>
  writeJson({ ...read(text), id: place.split('/')[1], language: 'de-AT' })

/** What it refers to is not here: it is another server's. */
export const pointingElsewhere = (text: string): string =>
  text.replaceAll(/("reference"\s*:\s*")([A-Z]\w+\/)/g, `$1${ELSEWHERE}/$2`)

export const typeOf = (text: string): string => String(read(text)['resourceType'])
export const mayDo = (type: string, interaction: 'create' | 'update' | 'delete'): boolean =>
  rowOf(type)?.interactions.includes(interaction) ?? false

const escaped = (text: string) => encodeURIComponent(text.replaceAll(/[\\,$|]/g, '\\$&'))

/** The first identifier, as it is searched for. */
function identifierIn(text: string): string | undefined {
  const { identifier, resourceType } = read(text)
  const isSearched = rowOf(String(resourceType))?.search.some(({ code }) => code === 'identifier')
  const first = Identifier.safeParse(Array.isArray(identifier) ? identifier[0] : identifier)
  if (isSearched !== true || !first.success) return undefined
  return `${escaped(first.data.system ?? '')}|${escaped(first.data.value)}`
}

export interface Seen {
  readonly status: number
  readonly content: Json | undefined
  /** `Type/id` of what a search by its id finds. */
  readonly byId: readonly string[]
  /** Is it found by its identifier? Yes where it has none. */
  readonly byIdentifier: boolean
}

/** How a resource that is kept at a place is seen by one who knows what was sent. */
export const expected = (place: string, text: string): Seen => ({
  status: 200,
  content: content(text),
  byId: [place],
  byIdentifier: true,
})

export interface RoundTrip {
  readonly send: (
    method: 'POST' | 'PUT' | 'DELETE',
    url: string,
    body?: string,
    headers?: Record<string, string>,
  ) => Promise<Answer>
  readonly seen: (place: string, text: string) => Promise<Seen>
  readonly isGone: (place: string) => Promise<boolean>
}

export function roundTrip(service: TestService, who: Who): RoundTrip {
  // A Binary is asked for as a resource, or its bytes would come.
  const get = (url: string): Promise<Answer> =>
    service.send(who, { url: `/fhir/${url}`, headers: { accept: 'application/fhir+json' } })
  const found = async (query: string): Promise<string[]> =>
    resources(await get(query)).map(
      ({ resourceType, id }) => `${String(resourceType)}/${String(id)}`,
    )
  const byId = (place: string) => found(place.replace('/', '?_id='))

  return {
    send: (method, url, body, headers = {}) =>
      service.send(who, {
        method,
        url: url === '' ? '/fhir' : `/fhir/${url}`,
        headers,
        ...(body === undefined ? {} : { body }),
      }),
    seen: async (place, text) => {
      const answer = await get(place)
      const identifier = identifierIn(text)
      const query = `${typeOf(text)}?identifier=${identifier ?? ''}&_count=200`
      return {
        status: answer.status,
        content: answer.status === 200 ? content(answer.text) : undefined,
        byId: await byId(place),
        byIdentifier: identifier === undefined || (await found(query)).includes(place),
      }
    },
    isGone: async (place) => (await get(place)).status === 410 && (await byId(place)).length === 0,
  }
}
