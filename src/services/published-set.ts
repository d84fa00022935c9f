import { AppError } from '../errors.ts'
import { parseQuery, type Query } from '../fhir/query.ts'
import type { Handling } from '../fhir/query-reading.ts'
import { parameterFault } from '../fhir/query-values.ts'
import { rowOf } from '../fhir/registry.ts'
import { hasFilters } from '../fhir/search-filter.ts'
import type { Context } from './context.ts'
import { publishedMatches } from './published.ts'
import { publishedCompany } from './published-company.ts'
import { publishedPage } from './published-page.ts'
import { keptType } from './resources.ts'
import { nextLink, placeOf, selfLink } from './search-links.ts'
import { readingOf } from './search-plan.ts'
import { searchSetOf } from './search-set.ts'

export interface PublishedSearch {
  readonly type: string
  readonly parameters: readonly (readonly [string, string])[]
  readonly handling: Handling
}

/**
 * A search of what the service publishes about itself; open to everybody, so nothing that is kept is looked
 * into.
 *
 * @returns a searchset Bundle as JSON
 */
export function publishedSet(
  context: Context,
  { type, parameters, handling }: PublishedSearch,
): string {
  const query = parseQuery(keptType(type), parameters, { ...readingOf(context), handling })
  refuseKept(query)
  const asked = { path: type, query }
  const place = placeOf(context, undefined, asked)
  const all = publishedMatches(context, query)
  const { shown, end } = publishedPage(all, query, { place, room: query.count })
  const company = publishedCompany(context, query.includes, shown)
  const until = place?.until ?? context.now().toISOString()
  return searchSetOf({
    baseUrl: context.baseUrl,
    self: selfLink(context, asked),
    next: nextLink(context, undefined, asked, { end, until }),
    total: all.length,
    found: shown,
    included: company.filter((one) => isOpen(one.type)),
    query,
    isOpenOnly: query.includes.some(({ kind, type: of }) => kind === 'revinclude' && !isOpen(of)),
  })
}

const isOpen = (type: string): boolean => rowOf(type)?.published === true

/** What is kept is searched with a token alone; of what would come along, it is left out, which is told. */
function refuseKept({ searches }: Query): void {
  if (searches.every(({ filters }) => hasFilters(filters).length === 0)) return
  throw new AppError('invalid-request', 'The search cannot be executed.', [
    parameterFault(
      '_has',
      'not-supported',
      'What is kept is not looked into by a search that is open to everybody.',
    ),
  ])
}
