import type { TypeSearch } from '../fhir/query.ts'
import type { Filter } from '../fhir/search-filter.ts'
import type { Branch } from './search-branch.ts'
import { branchesOf, type PlainFilter } from './search-branches.ts'
import { chainBranches, hasCondition } from './search-chains.ts'
import { instantCondition } from './search-ranges.ts'
import { presentBranches } from './search-presence.ts'
import { allOf, anyOf, type SearchStatement } from './search-statement.ts'
import {
  columnsOf,
  isIdentifier,
  leavesFew,
  scopeOf,
  type Subject,
  type TokenFilter,
  type Way,
} from './search-subject.ts'

/** What holds of a resource that a search finds: clinic and type first, as every index has them. */
export function conditionsOf(
  sql: SearchStatement,
  clinicId: string,
  { type, filters, ways }: TypeSearch & Pick<Subject, 'ways'>,
  resource: string,
): string {
  const subject: Subject = {
    sql,
    clinicId,
    type,
    resource,
    few: filters.some(leavesFew),
    ways,
    holds: (search, other) => conditionsOf(sql, clinicId, search, other),
    asks: (filter, row) => conditionOf({ ...subject, few: false, resource: row }, filter),
  }
  return [
    scopeOf(subject, resource),
    `not ${resource}.deleted`,
    ...filters.map((filter) => conditionOf(subject, filter)),
  ].join(' and ')
}

function conditionOf(subject: Subject, filter: Filter): string {
  const { sql, resource } = subject
  const way = subject.ways?.get(filter)
  switch (filter.kind) {
    case 'id':
      return sql.equals(`${resource}.id`, filter.ids)
    case 'last-updated':
      return anyOf(
        filter.values.map((value) => instantCondition(sql, `${resource}.updated_at`, value)),
      )
    case 'token':
      return filter.negated
        ? noneOf(subject, plainBranches(subject, filter))
        : byWay(subject, plainBranches(subject, filter), way ?? { kind: usualWay(filter) })
    case 'string':
      return byWay(
        subject,
        plainBranches(subject, filter),
        way ?? { kind: isOfEach(subject, filter) ? 'each' : 'lead' },
      )
    case 'reference':
    case 'uri':
    case 'date':
    case 'quantity':
    case 'pair':
      return byWay(subject, plainBranches(subject, filter), way ?? { kind: 'lead' })
    case 'missing': {
      const branches = presentBranches(sql, columnsOf(subject.type), filter)
      if (filter.missing) return noneOf(subject, branches)
      // Nearly all have one, mostly: it is asked of each resource, until a page is full.
      return byWay(subject, branches, way ?? { kind: 'each' })
    }
    case 'chain':
      return someOf(subject, chainBranches(subject, columnsOf(subject.type), filter))
    case 'has':
      return hasCondition(subject, filter)
    case 'all':
      return allOf(filter.filters.map((one) => conditionOf(subject, one)))
    case 'any':
      return eitherOf(subject, filter.filters)
  }
}

/**
 * A plan that was made while the tables were nearly empty, and is kept, would look up an identifier anew for each
 * resource; an array is made once, whatever the plan.
 */
const usualWay = (filter: TokenFilter): 'lead' | 'lead-alone' =>
  isIdentifier(filter) && filter.values.every(({ code }) => code !== undefined)
    ? 'lead-alone'
    : 'lead'

/** No index leads to the middle of a text: of a partner it is looked for in what it has alone. */
const isOfEach = ({ sql }: Subject, { values }: Extract<Filter, { kind: 'string' }>): boolean =>
  sql.partnerId !== undefined && values.some(({ match }) => match === 'contains')

const plainBranches = (subject: Subject, filter: PlainFilter): Branch[] =>
  branchesOf(subject.sql, columnsOf(subject.type), filter)

function byWay(subject: Subject, branches: readonly Branch[], way: Way): string {
  if (way.kind === 'column')
    return eachOf(subject, plainBranches(subject, way.part).filter(isColumn))
  if (way.kind !== 'rows') return BY_BRANCHES[way.kind](subject, branches)
  const inRows = branches.filter((branch) => !isColumn(branch))
  return allOf([BY_BRANCHES[way.by](subject, inRows), noneOf(subject, branches.filter(isColumn))])
}

const isColumn = ({ kind }: Branch): boolean => kind === 'column'

/** Any branch is enough. */
function someOf(subject: Subject, branches: readonly Branch[]): string {
  const columns = branches.filter((branch) => branch.kind === 'column')
  const inRows = branches.filter((branch) => branch.kind === 'rows')
  if (inRows.length === 0 || (columns.length > 0 && subject.few)) return eachOf(subject, branches)
  const selects = [
    ...(columns.length === 0
      ? []
      : [
          resourcesWith(subject, (other) =>
            anyOf(columns.map(({ condition }) => condition(other))),
          ),
        ]),
    ...inRows.map((branch) => idsIn(subject, branch)),
  ]
  return `${subject.resource}.id in (${selects.join(' union all ')})`
}

/** The same where nothing else leads further: an array does whatever the statistics of the tables say. */
function ledBy(subject: Subject, branches: readonly Branch[]): string {
  const selects = branches.flatMap((branch) =>
    branch.kind === 'rows' ? [idsIn(subject, branch)] : [],
  )
  if (selects.length === 0) return 'false'
  return `${subject.resource}.id = any(array(${selects.join(' union all ')}))`
}

function idsIn(subject: Subject, branch: Extract<Branch, { kind: 'rows' }>): string {
  const row = subject.sql.alias('x')
  return `select ${row}.id from ${branch.table} ${row} where ${scopeOf(subject, row)} and ${branch.condition(row)}`
}

/** The same, looked up for each resource. */
const eachOf = (subject: Subject, branches: readonly Branch[]): string =>
  anyOf(
    branches.map((branch) =>
      branch.kind === 'column'
        ? branch.condition(subject.resource)
        : // OFFSET keeps it from being looked up for all resources at once.
          `exists (${ownRows(subject, branch)} offset 0)`,
    ),
  )

/** How branches find their resources, when all of them are of the same kind of way. */
const BY_BRANCHES = { each: eachOf, lead: someOf, 'lead-alone': ledBy } as const

/** No branch holds, also where there is no value; where an index leads to an empty column, the rest is asked. */
function noneOf(subject: Subject, branches: readonly Branch[]): string {
  const each = branches.some(({ kind }) => kind === 'column') ? ' offset 0' : ''
  return allOf(
    branches.map((branch) =>
      branch.kind === 'column'
        ? (branch.absence?.(subject.resource) ??
          `(${branch.condition(subject.resource)}) is not true`)
        : `not exists (${ownRows(subject, branch)}${each})`,
    ),
  )
}

/** Alternatives of different kinds: the resources of each, so that each finds its own index. */
function eitherOf(subject: Subject, filters: readonly Filter[]): string {
  const [first] = filters
  if (filters.length < 2) return first === undefined ? 'false' : conditionOf(subject, first)
  if (subject.few) return anyOf(filters.map((filter) => conditionOf(subject, filter)))
  const selects = filters.map((filter) =>
    resourcesWith(subject, (other) => conditionOf({ ...subject, resource: other }, filter)),
  )
  return `${subject.resource}.id in (${selects.join(' union all ')})`
}

function resourcesWith(subject: Subject, condition: (other: string) => string): string {
  const other = subject.sql.alias('r')
  return `select ${other}.id from resources ${other} where ${scopeOf(subject, other)} and ${condition(other)}`
}

/** The rows of the resource itself. */
function ownRows(subject: Subject, branch: Extract<Branch, { kind: 'rows' }>): string {
  const row = subject.sql.alias('x')
  return `select 1 from ${branch.table} ${row} where ${scopeOf(subject, row)} and ${row}.id = ${subject.resource}.id and ${branch.condition(row)}`
}
