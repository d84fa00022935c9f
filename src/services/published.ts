import { publishedDefinitions } from '../fhir/conformance/published.ts'
import { writeJson } from '../fhir/decimal.ts'
import { matches } from '../fhir/matches.ts'
import type { Query } from '../fhir/query.ts'
import type { Resource } from '../fhir/r4/types.ts'
import { searchValues } from '../fhir/search-values.ts'
import { PUBLISHED_ON } from '../fhir/conformance/publication.ts'
import { capabilities } from './capabilities.ts'
import { type Context, softwareOf } from './context.ts'
import type { Kept } from './write.ts'

/** One of the resources by which the service describes itself, the same for everybody. */
export interface Published extends Kept {
  readonly resource: Resource
}

const UPDATED_AT = `${PUBLISHED_ON}T00:00:00.000Z`
const BY_CONTEXT = new WeakMap<Context, readonly Published[]>()

/** All of them, made once for a process. */
export function publishedResources(context: Context): readonly Published[] {
  const known = BY_CONTEXT.get(context)
  if (known !== undefined) return known
  const { statement } = capabilities(context)
  const { version } = softwareOf(context)
  const made = [{ ...statement, id: 'footing' }, ...publishedDefinitions(version)].map(
    (resource): Published => {
      const { resourceType: type, id = '', ...rest } = resource
      const meta = { versionId: '1', lastUpdated: UPDATED_AT }
      const body = writeJson({ resourceType: type, id, meta, ...rest })
      return { type, id, version: 1, updatedAt: UPDATED_AT, body, resource }
    },
  )
  BY_CONTEXT.set(context, made)
  return made
}

export const publishedResource = (
  context: Context,
  { type, id }: { readonly type: string; readonly id: string },
): Published | undefined =>
  publishedResources(context).find((one) => one.type === type && one.id === id)

/** What a search finds of them, in the order of their ids. */
export function publishedMatches(context: Context, query: Query): readonly Published[] {
  const types = new Set(query.searches.map(({ type }) => type))
  return publishedResources(context)
    .filter(({ type }) => types.has(type))
    .filter(({ type, id, updatedAt, resource }) =>
      matches(
        query,
        {
          type,
          id,
          updatedAt,
          values: searchValues({ type, id, baseUrl: context.baseUrl }, resource),
        },
        () => false,
      ),
    )
    .toSorted((a, b) => (a.id < b.id ? -1 : 1))
}
