import { SYSTEMS } from '../fhir/codes.ts'
import type { SortKey } from '../fhir/query-controls.ts'
import type { SearchParam, TypedColumns } from '../fhir/search-params.ts'
import { UNIT_SIZES } from '../fhir/ucum-factors.ts'
import type { IndexName } from './search-branch.ts'
import type { SearchStatement } from './search-statement.ts'
import { columnsOf, scopeOf } from './search-subject.ts'

/** One value by which is sorted; `r` is the resource. */
export interface OrderKey {
  readonly expression: string
  readonly type: 'text' | 'timestamptz' | 'numeric'
  readonly direction: 'asc' | 'desc'
  readonly nullable: boolean
  /** Not a column of the resource itself. */
  readonly isComputed: boolean
}

export const CREATED: OrderKey = {
  expression: 'r.created_at',
  type: 'timestamptz',
  direction: 'desc',
  nullable: false,
  isComputed: false,
}
/** Of what has a date; where none is asked for, `date_start` is empty. */
export const DATED: OrderKey = { ...CREATED, expression: 'r.date_start' }
export const STATUS = 'r.status'
export const ID: OrderKey = { ...CREATED, expression: 'r.id', type: 'text' }

export function orderKey(
  sql: SearchStatement,
  of: { readonly clinicId: string; readonly type: string },
  { by, direction }: SortKey,
): OrderKey {
  if (by === '_id') return { ...ID, direction }
  if (by === '_lastUpdated') return { ...CREATED, expression: 'r.updated_at', direction }
  const { table, value, type } = SOURCES[by.kind === 'composite' ? 'token' : by.kind]
  const column = columnValue(columnsOf(of.type), by)
  if (column?.isAll === true)
    return { expression: column.expression, type, direction, nullable: true, isComputed: false }
  const best = direction === 'asc' ? 'min' : 'max'
  const row = sql.alias('s')
  const found = `(select ${best}(${value(row, sql)}) from ${table} ${row} where ${scopeOf({ sql, ...of }, row)}
    and ${row}.id = r.id and ${sql.equals(
      `${row}.path`,
      by.atoms.map(({ path }) => path),
    )})`
  // A repeating element sorts by its first value in the direction (3.1.1.5.1).
  const expression =
    column === undefined
      ? found
      : `${direction === 'asc' ? 'least' : 'greatest'}(${column.expression}, ${found})`
  return { expression, type, direction, nullable: true, isComputed: true }
}

/** Of a parameter that reads a place with a column. */
function columnValue(
  columns: TypedColumns,
  { atoms }: SearchParam,
): { readonly expression: string; readonly isAll: boolean } | undefined {
  const reads = (path: string | undefined) => atoms.some((atom) => atom.path === path)
  if (reads(columns.status)) return { expression: STATUS, isAll: atoms.length === 1 }
  // Further codings, and references to others than a Patient, have rows.
  if (reads(columns.code)) return { expression: 'r.code', isAll: false }
  if (reads(columns.patient)) return { expression: `'Patient/' || r.patient_id`, isAll: false }
  if (!columns.date.some(reads)) return undefined
  return {
    expression: 'r.date_start',
    isAll: atoms.every(({ path }) => columns.date.includes(path)),
  }
}

/** Lengths among lengths and masses among masses; in a unit that we do not know, the number alone. */
function inSmallestUnit(row: string, sql: SearchStatement): string {
  const sizes = UNIT_SIZES.map(
    ([unit, times]) => `when ${sql.value(unit)} then ${sql.value(times, 'numeric')}`,
  )
  return `${row}.low * case when ${row}.system = ${sql.value(SYSTEMS.ucum)} then case ${row}.code ${sizes.join(' ')} else 1 end else 1 end`
}

const SOURCES: Readonly<
  Record<
    Exclude<SearchParam['kind'], 'composite'>,
    {
      readonly table: IndexName
      readonly value: (row: string, sql: SearchStatement) => string
      readonly type: OrderKey['type']
    }
  >
> = {
  token: { table: 'index_tokens', value: (row) => `${row}.code`, type: 'text' },
  reference: {
    table: 'index_references',
    value: (row) => `${row}.target_type || '/' || ${row}.target_id`,
    type: 'text',
  },
  string: { table: 'index_strings', value: (row) => `${row}.value`, type: 'text' },
  uri: { table: 'index_uris', value: (row) => `${row}.value`, type: 'text' },
  date: { table: 'index_dates', value: (row) => `${row}."start"`, type: 'timestamptz' },
  number: { table: 'index_quantities', value: (row) => `${row}.low`, type: 'numeric' },
  quantity: { table: 'index_quantities', value: inSmallestUnit, type: 'numeric' },
}
