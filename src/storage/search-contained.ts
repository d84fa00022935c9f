import { containedQuestions } from '../fhir/contained-filter.ts'
import type { Filter } from '../fhir/search-filter.ts'
import type { TypedColumns } from '../fhir/search-params.ts'
import { type Branch, rows } from './search-branch.ts'
import { branchesOf, type PlainFilter } from './search-branches.ts'
import { presentBranches } from './search-presence.ts'
import type { Subject } from './search-subject.ts'

/** No value of what is contained has a column. */
const NO_COLUMNS: TypedColumns = { date: [] }

/** The chain leads to a resource that is contained, and this fulfils the filter. */
export function containedBranches(
  { sql, asks }: Subject,
  chain: Extract<Filter, { kind: 'chain' }>,
): Branch[] {
  return containedQuestions(chain).flatMap(({ isThere, filter }) => {
    if (isPlain(filter)) return branchesOf(sql, NO_COLUMNS, filter)
    return presentBranches(sql, NO_COLUMNS, isThere).flatMap((branch) =>
      branch.kind === 'column'
        ? []
        : [rows(branch.table, (row) => `${branch.condition(row)} and ${asks(filter, row)}`)],
    )
  })
}

/** A value alone answers it, and then it stands in what is contained. */
function isPlain(filter: Filter): filter is PlainFilter {
  switch (filter.kind) {
    case 'token':
      return !filter.negated
    case 'reference':
    case 'string':
    case 'uri':
    case 'date':
    case 'quantity':
    case 'pair':
      return true
    default:
      return false
  }
}
