import { dateOfDay, dayNumber } from './day-number.ts'

declare const civil: unique symbol
/** A calendar day without a time zone, `YYYY-MM-DD`. */
export type CivilDate = string & { readonly [civil]: true }

const WRITTEN = /^\d{4}-\d{2}-\d{2}$/
const MONTHS_PER_YEAR = 12

/** Throws a RangeError for anything that is not a real day of the calendar. */
export function civilDate(text: string): CivilDate {
  if (!WRITTEN.test(text)) throw new RangeError('a date must be written YYYY-MM-DD')
  if (dateOfDay(dayNumber(text)) !== text) throw new RangeError('there is no such day')
  return text as CivilDate
}

/** Whole days from one day to another; negative when `to` lies before `from`. */
export const daysBetween = (from: CivilDate, to: CivilDate): number =>
  dayNumber(to) - dayNumber(from)

/**
 * Completed calendar months, as people count birthdays: a month is complete on the same day of the month.
 * One that lacks the day is complete on the first of the next. Negative when `to` lies before `from`.
 */
export function calendarMonthsBetween(from: CivilDate, to: CivilDate): number {
  const between = monthNumber(to) - monthNumber(from)
  const missing = dayOfMonth(to) - dayOfMonth(from)
  if (to >= from) return missing < 0 ? between - 1 : between
  return missing > 0 ? between + 1 : between
}

/** Throws a RangeError beyond the years 0 to 9999. */
export function addDays(date: CivilDate, count: number): CivilDate {
  const day = dateOfDay(dayNumber(date) + count)
  // Every number is a real day; only its year may have other than four digits.
  if (!WRITTEN.test(day)) throw new RangeError('the calendar ends with the year 9999')
  return day as CivilDate
}

/** A month that lacks the day ends on its last day: 31 January plus one month is 28 or 29 February. */
export function addMonths(date: CivilDate, count: number): CivilDate {
  const month = monthNumber(date) + count
  const first = firstOf(month)
  const length = daysBetween(first, firstOf(month + 1))
  return addDays(first, Math.min(dayOfMonth(date), length) - 1)
}

/** Of any number of days; undefined of none. Written year first, days compare as text. */
export function latestDay(days: readonly CivilDate[]): CivilDate | undefined {
  let latest = days[0]
  for (const day of days) if (latest !== undefined && day > latest) latest = day
  return latest
}

export function earliestDay(days: readonly CivilDate[]): CivilDate | undefined {
  let earliest = days[0]
  for (const day of days) if (earliest !== undefined && day < earliest) earliest = day
  return earliest
}

const monthNumber = (date: CivilDate): number =>
  Number(date.slice(0, 4)) * MONTHS_PER_YEAR + Number(date.slice(5, 7)) - 1

const dayOfMonth = (date: CivilDate): number => Number(date.slice(8, 10))

function firstOf(month: number): CivilDate {
  const year = String(Math.floor(month / MONTHS_PER_YEAR)).padStart(4, '0')
  return civilDate(`${year}-${String((month % MONTHS_PER_YEAR) + 1).padStart(2, '0')}-01`)
}
