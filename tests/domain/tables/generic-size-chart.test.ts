import { expect, test } from 'vitest'
import { sizeChartFaults } from '../../../src/domain/device/size-chart.ts'
import { FOOT_PROPORTIONS } from '../../../src/domain/tables/foot-proportions.ts'
import { GENERIC_SIZE_CHART } from '../../../src/domain/tables/generic-size-chart.ts'
import { SOURCES } from '../../../src/domain/tables/sources.ts'
import { RULES } from '../../helpers/rules.ts'

const { sizes } = GENERIC_SIZE_CHART
const sizeFor = (mm: number) =>
  sizes.find(({ footLength }) => mm >= footLength.min && mm <= footLength.max)

test('the chart has no gaps, overlaps or inverted ranges', () => {
  expect(sizeChartFaults(GENERIC_SIZE_CHART)).toEqual([])
})

test('it reaches from 82 mm to past 200 mm in twelve sizes of its own names', () => {
  expect(sizes).toHaveLength(12)
  expect(sizes[0]?.footLength.min).toBe(82)
  expect(sizes.at(-1)?.footLength.max).toBe(202)
  expect(sizes.map(({ code }) => code)).toEqual(sizes.map((_, index) => `G${index + 1}`))
})

test('its note says that it is generic and computed', () => {
  expect(GENERIC_SIZE_CHART.note).toMatch(/^Generic: computed/)
})

test('the proportions are marked as from memory', () => {
  expect(SOURCES[FOOT_PROPORTIONS.source].citation).toMatch(/^From memory/)
})

/**
 * Typed from Snyder et al. 1977: mean length, 5th and 95th percentile of breadth and of ankle
 * circumference of the same children, from 3-5 months to 5.5-6.5 years, mm.
 */
const CHILDREN: readonly (readonly [number, number, number, number, number])[] = [
  [91, 34, 46, 98, 130],
  [100, 37, 48, 109, 137],
  [109, 41, 53, 113, 145],
  [117, 44, 55, 116, 149],
  [119, 41, 57, 112, 150],
  [125, 42, 58, 118, 148],
  [147.5, 54, 69, 133.9, 163.8],
  [160.9, 58, 72, 135, 167.4],
  [170.3, 61, 76, 139.6, 170.4],
  [179.6, 64, 79, 145.9, 176.2],
]

for (const [length, narrow, broad, thin, thick] of CHILDREN) {
  test(`a foot of ${length} mm finds breadth and ankle of 90 in 100 such children in its size`, () => {
    const size = sizeFor(length)

    expect(size?.forefootBreadth.min).toBeLessThanOrEqual(narrow)
    expect(size?.forefootBreadth.max).toBeGreaterThanOrEqual(broad)
    expect(size?.ankleCircumference.min).toBeLessThanOrEqual(thin)
    expect(size?.ankleCircumference.max).toBeGreaterThanOrEqual(thick)
  })
}

test('breadth and ankle of G6 follow the published regressions and their standard errors', () => {
  // 16.61 + 0.3023 x 132 - 3 x 3.55 = 45.9; 16.61 + 0.3023 x 142 + 3 x 3.55 = 70.2
  expect(sizes[5]?.forefootBreadth).toEqual({ min: 45, max: 71 })
  // 85 + 0.4159 x 132 - 3 x 9.47 = 111.5; 85 + 0.4159 x 142 + 3 x 9.47 = 172.5
  expect(sizes[5]?.ankleCircumference).toEqual({ min: 111, max: 173 })
})

test('the plates of a size can be cut to its largest and to its smallest foot', () => {
  for (const { footLength, medialPlate, lateralPlate, maxTrim } of sizes) {
    // 4 mm short of the first metatarsal head at 70-76 %, 2 mm short of the sulcus at 71-77 %.
    expect(medialPlate).toBeGreaterThanOrEqual(0.76 * footLength.max - 4)
    expect(lateralPlate).toBeGreaterThanOrEqual(0.77 * footLength.max - 2)
    expect(medialPlate - (0.7 * (footLength.min - 3) - 4)).toBeLessThanOrEqual(maxTrim)
    expect(lateralPlate - (0.71 * (footLength.min - 3) - 2)).toBeLessThanOrEqual(maxTrim)
  }
})

test('it is cut for the clearances, the reserve and the closure of the shipped rule set', () => {
  // The chart repeats these numbers: where the rule set's change, the chart needs a new version too.
  expect(RULES.sizing).toMatchObject({
    medialClearanceMm: 4,
    lateralClearanceMm: 2,
    growthReserveMm: 3,
    closureGapMm: 13,
  })
})

test('every measure grows from size to size', () => {
  for (const [index, size] of sizes.slice(1).entries()) {
    expect(size.medialPlate).toBeGreaterThan(sizes[index]?.medialPlate ?? Number.NaN)
    expect(size.lateralPlate).toBeGreaterThan(sizes[index]?.lateralPlate ?? Number.NaN)
    expect(size.instepGirth).toBeGreaterThan(sizes[index]?.instepGirth ?? Number.NaN)
  }
})
