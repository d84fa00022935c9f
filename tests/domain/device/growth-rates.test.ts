import { expect, test } from 'vitest'
import { addDays } from '../../../src/domain/calendar.ts'
import {
  footLengthForAge,
  growthRateForAge,
  growthRates,
  growthStart,
  ownCurveRate,
} from '../../../src/domain/device/growth-rates.ts'
import { GOULD_1990 } from '../../../src/domain/tables/gould-1990.ts'
import { SNYDER_1977 } from '../../../src/domain/tables/snyder-1977.ts'
import { months } from '../../../src/domain/units.ts'
import { AS_OF, footMeasure } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'

/** Typed from the published fit: months, mean length in mm, growth in mm per month. */
const CURVE: readonly (readonly [number, number, number])[] = [
  [6, 96.0, 2.81],
  [9, 103.9, 2.46],
  [12, 110.8, 2.19],
  [15, 117.1, 1.97],
  [18, 122.7, 1.79],
  [24, 132.6, 1.51],
  [36, 148.4, 1.16],
  [48, 160.9, 0.94],
  [60, 171.2, 0.79],
  [72, 180.0, 0.68],
]

for (const [age, mm, rate] of CURVE) {
  test(`the foot of the average child of ${age} months is ${mm} mm and grows ${rate} mm a month`, () => {
    expect(Number(footLengthForAge(age))).toBeCloseTo(mm, 1)
    expect(Number(growthRateForAge(age))).toBeCloseTo(rate, 2)
  })
}

/** Typed from Snyder et al. 1977: middle of the age group in months, n, mean length and SD in mm. */
const SNYDER: readonly (readonly [number, number, number, number])[] = [
  [1.5, 31, 82, 5],
  [4.5, 44, 91, 6],
  [7.5, 31, 100, 7],
  [10.5, 27, 109, 6],
  [14, 32, 117, 8],
  [18, 29, 119, 10],
  [22, 31, 125, 9],
  [34.3, 212, 147.5, 10.6],
  [48.2, 227, 160.9, 9.5],
  [59.9, 263, 170.3, 9.3],
  [72, 220, 179.6, 10.6],
]

test('the table holds the means and deviations of Snyder et al. 1977', () => {
  const held = SNYDER_1977.footLength.map(({ n, mean, sd }) => [n, mean, sd])

  expect(held).toEqual(SNYDER.map(([, n, mean, sd]) => [n, mean, sd]))
})

test('the curve fits the published means to the stated 1.4 mm', () => {
  const squares = SNYDER.map(([age, n, mean]) => n * (mean - Number(footLengthForAge(age))) ** 2)
  const weight = SNYDER.reduce((sum, [, n]) => sum + n, 0)

  const error = Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / weight)

  expect(error).toBeLessThanOrEqual(1.4)
})

test('the largest misfits are the stated -4.5 mm at 22 and -3.7 mm at 18 months', () => {
  const misfits = SNYDER.map(
    ([age, , mean]) => [age, mean - Number(footLengthForAge(age))] as const,
  )
  const [largest, second, third] = misfits.toSorted((a, b) => Math.abs(b[1]) - Math.abs(a[1]))

  expect(largest?.[0]).toBe(22)
  // To a tenth: the stated misfit is from the parameters before they were rounded.
  expect(Math.abs((largest?.[1] ?? 0) + 4.5)).toBeLessThan(0.1)
  expect(second?.[0]).toBe(18)
  expect(Math.abs((second?.[1] ?? 0) + 3.7)).toBeLessThan(0.1)
  expect(Math.abs(third?.[1] ?? 9)).toBeLessThan(2)
})

test('outside 1 to 82 months there is no value', () => {
  expect(footLengthForAge(0.99)).toBe('unknown')
  expect(footLengthForAge(1)).not.toBe('unknown')
  expect(footLengthForAge(82)).not.toBe('unknown')
  expect(footLengthForAge(82.01)).toBe('unknown')
  expect(growthRateForAge(82.01)).toBe('unknown')
  expect(footLengthForAge(Number.NaN)).toBe('unknown')
})

/** Typed from Gould 1990 with half a size of 4.23 mm: months of age, least and greatest mm a month. */
const GOULD: readonly (readonly [number, number, number, number | undefined])[] = [
  [12, 15, 2.1, undefined],
  [15, 24, 1.4, 2.1],
  [24, 36, 1.1, 1.4],
  [36, 60, 1.1, 1.1],
]

for (const [from, to, low, high] of GOULD) {
  test(`Gould 1990 at ${from} to ${to} months: from ${low} mm a month, and the curve agrees to 0.2`, () => {
    const held = GOULD_1990.intervals.find(({ fromMonths }) => fromMonths === from)
    const curve = Number(growthRateForAge((from + to) / 2))

    expect(held?.toMonths).toBe(to)
    expect(held?.minRate).toBeCloseTo(low, 1)
    const greatest = held && 'maxRate' in held ? held.maxRate.toFixed(1) : undefined
    expect(greatest).toBe(high?.toFixed(1))
    expect(curve).toBeGreaterThan(low - 0.2)
    expect(curve).toBeLessThan((high ?? low) + 0.2)
  })
}

const startAt = (age: number, ...lengths: ReturnType<typeof footMeasure>[]) => {
  const start = growthStart({ lengths, asOf: AS_OF, age: months(age) }, 42)
  if (start === 'unknown') throw new Error('the test expects a start')
  return start
}

test('a foot is followed from its latest length, at the age on that day', () => {
  const start = startAt(
    18,
    footMeasure(118, addDays(AS_OF, -60)),
    footMeasure(115, addDays(AS_OF, -90)),
  )

  expect(Number(start.latest.mm)).toBe(118)
  // 60 days are 1.97 months of 30.4375 days.
  expect(start.age).toBeCloseTo(16.03, 2)
  expect(growthStart({ lengths: [], asOf: AS_OF, age: months(18) }, 42)).toBe('unknown')
})

test('in its own proportion a foot a tenth longer than the mean grows a tenth faster', () => {
  const rateAt = ownCurveRate(startAt(24, footMeasure(132.6 * 1.1)))

  expect(Math.abs(Number(rateAt(24)) / 1.1 - 1.51)).toBeLessThan(0.01)
  expect(Math.abs(Number(rateAt(36)) / 1.1 - 1.16)).toBeLessThan(0.01)
  expect(rateAt(82.1)).toBe('unknown')
})

test('the ends of the range are the slowest and the fastest of curve and publication', () => {
  const rates = growthRates(startAt(24, footMeasure(132.6)), RULES)

  // At 20 months Gould 1990 has 1.41 to 2.12, the curve 1.69; at 65 months there is only the curve.
  expect(Number(rates.slow(20))).toBeCloseTo(1.41, 2)
  expect(Number(rates.fast(20))).toBeCloseTo(2.12, 2)
  expect(Number(rates.middle(65))).toBeCloseTo(0.74, 2)
  expect(Number(rates.slow(65))).toBeGreaterThan(0.65)
  expect(Number(rates.slow(65))).toBeLessThan(Number(rates.middle(65)))
  expect(Number(rates.fast(65))).toBeGreaterThan(Number(rates.middle(65)))
  expect(rates.slow(83)).toBe('unknown')
})

test('small and large children lie 7.6 % either side where nothing is published', () => {
  const rates = growthRates(startAt(24, footMeasure(132.6)), RULES)

  // The SD is 5.9 % of the length; the 10th and 90th percentile lie 1.2816 SD from the mean.
  expect(Number(rates.slow(65)) / Number(rates.middle(65))).toBeCloseTo(0.924, 2)
  expect(Number(rates.fast(65)) / Number(rates.middle(65))).toBeCloseTo(1.076, 2)
})

test('a published interval begins with its first month and ends before its last', () => {
  const rates = growthRates(startAt(24, footMeasure(132.6)), RULES)

  // Gould 1990: half a size of 4.23 mm in 2 to 3 months from 15, in 4 months from 24 to 60 months.
  expect(Number(rates.slow(14.9))).toBeGreaterThan(1.8)
  expect(Number(rates.slow(15))).toBeCloseTo(1.41, 2)
  expect(Number(rates.fast(23.9))).toBeCloseTo(2.12, 2)
  expect(Number(rates.slow(24))).toBeCloseTo(1.06, 2)
  expect(Number(rates.fast(59.9))).toBeCloseTo(1.06, 2)
  expect(Number(rates.fast(60))).toBeLessThan(0.86)
})

test('before 12 months nothing is published: the curve alone, 2.81 mm a month at 6 months', () => {
  const rates = growthRates(startAt(7, footMeasure(98)), RULES)

  expect(Number(rates.slow(6))).toBeGreaterThan(2.5)
})

test('an own rate holds at every age of the curve, and at none beyond', () => {
  const start = startAt(20, footMeasure(120, addDays(AS_OF, -61)), footMeasure(124))
  const rates = growthRates(start, RULES)

  // 4 mm in 61 days, 2.0 months of 30.4375 days.
  expect(Number(rates.middle(20))).toBeCloseTo(2, 1)
  expect(Number(rates.middle(80))).toBeCloseTo(2, 1)
  expect(rates.middle(82.1)).toBe('unknown')
  expect(rates.fast(82.1)).toBe('unknown')
})

test('under 15 months the least published rate is an end, for a greatest one is not published', () => {
  const rates = growthRates(startAt(13, footMeasure(113)), RULES)

  expect(Number(rates.fast(13))).toBeGreaterThanOrEqual(2.11)
  expect(Number(rates.slow(13))).toBeLessThanOrEqual(2.12)
})
