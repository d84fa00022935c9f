import * as fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import { dateOfDay, dayNumber } from '../../src/domain/day-number.ts'

/** Every day from year 1 to year 9999, through the reference library. */
const START = Temporal.PlainDate.from('0001-01-01')
const anyDay = fc.integer({ min: 0, max: 3_652_058 }).map((days) => START.add({ days }).toString())

test('a day and its number belong to each other', () => {
  fc.assert(
    fc.property(anyDay, (date) => {
      expect(dateOfDay(dayNumber(date))).toBe(date)
    }),
    { numRuns: 2_000 },
  )
})

test('numbers differ by the days that the calendar library counts', () => {
  fc.assert(
    fc.property(anyDay, anyDay, (a, b) => {
      const counted = Temporal.PlainDate.from(a).until(b, { largestUnit: 'days' }).days

      expect(dayNumber(b) - dayNumber(a)).toBe(counted)
    }),
    { numRuns: 2_000 },
  )
})

test('leap days of 2000 and 2024 exist, those of 1900 and 2023 do not', () => {
  const next = (date: string) => dateOfDay(dayNumber(date) + 1)

  expect(next('2000-02-28')).toBe('2000-02-29')
  expect(next('2024-02-28')).toBe('2024-02-29')
  expect(next('1900-02-28')).toBe('1900-03-01')
  expect(next('2023-02-28')).toBe('2023-03-01')
})
