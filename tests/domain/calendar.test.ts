import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import {
  addDays,
  addMonths,
  calendarMonthsBetween,
  civilDate,
  daysBetween,
} from '../../src/domain/calendar.ts'

const anyDay = fc.integer({ min: 0, max: 40_000 }).map((n) => addDays(civilDate('1990-01-01'), n))

test('a real day is taken as written', () => {
  expect(civilDate('2024-02-29')).toBe('2024-02-29')
})

for (const wrong of ['2023-02-29', '2024-13-01', '2024-1-5', '2024-02', '2024-02-29T00:00:00Z', ''])
  test(`"${wrong}" is not a day of the calendar`, () => {
    expect(() => civilDate(wrong)).toThrow(RangeError)
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
