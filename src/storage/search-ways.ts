import type { TypeSearch } from '../fhir/query.ts'
import type { Filter } from '../fhir/search-filter.ts'
import type { Branch } from './search-branch.ts'
import { branchesOf } from './search-branches.ts'
import { presentBranches } from './search-presence.ts'
import { allOf, type SearchStatement } from './search-statement.ts'
import {
  columnsOf,
  isIdentifier,
  leavesFew,
  scopeOf,
  type TokenFilter,
  type Way,
} from './search-subject.ts'

/** Up to so many rows of an index lead to their resources, whatever the order. */
const FEW = 500
/** So many resources are looked at for each that a page holds, before the index leads to them all. */
const LOOKED_AT = 10
/** Codes of one parameter that are each walked by themselves. */
const MOST_WALKS = 4

/** One of several ways to the same matches. What two of them find is never the same. */
export interface Variant {
  /** Of the filters for which it is not the usual one. */
  readonly ways: ReadonlyMap<Filter, Way>
  /** Whether it is taken: always, or as the question of the plan is answered. */
  readonly when: 'always' | 'many' | 'few'
}

export interface Ways {
  readonly variants: readonly Variant[]
  /** Filters whose rows are counted, when a variant asks whether there are many. */
  readonly counted: readonly Filter[]
}

const ONLY: Ways = { variants: [{ ways: new Map(), when: 'always' }], counted: [] }

/**
 * How the matches of a search of the whole clinic are come by. A partner's are few among those of others; of
 * one child, or of named resources, nothing is looked for at all.
 *
 * @param isWalked an index gives their order, and a page of it is wanted
 */
export function waysOf(
  sql: SearchStatement,
  { type, filters }: TypeSearch,
  isWalked: boolean,
): Ways {
  if (sql.partnerId !== undefined || filters.some(leavesFew)) return ONLY
  const parts = new Map(filters.map((filter) => [filter, parted(sql, type, filter)]))
  const isNarrow = (filter: Filter) => parts.get(filter)?.isInRows === true
  const narrow = filters.filter((filter) => isNarrow(filter) && !parts.get(filter)?.isInColumns)
  const mixed = filters.find(
    (filter): filter is TokenFilter =>
      filter.kind === 'token' && isNarrow(filter) && parts.get(filter)?.isInColumns === true,
  )
  const all = (way: Way) => new Map(narrow.map((filter) => [filter, way]))
  const isAlone = narrow.length + (mixed === undefined ? 0 : 1) === 1
  const by = isAlone ? 'lead-alone' : 'lead'
  if (mixed !== undefined) return mixedWays(mixed, { by, isWalked })
  if (narrow.length === 0) return ONLY
  const led = all({ kind: by })
  if (!isWalked) return { variants: [{ ways: led, when: 'always' }], counted: [] }
  return {
    variants: [
      { ways: all({ kind: 'each' }), when: 'many' },
      { ways: led, when: 'few' },
    ],
    counted: narrow,
  }
}

/** The first coding has a column, whose index gives the order too; then those that only a further coding finds. */
function mixedWays(
  filter: TokenFilter,
  { by, isWalked }: { readonly by: 'lead' | 'lead-alone'; readonly isWalked: boolean },
): Ways {
  const variant = (when: Variant['when'], way: Way): Variant => ({
    ways: new Map([[filter, way]]),
    when,
  })
  if (!isWalked)
    return {
      variants: [
        variant('always', { kind: 'column', part: filter }),
        variant('always', { kind: 'rows', by }),
      ],
      counted: [],
    }
  return {
    variants: [
      ...walkedApart(filter).map((part) => variant('always', { kind: 'column', part })),
      variant('many', { kind: 'rows', by: 'each' }),
      variant('few', { kind: 'rows', by }),
    ],
    counted: [filter],
  }
}

/** Each code by itself comes in the order of the index; where one resource could be met twice, all together. */
function walkedApart(filter: TokenFilter): readonly TokenFilter[] {
  const codes = new Set(filter.values.map(({ code }) => code))
  const isApart =
    codes.size === filter.values.length &&
    codes.size <= MOST_WALKS &&
    filter.values.every(({ code, anyCase }) => code !== undefined && anyCase === undefined)
  return isApart ? filter.values.map((value) => ({ ...filter, values: [value] })) : [filter]
}

/** Where a filter finds what rows of an index may lead to; nowhere, when it is asked otherwise. */
function parted(
  sql: SearchStatement,
  type: string,
  filter: Filter,
): { readonly isInColumns: boolean; readonly isInRows: boolean } {
  const kinds = leadingBranches(sql, type, filter).map(({ kind }) => kind)
  return { isInColumns: kinds.includes('column'), isInRows: kinds.includes('rows') }
}

function leadingBranches(sql: SearchStatement, type: string, filter: Filter): readonly Branch[] {
  switch (filter.kind) {
    case 'token':
      return filter.negated || isIdentifier(filter) ? [] : branchesOf(sql, columnsOf(type), filter)
    case 'string':
    case 'uri':
    case 'date':
    case 'quantity':
    case 'pair':
    case 'reference':
      return branchesOf(sql, columnsOf(type), filter)
    case 'missing':
      return filter.missing ? [] : presentBranches(sql, columnsOf(type), filter)
    case 'id':
    case 'last-updated':
    case 'chain':
    case 'has':
    case 'all':
    case 'any':
      return []
  }
}

/**
 * Whether the index has many rows of every filter and the next page is full of what stands nearest in the
 * order: a SELECT without rows of its own, for the whole statement.
 *
 * @param page the matches as they are come by when each is asked, in their order, no more than are wanted
 */
export function manyText(
  sql: SearchStatement,
  { clinicId, type }: { readonly clinicId: string; readonly type: string },
  { counted, page, limit }: { counted: readonly Filter[]; page: string; limit: string },
): string {
  const enough = counted.map((filter) => {
    const counts = leadingBranches(sql, type, filter).flatMap((branch) => {
      if (branch.kind === 'column') return []
      const row = sql.alias('x')
      return `(select count(*) from (select from ${branch.table} ${row}
        where ${scopeOf({ sql, clinicId, type }, row)} and ${branch.condition(row)} limit ${FEW}) q)`
    })
    return `${counts.join(' + ')} >= ${FEW}`
  })
  return `select case when ${allOf(enough)} then (select count(*) from (${page}) q) >= ${limit} else false end as many`
}

/** How far is looked for a page, in resources. */
export const windowOf = (limit: string): string => `${LOOKED_AT} * ${limit}`
