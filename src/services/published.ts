import { publishedDefinitions } from '../fhir/conformance/published.ts'
import { writeJson } from '../fhir/decimal.ts'
import { type LinkFilter, matches } from '../fhir/matches.ts'
import type { Query } from '../fhir/query.ts'
import type { Resource } from '../fhir/r4/types.ts'
import type { ReferenceCriterion } from '../fhir/search-filter.ts'
import type { SearchValues } from '../fhir/search-index.ts'
import { searchValues } from '../fhir/search-values.ts'
import { PUBLISHED_ON } from '../fhir/conformance/publication.ts'
import { capabilities } from './capabilities.ts'
import { type Context, softwareOf } from './context.ts'
import type { Kept } from './write.ts'

/** One of the resources by which the service describes itself, the same for everybody. */
export interface Published extends Kept {
  readonly resource: Resource
  /** What it is found by. */
  readonly values: SearchValues
}

const UPDATED_AT = `${PUBLISHED_ON}T00:00:00.000Z`
interface PublishedSet {
  readonly inOrder: readonly Published[]
  readonly byName: ReadonlyMap<string, Published>
}

const BY_CONTEXT = new WeakMap<Context, PublishedSet>()

interface Named {
  readonly type: string
  readonly id: string
}

const nameOf = ({ type, id }: Named): string => `${type}/${id}`

/** All of them, made once for a process, in the order of their types and ids. */
function published(context: Context): PublishedSet {
  const known = BY_CONTEXT.get(context)
  if (known !== undefined) return known
  const { statement } = capabilities(context)
  const { version } = softwareOf(context)
  const made = [{ ...statement, id: 'footing' }, ...publishedDefinitions(version)].map(
    (resource): Published => {
      const { resourceType: type, id = '', ...rest } = resource
      const meta = { versionId: '1', lastUpdated: UPDATED_AT }
      const body = writeJson({ resourceType: type, id, meta, ...rest })
      const values = searchValues({ type, id, baseUrl: context.baseUrl }, resource)
      return { type, id, version: 1, updatedAt: UPDATED_AT, body, resource, values }
    },
  )
  const inOrder = made.toSorted((a, b) => (nameOf(a) < nameOf(b) ? -1 : 1))
  const byName = new Map(inOrder.map((one) => [nameOf(one), one]))
  const all = { inOrder, byName }
  BY_CONTEXT.set(context, all)
  return all
}

export const publishedResources = (context: Context): readonly Published[] =>
  published(context).inOrder

export const publishedResource = (context: Context, named: Named): Published | undefined =>
  published(context).byName.get(nameOf(named))

/**
 * What a search finds of them, in the order of their types and ids.
 *
 * @param decides what other resources decide; nothing published refers to what is kept, so no chain leads there
 */
export function publishedMatches(
  context: Context,
  query: Pick<Query, 'searches'>,
  decides: (filter: LinkFilter, one: Published) => boolean = () => false,
): readonly Published[] {
  const types = new Set(query.searches.map(({ type }) => type))
  return publishedResources(context)
    .filter(({ type }) => types.has(type))
    .filter((one) => matches(query, one, (filter) => decides(filter, one)))
}

/** Those that a canonical names. */
export const canonicalKeys = (
  context: Context,
): { readonly type: string; readonly id: string; readonly url: string }[] =>
  publishedResources(context).flatMap(({ type, id, resource }) =>
    'url' in resource && resource.url !== undefined ? [{ type, id, url: resource.url }] : [],
  )

/** How references name it: by type and id, and by its canonical, with or without the version. */
export function namesOf({ type, id, resource }: Published): ReferenceCriterion[] {
  const url = 'url' in resource ? resource.url : undefined
  return [
    { kind: 'own', type, id },
    ...(url === undefined ? [] : [{ kind: 'elsewhere' as const, url }]),
  ]
}
