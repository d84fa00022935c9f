import type { InstantRange } from './date-range.ts'
import { compareDecimals, timesDecimal } from './decimal-order.ts'
import type { DateCriterion, NumberCriterion, QuantityCriterion } from './search-filter.ts'
import type { QuantityValue } from './search-index.ts'

// Range against range, as R4 3.1.1.4.5 words it.

/** An instant in UTC as text that sorts by time: the fraction without what it does not need. */
function sortable(instant: string): string {
  const text = instant.endsWith('Z') ? instant.slice(0, -1) : instant
  if (!text.includes('.')) return text
  let end = text.length
  while (text[end - 1] === '0') end -= 1
  return text.slice(0, text[end - 1] === '.' ? end - 1 : end)
}

/** Does the span of a value stand to that of the search as its prefix says? */
export function dateMatches(value: InstantRange, { prefix, ...search }: DateCriterion): boolean {
  const isBefore = (a: string, b: string) => sortable(a) < sortable(b)
  const isContained = !isBefore(value.from, search.from) && !isBefore(search.to, value.to)
  // What lies beyond the search overlaps with the value.
  const reachesAfter = isBefore(search.to, value.to)
  const reachesBefore = isBefore(value.from, search.from)
  const startsAfter = !isBefore(value.from, search.to)
  const endsBefore = !isBefore(search.from, value.to)
  switch (prefix) {
    case 'eq':
      return isContained
    case 'ne':
      return !isContained
    case 'gt':
      return reachesAfter
    case 'ge':
      return reachesAfter || isContained
    case 'lt':
      return reachesBefore
    case 'le':
      return reachesBefore || isContained
    case 'sa':
      return startsAfter
    case 'eb':
      return endsBefore
    case 'ap':
      return !startsAfter && !endsBefore
  }
}

type Ends = Pick<QuantityValue, 'low' | 'high'>

/** With `eq`, `ne` and `ap` the digits of the search give a range, else it is the number (3.1.1.4.6). */
export function numberMatches(
  { low, high }: Ends,
  { prefix, value, from, to }: NumberCriterion,
): boolean {
  const isContained = compareDecimals(low, from) >= 0 && compareDecimals(high, to) < 0
  switch (prefix) {
    case 'eq':
      return isContained
    case 'ne':
      return !isContained
    case 'gt':
      return compareDecimals(high, value) > 0
    case 'ge':
      return compareDecimals(high, value) >= 0
    case 'lt':
      return compareDecimals(low, value) < 0
    case 'le':
      return compareDecimals(low, value) <= 0
    case 'sa':
      return compareDecimals(low, value) > 0
    case 'eb':
      return compareDecimals(high, value) < 0
    case 'ap':
      return compareDecimals(low, to) <= 0 && compareDecimals(high, from) >= 0
  }
}

/** The unit by its code, or by the word that people read (3.1.1.4.11). */
export function quantityMatches(
  value: Omit<QuantityValue, 'path'>,
  { system, code, codeOrUnit, times, ...number }: QuantityCriterion,
): boolean {
  const ends =
    times === undefined
      ? value
      : { low: timesDecimal(value.low, times), high: timesDecimal(value.high, times) }
  return (
    (system === undefined || system === value.system) &&
    (code === undefined || code === value.code) &&
    (codeOrUnit === undefined || codeOrUnit === value.code || codeOrUnit === value.unit) &&
    numberMatches(ends, number)
  )
}
