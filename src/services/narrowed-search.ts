import { filterOf, UNKNOWN } from '../fhir/query-parameters.ts'
import type { Given, Reading } from '../fhir/query-reading.ts'
import type { ResourceTypeRow } from '../fhir/registry-row.ts'
import type { Filter } from '../fhir/search-filter.ts'
import { narrowingOf, type Scope } from '../security/scopes.ts'

/**
 * What the scopes leave of a type, as filters of a search: the policy hides the rest anyway, these lead to an
 * index.
 */
export const narrowingFilters = (
  scopes: readonly Scope[],
  row: ResourceTypeRow,
  reading: Omit<Reading, 'handling'>,
): Filter[] =>
  narrowingOf(scopes, row.type).map((queries) => ({
    kind: 'any',
    filters: queries.map((query) => ({ kind: 'all', filters: filtersOf(row, query, reading) })),
  }))

function filtersOf(
  row: ResourceTypeRow,
  query: string,
  reading: Omit<Reading, 'handling'>,
): Filter[] {
  return [...new URLSearchParams(query)].map(([sentAs, value]): Filter => {
    const given: Given = { sentAs, value, reading: { ...reading, handling: 'strict' }, faults: [] }
    const filter = filterOf(row, sentAs, given)
    // What cannot be read finds nothing.
    return filter === undefined || filter === UNKNOWN ? { kind: 'any', filters: [] } : filter
  })
}
