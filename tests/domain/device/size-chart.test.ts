import { expect, test } from 'vitest'
import { byLength, sizeChartFaults } from '../../../src/domain/device/size-chart.ts'
import { chartOf, size, THREE_SIZES } from '../../helpers/plans.ts'

test('a chart whose sizes touch has no faults', () => {
  expect(sizeChartFaults(THREE_SIZES)).toEqual([])
})

test('a gap of any width is a fault', () => {
  const chart = chartOf(size(), size({ code: 'C', footLength: { min: 130.1, max: 140 } }))

  expect(sizeChartFaults(chart)).toEqual(['gap: no size between 130 (B) and 130.1 (C)'])
})

test('an overlap of any width is a fault', () => {
  const chart = chartOf(size(), size({ code: 'C', footLength: { min: 129.9, max: 140 } }))

  expect(sizeChartFaults(chart)).toEqual(['overlap: C starts at 129.9, before B ends at 130'])
})

for (const range of ['footLength', 'forefootBreadth', 'ankleCircumference'] as const) {
  test(`an inverted, empty or unbounded ${range} is a fault`, () => {
    for (const [min, max] of [
      [60, 50],
      [50, 50],
      [0, 50],
      [50, 1001],
      [50, Number.NaN],
    ] as const) {
      expect(sizeChartFaults(chartOf(size({ [range]: { min, max } })))).toHaveLength(1)
    }
  })
}

test('a plate, girth or trim that is no length is a fault', () => {
  expect(sizeChartFaults(chartOf(size({ medialPlate: 0 })))).toHaveLength(1)
  expect(sizeChartFaults(chartOf(size({ lateralPlate: Number.NaN })))).toHaveLength(1)
  expect(sizeChartFaults(chartOf(size({ instepGirth: -1 })))).toHaveLength(1)
  expect(sizeChartFaults(chartOf(size({ maxTrim: -1 })))).toHaveLength(1)
  expect(sizeChartFaults(chartOf(size({ maxTrim: 0 })))).toEqual([])
})

test('a code stands for one size', () => {
  const chart = chartOf(size(), size({ footLength: { min: 130, max: 140 } }))

  expect(sizeChartFaults(chart)).toEqual(['B: the code is used twice'])
})

test('a chart without sizes is a fault', () => {
  expect(sizeChartFaults(chartOf())).toEqual(['the chart has no sizes'])
})

test('sizes are put in order of length', () => {
  const shuffled = [...THREE_SIZES.sizes].toReversed()

  expect(byLength(shuffled).map(({ code }) => code)).toEqual(['A', 'B', 'C'])
  expect(sizeChartFaults(chartOf(...shuffled))).toEqual([])
})
