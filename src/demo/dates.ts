import { addDays, civilDate } from '../domain/calendar.ts'

/** Elements that hold a date in the resources of a referral; identifiers that look like one are left alone. */
const DATE_ELEMENTS: ReadonlySet<string> = new Set([
  'authored',
  'authoredOn',
  'birthDate',
  'creation',
  'date',
  'dateTime',
  'effectiveDateTime',
  'end',
  'lastModified',
  'onsetDateTime',
  'recordedDate',
  'start',
  'valueDateTime',
])

/**
 * The same JSON with every date moved by so many days, so that the children of a seed have today the
 * ages that they have on its reference day. Times of day stay; a date without a day or month moves as its
 * middle would and stays as imprecise.
 */
export function shiftDates(value: unknown, days: number): unknown {
  if (Array.isArray(value)) return value.map((item) => shiftDates(item, days))
  if (typeof value !== 'object' || value === null) return value
  return Object.fromEntries(
    Object.entries(value).map(([name, content]: [string, unknown]) => [
      name,
      typeof content === 'string' && DATE_ELEMENTS.has(name)
        ? shifted(content, days)
        : shiftDates(content, days),
    ]),
  )
}

function shifted(date: string, days: number): string {
  if (/^\d{4}$/.test(date)) return addDays(civilDate(`${date}-07-02`), days).slice(0, 4)
  if (/^\d{4}-\d{2}$/.test(date)) return addDays(civilDate(`${date}-15`), days).slice(0, 7)
  return `${addDays(civilDate(date.slice(0, 10)), days)}${date.slice(10)}`
}
