import type { SortKey } from '../fhir/query-controls.ts'
import { CREATED, DATED, ID, orderKey, type OrderKey, STATUS } from './search-sort-keys.ts'
import type { SearchStatement } from './search-statement.ts'

/** Where a page ended. */
export interface PagePlace {
  /** What came in after this instant is on no later page. ISO in UTC. */
  readonly until: string
  /** By what is sorted, as text; null where there is no value. */
  readonly keys: readonly (string | null)[]
  readonly type: string
  readonly id: string
  /** Of what is not in the database, in the order asked for, so many were shown between. */
  readonly beside?: number
}

/** The order of a search as the parts of its statement. */
export interface Order {
  /** Tables beside `resources r`; empty for columns alone. */
  readonly join: string
  /** What is sorted by, as columns with names. */
  readonly columns: string
  /** What the next page needs to know, as an array of texts. */
  readonly keys: string
  /** One after the other; an index gives the order of each. */
  readonly runs: readonly Run[]
  /** Of the rows of all runs, by the names of the columns. */
  readonly orderBy: string
}

/** A part of the matches that comes as a whole before or behind the others. */
export interface Run {
  readonly where: string
  readonly orderBy: string
  /** Holds behind a place; undefined when all or nothing of the run is there. */
  readonly after: (place: PagePlace) => 'all' | 'nothing' | { readonly condition: string }
}

/**
 * `r` is the resource. Without a wish the newest comes first: its creation, which no update changes; of what is
 * searched by its date, the latest date, which one index both finds and sorts.
 */
export function orderOf(
  sql: SearchStatement,
  of: { readonly clinicId: string; readonly type: string; readonly isDated: boolean },
  sort: readonly SortKey[],
): Order {
  const asked = sort.map((key) => orderKey(sql, of, key))
  const wanted = asked.length === 0 && of.isDated ? [DATED] : asked
  const computed = wanted.filter(({ isComputed }) => isComputed)
  const named = wanted.map((key) =>
    key.isComputed ? { ...key, expression: `k.k${computed.indexOf(key)}` } : key,
  )
  const { direction } = named.at(-1) ?? CREATED
  const first = tied(named, direction)
  const last = (name: string): OrderKey => ({ ...ID, expression: `r.${name}`, direction })
  const all = [...first, last('id'), last('type')]
  const join =
    computed.length === 0
      ? ''
      : // OFFSET keeps each value from being computed wherever it is named.
        ` cross join lateral (select ${computed.map(({ expression }, index) => `(${expression}) as k${index}`).join(', ')} offset 0) k`
  const columnAt = (index: number): string => (index < first.length ? `r.s${index}` : '')
  return {
    join,
    columns: first.map(({ expression }, index) => `${expression} as s${index}`).join(', '),
    keys: `array[${first.map(({ expression }) => `(${expression})::text`).join(', ')}]`,
    runs: runsOf(sql, all),
    orderBy: all
      .map((key, index) => orderText({ ...key, expression: columnAt(index) || key.expression }))
      .join(', '),
  }
}

/** Of one status come as many as there are: in the order that the index has them. */
function tied(named: OrderKey[], direction: OrderKey['direction']): OrderKey[] {
  const [only, ...more] = named
  if (only === undefined) return [CREATED]
  return only.expression === STATUS && more.length === 0 ? [only, { ...CREATED, direction }] : named
}

/** Where a column may be empty, what has a value and what has none are two runs: no index has both orders. */
function runsOf(sql: SearchStatement, keys: readonly OrderKey[]): Run[] {
  const [first, ...rest] = keys
  if (first === undefined || !first.nullable || first.isComputed)
    return [
      {
        where: 'true',
        orderBy: keys.map(orderText).join(', '),
        after: (place) => ({ condition: afterCondition(sql, keys, valuesOf(place)) }),
      },
    ]
  const present = [{ ...first, nullable: false }, ...rest]
  return [
    {
      where: `${first.expression} is not null`,
      orderBy: present.map(orderText).join(', '),
      after: (place) =>
        place.keys[0] === null
          ? 'nothing'
          : { condition: afterCondition(sql, present, valuesOf(place)) },
    },
    {
      where: `${first.expression} is null`,
      // Named again, the index that begins with it is the one that gives the order.
      orderBy: present.map(orderText).join(', '),
      after: (place) =>
        place.keys[0] === null
          ? { condition: afterCondition(sql, rest, valuesOf(place).slice(1)) }
          : 'all',
    },
  ]
}

const valuesOf = ({ keys, id, type }: PagePlace): (string | null)[] => [...keys, id, type]

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
