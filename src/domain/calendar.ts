import { Temporal } from 'temporal-polyfill'

declare const civil: unique symbol
/** A calendar day without a time zone, `YYYY-MM-DD`. */
export type CivilDate = string & { readonly [civil]: true }

/** Throws a RangeError for anything that is not a real day of the calendar. */
export function civilDate(text: string): CivilDate {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text)) throw new RangeError('a date must be written YYYY-MM-DD')
  return Temporal.PlainDate.from(text, { overflow: 'reject' }).toString() as CivilDate
}

/** Whole days from one day to another; negative when `to` lies before `from`. */
export const daysBetween = (from: CivilDate, to: CivilDate): number =>
  plain(from).until(plain(to), { largestUnit: 'days' }).days

/** Completed calendar months, as people count birthdays. */
export const calendarMonthsBetween = (from: CivilDate, to: CivilDate): number =>
  plain(from).until(plain(to), { largestUnit: 'months' }).months

export const addDays = (date: CivilDate, count: number): CivilDate =>
  civilDate(plain(date).add({ days: count }).toString())

/** A month that lacks the day ends on its last day: 31 January plus one month is 28 or 29 February. */
export const addMonths = (date: CivilDate, count: number): CivilDate =>
  civilDate(plain(date).add({ months: count }, { overflow: 'constrain' }).toString())

const plain = (date: CivilDate): Temporal.PlainDate => Temporal.PlainDate.from(date)
