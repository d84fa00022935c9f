/**
 * Days counted from 1 March of the year 0 in the Gregorian calendar, and back. A triage counts days a
 * hundred times; the calendar library needs about 15 µs for it each time and is the check in the test.
 *
 * @see Hinnant, "chrono-Compatible Low-Level Date Algorithms", days_from_civil and civil_from_days
 */
const DAYS_OF_ERA = 146_097
const YEARS_OF_ERA = 400

/** The number of a day written `YYYY-MM-DD`. */
export function dayNumber(date: string): number {
  const month = Number(date.slice(5, 7))
  const monthFromMarch = (month + 9) % 12
  const year = Number(date.slice(0, 4)) - (monthFromMarch > 9 ? 1 : 0)
  const era = Math.floor(year / YEARS_OF_ERA)
  const yearOfEra = year - era * YEARS_OF_ERA
  const dayOfYear = Math.floor((153 * monthFromMarch + 2) / 5) + Number(date.slice(8, 10)) - 1
  const leapDays = Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100)
  return era * DAYS_OF_ERA + yearOfEra * 365 + leapDays + dayOfYear
}

/** The day of a number, written `YYYY-MM-DD`. */
export function dateOfDay(day: number): string {
  const era = Math.floor(day / DAYS_OF_ERA)
  const dayOfEra = day - era * DAYS_OF_ERA
  const yearOfEra = Math.floor(
    (dayOfEra -
      Math.floor(dayOfEra / 1_460) +
      Math.floor(dayOfEra / 36_524) -
      Math.floor(dayOfEra / 146_096)) /
      365,
  )
  const leapDays = Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100)
  const dayOfYear = dayOfEra - (365 * yearOfEra + leapDays)
  const monthFromMarch = Math.floor((5 * dayOfYear + 2) / 153)
  const dayOfMonth = dayOfYear - Math.floor((153 * monthFromMarch + 2) / 5) + 1
  const month = ((monthFromMarch + 2) % 12) + 1
  const year = yearOfEra + era * YEARS_OF_ERA + (month <= 2 ? 1 : 0)
  return `${digits(year, 4)}-${digits(month, 2)}-${digits(dayOfMonth, 2)}`
}

const digits = (value: number, count: number): string => String(value).padStart(count, '0')
