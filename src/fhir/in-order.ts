import { compareDecimals } from './decimal-order.ts'
import { placedRows, rowsAt } from './match-rows.ts'
import type { Findable } from './matches.ts'
import type { SortKey } from './query-controls.ts'
import { rowOf } from './registry.ts'
import type { SearchParam } from './search-params.ts'

type Compare = (a: string, b: string) => number

const byText: Compare = (a, b) => (a < b ? -1 : Number(a > b))

/** What was found, in the order asked for (R4 3.1.1.5.1); what has no value comes last, as in the database. */
export function inOrder<Found extends Findable>(
  found: readonly Found[],
  sort: readonly SortKey[],
): Found[] {
  const compare = comparing(sort)
  return keyed(found, sort)
    .toSorted(compare)
    .map(({ one }) => one)
}

/** Two lists that are in this order already, as one; of what is equal the first comes first. */
export function mergedInOrder<First extends Findable, Second extends Findable>(
  first: readonly First[],
  second: readonly Second[],
  sort: readonly SortKey[],
): (First | Second)[] {
  const compare = comparing(sort)
  const others = keyed(second, sort)
  let taken = 0
  const both = keyed(first, sort).flatMap((one): (First | Second)[] => {
    const from = taken
    const isBefore = (other: Keyed<Second> | undefined) =>
      other !== undefined && compare(other, one) < 0
    while (isBefore(others[taken])) taken += 1
    return [...second.slice(from, taken), one.one]
  })
  return [...both, ...second.slice(taken)]
}

interface Keyed<Found> {
  readonly one: Found
  readonly values: readonly (string | undefined)[]
}

const keyed = <Found extends Findable>(
  found: readonly Found[],
  sort: readonly SortKey[],
): Keyed<Found>[] => found.map((one) => ({ one, values: sort.map((key) => valueBy(one, key)) }))

function comparing(sort: readonly SortKey[]) {
  const compare = sort.map(compareBy)
  return (a: Keyed<Findable>, b: Keyed<Findable>): number => {
    for (const [index, of] of compare.entries()) {
      const order = of(a.values[index], b.values[index])
      if (order !== 0) return order
    }
    return 0
  }
}

function compareBy({ by, direction }: SortKey) {
  const compare = inDirection(typeof by === 'string' ? byText : comparisonOf(by), direction)
  return (a: string | undefined, b: string | undefined): number => {
    if (a === undefined || b === undefined) return Number(a === undefined) - Number(b === undefined)
    return compare(a, b)
  }
}

const comparisonOf = ({ kind }: SearchParam): Compare =>
  kind === 'number' || kind === 'quantity' ? compareDecimals : byText

const inDirection = (compare: Compare, direction: SortKey['direction']): Compare =>
  direction === 'asc' ? compare : (a, b) => compare(b, a)

/** A repeating element sorts by its first value in the direction. */
function valueBy(resource: Findable, { by, direction }: SortKey): string | undefined {
  if (by === '_id') return resource.id
  if (by === '_lastUpdated') return resource.updatedAt
  const compare = inDirection(comparisonOf(by), direction)
  return valuesAt(resource, by).toSorted(compare)[0]
}

function valuesAt({ type, values }: Findable, { kind, atoms }: SearchParam): string[] {
  const { tokens, references, strings, uris, dates, quantities } = placedRows(
    values,
    rowOf(type)?.columns ?? { date: [] },
  )
  switch (kind) {
    case 'token':
      return rowsAt(tokens, atoms).map(({ code }) => code)
    case 'reference':
      return rowsAt(references, atoms).map(
        ({ targetType, targetId }) => `${targetType}/${targetId}`,
      )
    case 'string':
      return rowsAt(strings, atoms).map(({ value }) => value)
    case 'uri':
      return rowsAt(uris, atoms).map(({ value }) => value)
    case 'date':
      return rowsAt(dates, atoms).map(({ start }) => start)
    case 'quantity':
    case 'number':
      return rowsAt(quantities, atoms).map(({ low }) => low)
    // No search sorts by it (query-controls.ts).
    case 'composite':
      return []
  }
}
