import type { SortKey } from '../fhir/query-controls.ts'
import type { SearchParam, TypedColumns } from '../fhir/search-params.ts'
import type { IndexName } from './search-branch.ts'
import { columnsOf, scopeOf } from './search-subject.ts'
import type { SearchStatement } from './search-statement.ts'

/** Where a page ended. */
export interface PagePlace {
  /** What came in after this instant is on no later page. ISO in UTC. */
  readonly until: string
  /** By what is sorted, as text; null where there is no value. */
  readonly keys: readonly (string | null)[]
  readonly type: string
  readonly id: string
}

interface OrderKey {
  readonly expression: string
  readonly type: 'text' | 'timestamptz' | 'numeric'
  readonly direction: 'asc' | 'desc'
  readonly nullable: boolean
}

/** The order of a search as the parts of its statement. */
export interface Order {
  /** Tables beside `resources r`; empty for columns alone. */
  readonly join: string
  /** What the next page needs to know, as an array of texts. */
  readonly keys: string
  readonly orderBy: string
  /** Holds behind a place. */
  readonly after: (place: PagePlace) => string
}

/** `r` is the resource. Without a wish the newest comes first: its creation, which no update changes. */
export function orderOf(
  sql: SearchStatement,
  of: { readonly clinicId: string; readonly type: string },
  sort: readonly SortKey[],
): Order {
  const wanted = sort.map((key) => orderKey(sql, of, key))
  const computed = wanted.filter(({ nullable }) => nullable)
  const named = wanted.map((key) =>
    key.nullable ? { ...key, expression: `k.k${computed.indexOf(key)}` } : key,
  )
  const first: OrderKey[] = named.length > 0 ? named : [CREATED]
  const direction = first.at(-1)?.direction ?? 'desc'
  const last = (expression: string): OrderKey => ({
    expression,
    type: 'text',
    direction,
    nullable: false,
  })
  const all = [...first, last('r.id'), last('r.type')]
  const join =
    computed.length === 0
      ? ''
      : // OFFSET keeps each value from being computed wherever it is named.
        ` cross join lateral (select ${computed.map(({ expression }, index) => `(${expression}) as k${index}`).join(', ')} offset 0) k`
  return {
    join,
    keys: `array[${first.map(({ expression }) => `(${expression})::text`).join(', ')}]`,
    orderBy: all.map(orderText).join(', '),
    after: ({ keys, id, type }) => afterCondition(sql, all, [...keys, id, type]),
  }
}

const CREATED: OrderKey = {
  expression: 'r.created_at',
  type: 'timestamptz',
  direction: 'desc',
  nullable: false,
}

// Where a value may be absent it comes last; elsewhere nothing is said, so that an index gives the order.
const orderText = ({ expression, direction, nullable }: OrderKey): string =>
  `${expression} ${direction}${nullable ? ' nulls last' : ''}`

function afterCondition(
  sql: SearchStatement,
  keys: readonly OrderKey[],
  values: readonly (string | null)[],
): string {
  const written = keys.map(({ type }, index) => {
    const value = values[index] ?? null
    return value === null ? undefined : sql.value(value, type)
  })
  const [first] = keys
  if (keys.every(({ nullable, direction }) => !nullable && direction === first?.direction))
    return `(${keys.map(({ expression }) => expression).join(', ')}) ${first?.direction === 'asc' ? '>' : '<'} (${written.join(', ')})`
  const steps = keys.map((key, index) =>
    [
      ...keys.slice(0, index).map((before, at) => same(before, written[at])),
      behind(key, written[index]),
    ].join(' and '),
  )
  return `(${steps.map((step) => `(${step})`).join(' or ')})`
}

const same = ({ expression }: OrderKey, value: string | undefined): string =>
  value === undefined ? `${expression} is null` : `${expression} = ${value}`

function behind({ expression, direction, nullable }: OrderKey, value: string | undefined): string {
  if (value === undefined) return 'false'
  const later = `${expression} ${direction === 'asc' ? '>' : '<'} ${value}`
  return nullable ? `(${later} or ${expression} is null)` : later
}

function orderKey(
  sql: SearchStatement,
  of: { readonly clinicId: string; readonly type: string },
  { by, direction }: SortKey,
): OrderKey {
  if (by === '_id') return { expression: 'r.id', type: 'text', direction, nullable: false }
  if (by === '_lastUpdated')
    return { expression: 'r.updated_at', type: 'timestamptz', direction, nullable: false }
  const { table, value, type } = SOURCES[by.kind === 'composite' ? 'token' : by.kind]
  const column = columnValue(columnsOf(of.type), by)
  const best = direction === 'asc' ? 'min' : 'max'
  const row = sql.alias('s')
  const found = `(select ${best}(${value(row)}) from ${table} ${row} where ${scopeOf({ sql, ...of }, row)}
    and ${row}.id = r.id and ${sql.equals(
      `${row}.path`,
      by.atoms.map(({ path }) => path),
    )})`
  // A repeating element sorts by its first value in the direction (3.1.1.5.1).
  const either = `${direction === 'asc' ? 'least' : 'greatest'}(${column}, ${found})`
  return { expression: column === undefined ? found : either, type, direction, nullable: true }
}

/** Of a parameter that reads a place with a column. */
function columnValue(columns: TypedColumns, { atoms }: SearchParam): string | undefined {
  const reads = (path: string | undefined) => atoms.some((atom) => atom.path === path)
  if (reads(columns.status)) return 'r.status'
  if (reads(columns.code)) return 'r.code'
  if (reads(columns.patient)) return `'Patient/' || r.patient_id`
  return columns.date.some(reads) ? 'r.date_start' : undefined
}

const SOURCES: Readonly<
  Record<
    Exclude<SearchParam['kind'], 'composite'>,
    {
      readonly table: IndexName
      readonly value: (row: string) => string
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
  quantity: { table: 'index_quantities', value: (row) => `${row}.low`, type: 'numeric' },
}
