import { Temporal } from 'temporal-polyfill'
import { dateOfDay, dayNumber } from './day-number.ts'

declare const civil: unique symbol
/** A calendar day without a time zone, `YYYY-MM-DD`. */
export type CivilDate = string & { readonly [civil]: true }

/** Throws a RangeError for anything that is not a real day of the calendar. */
export function civilDate(text: string): CivilDate {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text)) throw new RangeError('a date must be written YYYY-MM-DD')
  if (dateOfDay(dayNumber(text)) !== text) throw new RangeError('there is no such day')
  return text as CivilDate
}

/** Whole days from one day to another; negative when `to` lies before `from`. */
export const daysBetween = (from: CivilDate, to: CivilDate): number =>
  dayNumber(to) - dayNumber(from)

/** Completed calendar months, as people count birthdays. */
export const calendarMonthsBetween = (from: CivilDate, to: CivilDate): number =>
  plain(from).until(plain(to), { largestUnit: 'months' }).months

export const addDays = (date: CivilDate, count: number): CivilDate =>
  civilDate(dateOfDay(dayNumber(date) + count))

/** A month that lacks the day ends on its last day: 31 January plus one month is 28 or 29 February. */
export const addMonths = (date: CivilDate, count: number): CivilDate =>
  civilDate(plain(date).add({ months: count }, { overflow: 'constrain' }).toString())

const plain = (date: CivilDate): Temporal.PlainDate => Temporal.PlainDate.from(date)
