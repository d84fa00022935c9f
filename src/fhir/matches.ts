import { containedQuestions } from './contained-filter.ts'
import { instantRange } from './date-range.ts'
import { dateMatches, quantityMatches } from './match-ranges.ts'
import { placedRows, rowsAt } from './match-rows.ts'
import { hasValue, isPair, isText, isToken, isUri, leadsThere } from './match-values.ts'
import type { TypeSearch } from './query.ts'
import { rowOf } from './registry.ts'
import type { Filter } from './search-filter.ts'
import type { SearchValues } from './search-index.ts'

/** A resource with what it is found by. */
export interface Findable {
  readonly type: string
  readonly id: string
  /** ISO instant in UTC, to the millisecond. */
  readonly updatedAt: string
  readonly values: SearchValues
}

/** A filter that other resources decide. */
export type LinkFilter = Extract<Filter, { kind: 'chain' | 'has' }>

const refuseLinks = (filter: LinkFilter): boolean => {
  throw new Error(`A filter of kind ${filter.kind} needs other resources`)
}

/**
 * Would a search find this resource? It says the same as the database (R4 3.1.1), of a resource that is not
 * in it or not yet.
 *
 * @param decides of a chain and of `_has`, which need other resources; without it they throw
 */
export function matches(
  { searches }: { readonly searches: readonly TypeSearch[] },
  resource: Findable,
  decides: (filter: LinkFilter) => boolean = refuseLinks,
): boolean {
  const columns = rowOf(resource.type)?.columns ?? { date: [] }
  const placed = { ...resource, values: placedRows(resource.values, columns) }
  return searches.some(
    ({ type, filters }) =>
      type === resource.type && filters.every((filter) => holds(filter, placed, decides)),
  )
}

type Decides = (filter: LinkFilter) => boolean

function holds(filter: Filter, resource: Findable, decides: Decides): boolean {
  const { values } = resource
  switch (filter.kind) {
    case 'id':
      return filter.ids.includes(resource.id)
    case 'last-updated': {
      const kept = millisecondOf(resource.updatedAt)
      return kept !== undefined && filter.values.some((value) => dateMatches(kept, value))
    }
    case 'missing':
      return filter.missing !== hasValue(filter, values)
    case 'chain':
      return (
        containedQuestions(filter).some(
          (inside) =>
            holds(inside.isThere, resource, decides) && holds(inside.filter, resource, decides),
        ) || decides(filter)
      )
    case 'has':
      return decides(filter)
    case 'all':
      return filter.filters.every((one) => holds(one, resource, decides))
    case 'any':
      return filter.filters.some((one) => holds(one, resource, decides))
    default:
      return valuesMatch(filter, values)
  }
}

/** The version was written within this millisecond. */
const millisecondOf = (instant: string) =>
  instantRange(instant.includes('.') ? instant : instant.replace(/Z$/, '.000Z'))

type ValueFilter = Exclude<
  Filter,
  LinkFilter | { kind: 'id' | 'last-updated' | 'missing' | 'all' | 'any' }
>

/** Does any value at the places of the filter meet any of its criteria? */
function valuesMatch(filter: ValueFilter, values: SearchValues): boolean {
  switch (filter.kind) {
    case 'token': {
      const { atoms, negated } = filter
      const found = atoms.some((atom) =>
        some(rowsAt(values.tokens, [atom]), filter.values, (row, one) => isToken(atom, row, one)),
      )
      // What has no value is not one of these either (3.1.1.4.4, :not).
      return found !== negated
    }
    case 'reference':
      return filter.atoms.some((atom) => filter.values.some((one) => leadsThere(atom, values, one)))
    case 'string':
      return some(rowsAt(values.strings, filter.atoms), filter.values, isText)
    case 'uri':
      return some(rowsAt(values.uris, filter.atoms), filter.values, isUri)
    case 'date':
      return some(rowsAt(values.dates, filter.atoms), filter.values, ({ start, end }, one) =>
        dateMatches({ from: start, to: end }, one),
      )
    case 'quantity':
      return some(rowsAt(values.quantities, filter.atoms), filter.values, quantityMatches)
    case 'pair':
      return some(
        values.pairs.filter(({ path }) => filter.paths.includes(path)),
        filter.values,
        isPair,
      )
  }
}

const some = <Row, Criterion>(
  rows: readonly Row[],
  criteria: readonly Criterion[],
  meets: (row: Row, criterion: Criterion) => boolean,
): boolean => rows.some((row) => criteria.some((criterion) => meets(row, criterion)))
