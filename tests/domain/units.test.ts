import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import {
  DAYS_PER_MONTH,
  yearsOf,
  days,
  degrees,
  millimetres,
  months,
  monthsOfDays,
} from '../../src/domain/units.ts'

/** WHO Multicentre Growth Reference Study: 1 month = 30.4375 days. */
test('a month has 30.4375 days', () => {
  expect(DAYS_PER_MONTH).toBe(30.4375)
  expect(monthsOfDays(487)).toBe(16)
  expect(monthsOfDays(-84)).toBeCloseTo(-2.76, 2)
})

const RANGES = [
  { name: 'months', make: months, min: -5, max: 600 },
  { name: 'millimetres', make: millimetres, min: 0, max: 1000 },
  { name: 'degrees', make: degrees, min: -180, max: 180 },
  { name: 'days', make: days, min: -366, max: 7320 },
] as const

for (const { name, make, min, max } of RANGES)
  test(`${name} reach from ${min} to ${max}; outside, and not a number, is refused`, () => {
    expect([make(min), make(max)]).toEqual([min, max])
    for (const wrong of [min - 0.001, max + 0.001, Number.NaN, Number.POSITIVE_INFINITY])
      expect(() => make(wrong)).toThrow(
        new RangeError(`${name} must be from ${min} to ${max}, not ${wrong}`),
      )
  })

test('years are twelfths of months, not rounded', () => {
  expect(yearsOf(months(18))).toBe(1.5)
})

test('days become months and months days again', () => {
  fc.assert(
    fc.property(fc.integer({ min: -152, max: 18_000 }), (days) => {
      expect(monthsOfDays(days) * DAYS_PER_MONTH).toBeCloseTo(days, 9)
    }),
  )
})
