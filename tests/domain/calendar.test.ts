import * as fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import {
  addDays,
  addMonths,
  calendarMonthsBetween,
  civilDate,
  daysBetween,
  earliestDay,
  latestDay,
} from '../../src/domain/calendar.ts'

const anyDay = fc.integer({ min: 0, max: 40_000 }).map((n) => addDays(civilDate('1990-01-01'), n))

test('a real day is taken as written', () => {
  expect(civilDate('2024-02-29')).toBe('2024-02-29')
})

for (const wrong of ['2023-02-29', '2024-13-01', '2024-1-5', '2024-02', '2024-02-29T00:00:00Z', ''])
  test(`"${wrong}" is not a day of the calendar`, () => {
    expect(() => civilDate(wrong)).toThrow(RangeError)
  })

test('what is wrong with a date is told without the date', () => {
  expect(() => civilDate('5 January 2024')).toThrow(
    new RangeError('a date must be written YYYY-MM-DD'),
  )
  expect(() => civilDate('2023-02-29')).toThrow(new RangeError('there is no such day'))
  expect(() => addDays(civilDate('9999-12-31'), 1)).toThrow(
    new RangeError('the calendar ends with the year 9999'),
  )
})

test('days are counted over a leap day, a year end and backwards', () => {
  expect(daysBetween(civilDate('2024-02-28'), civilDate('2024-03-01'))).toBe(2)
  expect(daysBetween(civilDate('2023-02-28'), civilDate('2023-03-01'))).toBe(1)
  expect(daysBetween(civilDate('2023-12-31'), civilDate('2024-01-01'))).toBe(1)
  expect(daysBetween(civilDate('2024-01-01'), civilDate('2023-12-31'))).toBe(-1)
})

test('a calendar month is complete on the same day of the next month, not the day before', () => {
  expect(calendarMonthsBetween(civilDate('2024-03-15'), civilDate('2024-04-14'))).toBe(0)
  expect(calendarMonthsBetween(civilDate('2024-03-15'), civilDate('2024-04-15'))).toBe(1)
})

test('months backwards are complete on the same day too, and none lies within one day', () => {
  const between = (from: string, to: string) =>
    calendarMonthsBetween(civilDate(from), civilDate(to))

  expect(between('2024-04-15', '2024-03-15')).toBe(-1)
  expect(between('2024-04-15', '2024-03-16')).toBe(0)
  expect(between('2024-04-15', '2023-04-14')).toBe(-12)
  expect(between('2024-04-15', '2024-04-15')).toBe(0)
  expect(between('2024-01-31', '2024-02-29')).toBe(0)
  expect(between('2024-01-31', '2024-03-01')).toBe(1)
})

test('months are added over a year end, backwards, and to the first and last month', () => {
  expect(addMonths(civilDate('2023-12-15'), 1)).toBe('2024-01-15')
  expect(addMonths(civilDate('2024-01-15'), -1)).toBe('2023-12-15')
  expect(addMonths(civilDate('2024-03-31'), -1)).toBe('2024-02-29')
  expect(addMonths(civilDate('0999-12-01'), 0)).toBe('0999-12-01')
})

test('a month that lacks the day ends on its last day', () => {
  expect(addMonths(civilDate('2023-01-31'), 1)).toBe('2023-02-28')
  expect(addMonths(civilDate('2024-01-31'), 1)).toBe('2024-02-29')
  expect(addMonths(civilDate('2024-02-29'), 12)).toBe('2025-02-28')
})

test('adding the days between two days leads from one to the other', () => {
  fc.assert(
    fc.property(anyDay, anyDay, (from, to) => {
      expect(addDays(from, daysBetween(from, to))).toBe(to)
    }),
  )
})

test('days between add up over any day in the middle', () => {
  fc.assert(
    fc.property(anyDay, anyDay, anyDay, (a, b, c) => {
      expect(daysBetween(a, b) + daysBetween(b, c)).toBe(daysBetween(a, c))
    }),
  )
})

const dated = (date: Temporal.PlainDate) => civilDate(date.toString())
/** Days on which months end are drawn often. */
const anyDated = fc.oneof(
  anyDay.map((day) => Temporal.PlainDate.from(day)),
  fc
    .record({
      year: fc.integer({ min: 1990, max: 2100 }),
      month: fc.integer({ min: 1, max: 12 }),
      day: fc.integer({ min: 28, max: 31 }),
    })
    .map((parts) => Temporal.PlainDate.from(parts, { overflow: 'constrain' })),
)

test('completed months are those that the calendar library counts, forwards and backwards', () => {
  fc.assert(
    fc.property(anyDated, anyDated, (from, to) => {
      const counted = from.until(to, { largestUnit: 'months' }).months

      expect(calendarMonthsBetween(dated(from), dated(to)) + 0).toBe(counted + 0)
    }),
    { numRuns: 3_000 },
  )
})

test('months are added as the calendar library adds them', () => {
  fc.assert(
    fc.property(anyDated, fc.integer({ min: -400, max: 400 }), (from, months) => {
      const added = from.add({ months }, { overflow: 'constrain' })

      expect(addMonths(dated(from), months)).toBe(added.toString())
    }),
    { numRuns: 3_000 },
  )
})

test('a part of a day or of a month cannot be added, nor a day after the year 9999', () => {
  const last = civilDate('9999-12-31')

  expect(() => addDays(civilDate('2024-01-01'), 0.5)).toThrow(RangeError)
  expect(() => addDays(civilDate('2024-01-01'), Number.NaN)).toThrow(RangeError)
  expect(() => addMonths(civilDate('2024-01-01'), 0.5)).toThrow(RangeError)
  expect(() => addDays(last, 1)).toThrow(RangeError)
  expect(addMonths(civilDate('9999-11-30'), 0)).toBe('9999-11-30')
  expect(() => addMonths(last, 1)).toThrow(RangeError)
})

test('of several days in any order the earliest and the latest are found; of none neither', () => {
  const days = ['2024-03-01', '2023-12-31', '2024-02-29'].map(civilDate)

  expect([earliestDay(days), latestDay(days)]).toEqual(['2023-12-31', '2024-03-01'])
  expect([earliestDay(days.toReversed()), latestDay(days.toReversed())]).toEqual([
    '2023-12-31',
    '2024-03-01',
  ])
  expect([earliestDay([]), latestDay([])]).toEqual([undefined, undefined])
})
