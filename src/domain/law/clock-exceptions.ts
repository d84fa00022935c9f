import { addDays, type CivilDate, daysBetween } from '../calendar.ts'
import type { Truth } from '../truth.ts'

/**
 * A period for which the 45-day clock may not apply.
 *
 * `other` stands for what the text does not count: an absence of other relatives, a missing consent to
 * the family assessment or to the meeting itself.
 */
export interface ClockException {
  readonly kind: 'exceptional-family-circumstances' | 'consent-not-given' | 'other'
  /** Written down in the child's record; for a missing consent, the repeated attempts. */
  readonly documented: Truth
  readonly start: CivilDate
  /** The last day; `unknown` while it goes on or when nobody wrote it. */
  readonly end: CivilDate | 'unknown'
}

export interface Excluded {
  readonly days: number
  readonly until: CivilDate
  /** The last day of the last period that counts; absent when none does. */
  readonly lastEnd?: CivilDate
}

interface Period {
  readonly start: CivilDate
  readonly end: CivilDate
}

/**
 * Which days do not count, and to which day do they move a deadline?
 *
 * Every documented day after the receipt and on or before the running deadline counts once and moves
 * it by one, until nothing moves. `unknown` when a period that could count is not known to be
 * documented, has no known end, or ends before it begins.
 *
 * @see SOURCES idea-303-310
 */
export function excludedDays(
  exceptions: readonly ClockException[],
  receivedOn: CivilDate,
  base: CivilDate,
): Excluded | 'unknown' {
  const possible = exceptions.filter(
    ({ kind, documented }) => kind !== 'other' && documented !== 'no',
  )
  const certain = extended(possible.flatMap(periodOf), receivedOn, base)
  const open = possible.filter((one) => periodOf(one).length === 0)
  return open.some((one) => couldMove(one, receivedOn, certain.until)) ? 'unknown' : certain
}

/** The period when everything about it is known. */
const periodOf = ({ documented, start, end }: ClockException): readonly Period[] =>
  documented === 'yes' && end !== 'unknown' && end >= start ? [{ start, end }] : []

/** A period of which something is not known leaves the answer alone only where it cannot reach it. */
function couldMove(
  { start, end }: ClockException,
  receivedOn: CivilDate,
  deadline: CivilDate,
): boolean {
  if (end === 'unknown') return start <= deadline
  const [first, last] = start <= end ? [start, end] : [end, start]
  return last > receivedOn && first <= deadline
}

function extended(periods: readonly Period[], receivedOn: CivilDate, base: CivilDate): Excluded {
  for (let until = base; ; ) {
    const days = countedDays(periods, { after: receivedOn, until })
    const next = addDays(base, days)
    if (next === until) {
      const lastEnd = periods
        .filter(({ start, end }) => end > receivedOn && start <= until)
        .map(({ end }) => end)
        .toSorted()
        .at(-1)
      return { days, until, ...(lastEnd !== undefined && { lastEnd }) }
    }
    until = next
  }
}

/** Days of the periods within a span; a day in two periods counts once. */
function countedDays(
  periods: readonly Period[],
  { after, until }: { readonly after: CivilDate; readonly until: CivilDate },
): number {
  let counted = 0
  let last = after
  for (const { start, end } of periods.toSorted((a, b) => a.start.localeCompare(b.start))) {
    const from = start > last ? addDays(start, -1) : last
    const to = end < until ? end : until
    if (to <= from) continue
    counted += daysBetween(from, to)
    last = to
  }
  return counted
}
