import type { TypeSearch } from '../fhir/query.ts'
import type { Filter } from '../fhir/search-filter.ts'
import { presentBranches } from './search-presence.ts'
import type { SearchStatement } from './search-statement.ts'
import { columnsOf, scopeOf } from './search-subject.ts'

/** Up to so many rows lead to the resources; where there are more, each resource is asked for its own. */
const FEW = 1_000

/** One of several ways to the same matches; the database takes the one whose gate is open. */
export interface Variant {
  /** Holds for the whole statement, no row of it is named. */
  readonly gate: string
  /** Of this filter few resources have a value. */
  readonly fewHave?: Filter
}

const ONLY: readonly Variant[] = [{ gate: 'true' }]

/**
 * That a parameter has a value (`:missing=false`) is true of nearly all resources or of a few; which of the
 * two is seen when it is asked. A partner's are asked each, they are not all of the clinic.
 */
export function variantsOf(
  sql: SearchStatement,
  clinicId: string,
  { type, filters }: TypeSearch,
): readonly Variant[] {
  const asked = filters.find((filter) => filter.kind === 'missing' && !filter.missing)
  if (asked?.kind !== 'missing' || sql.partnerId !== undefined) return ONLY
  const branches = presentBranches(sql, columnsOf(type), asked)
  const inRows = branches.filter((branch) => branch.kind === 'rows')
  // What has a column of its own is there mostly.
  if (inRows.length < branches.length || inRows.length === 0) return ONLY
  const counts = inRows.map((branch) => {
    const row = sql.alias('x')
    return `(select count(*) from (select from ${branch.table} ${row}
      where ${scopeOf({ sql, clinicId, type }, row)} and ${branch.condition(row)} limit ${FEW}) q)`
  })
  const count = counts.join(' + ')
  return [{ gate: `${count} >= ${FEW}` }, { gate: `${count} < ${FEW}`, fewHave: asked }]
}
