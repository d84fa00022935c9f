import { type Filter, type HasFilter, hasFilters } from '../fhir/search-filter.ts'
import type { Query } from '../fhir/query.ts'
import type { Caller } from '../security/access-token.ts'
import { searchMatches } from '../storage/search.ts'
import type { Asking } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { namesOf, type Published, publishedMatches, publishedResources } from './published.ts'

const hasFiltersOf = ({ searches }: Pick<Query, 'searches'>): HasFilter[] =>
  searches.flatMap(({ filters }) => hasFilters(filters))

/** Must the database be asked which resources that are published here it finds? */
export function asksAboutPublished(context: Context, query: Pick<Query, 'searches'>): boolean {
  if (hasFiltersOf(query).length === 0) return false
  const types = new Set(query.searches.map(({ type }) => type))
  return publishedResources(context).some(({ type }) => types.has(type))
}

/** What a search finds of what is published; what is kept and refers to it may decide (`_has`). */
export async function publishedFound(
  tx: Asking,
  context: Context,
  caller: Caller,
  query: Query,
): Promise<readonly Published[]> {
  const asked = hasFiltersOf(query)
  if (asked.length === 0) return publishedMatches(context, query)
  const referred = new Map<HasFilter, ReadonlySet<Published>>()
  const candidates = publishedMatches(context, query, () => true)
  for (const filter of asked) {
    const found = new Set<Published>()
    for (const one of candidates)
      if (await isReferredTo(tx, caller, { query, filter, one })) found.add(one)
    referred.set(filter, found)
  }
  return publishedMatches(
    context,
    query,
    (filter, one) => filter.kind === 'has' && referred.get(filter)?.has(one) === true,
  )
}

async function isReferredTo(
  tx: Asking,
  caller: Caller,
  {
    query,
    filter: { type, atoms, filter },
    one,
  }: { readonly query: Query; readonly filter: HasFilter; readonly one: Published },
): Promise<boolean> {
  const refers: Filter = { kind: 'reference', atoms, values: namesOf(one) }
  const search = { ...query, sort: [], searches: [{ type, filters: [refers, filter] }] }
  return (await searchMatches(tx, caller, search, 1)).length > 0
}
