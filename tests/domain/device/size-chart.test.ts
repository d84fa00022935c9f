import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { byLength, sizeChartFaults } from '../../../src/domain/device/size-chart.ts'
import type { DeviceSize } from '../../../src/domain/device/sizing.ts'
import { chartOf, size, THREE_SIZES } from '../../helpers/plans.ts'

const textsOf = (...sizes: readonly DeviceSize[]) =>
  sizeChartFaults(chartOf(...sizes)).map(({ text }) => text)

/** The size after B of 120 to 130 mm. */
const larger = (known: Partial<DeviceSize> = {}) =>
  size({ code: 'C', footLength: { min: 130, max: 140 }, ...known })

test('a chart whose sizes touch has no faults', () => {
  expect(sizeChartFaults(THREE_SIZES)).toEqual([])
})

test('a gap of any width between two lengths is a fault', () => {
  expect(textsOf(size(), larger({ footLength: { min: 130.1, max: 140 } }))).toEqual([
    'C: foot length starts at 130.1 mm, after B ends at 130: a gap.',
  ])
})

test('an overlap of any width between two lengths is a fault', () => {
  expect(textsOf(size(), larger({ footLength: { min: 129.9, max: 140 } }))).toEqual([
    'C: foot length starts at 129.9 mm, before B ends at 130: an overlap.',
  ])
})

test('a size inside two others overlaps, and leaves no gap where another bridges it', () => {
  const inside = size({ code: 'B', footLength: { min: 112, max: 115 } })
  const around = size({ code: 'D', footLength: { min: 105, max: 140 } })
  const before = size({ code: 'A', footLength: { min: 100, max: 110 } })

  expect(textsOf(before, inside, around)).toEqual([
    'D: foot length starts at 105 mm, before A ends at 110: an overlap.',
  ])
})

test('the same lengths in two rows are an overlap', () => {
  expect(textsOf(size(), size({ code: 'C' }))).toEqual([
    'C: foot length starts at 120 mm, before B ends at 130: an overlap.',
  ])
})

for (const [name, words] of [
  ['forefootBreadth', 'forefoot breadth'],
  ['ankleCircumference', 'ankle circumference'],
] as const) {
  const of = (min: number, max: number) => ({ [name]: { min, max } })

  test(`${words} of neighbours may overlap or touch; a gap is a fault`, () => {
    expect(textsOf(size(of(60, 70)), larger(of(65, 75)))).toEqual([])
    expect(textsOf(size(of(60, 70)), larger(of(70, 75)))).toEqual([])
    expect(textsOf(size(of(60, 70)), larger(of(70.1, 75)))).toEqual([
      `C: ${words} starts at 70.1 mm, after B ends at 70: a gap.`,
    ])
  })

  test(`${words} does not shrink at either end from one size to the next`, () => {
    expect(textsOf(size(of(60, 70)), larger(of(60, 70)))).toEqual([])
    expect(textsOf(size(of(60, 70)), larger(of(59.9, 70)))).toEqual([
      `C: ${words} of 59.9 mm is less than the 60 of the smaller B.`,
    ])
    expect(textsOf(size(of(60, 70)), larger(of(60, 69.9)))).toEqual([
      `C: ${words} of 69.9 mm is less than the 70 of the smaller B.`,
    ])
  })
}

for (const [name, words] of [
  ['medialPlate', 'medial plate'],
  ['lateralPlate', 'lateral plate'],
  ['instepGirth', 'instep girth'],
] as const)
  test(`the ${words} does not shrink from one size to the next`, () => {
    expect(textsOf(size({ [name]: 98 }), larger({ [name]: 98 }))).toEqual([])
    expect(textsOf(size({ [name]: 98 }), larger({ [name]: 97.9 }))).toEqual([
      `C: ${words} of 97.9 mm is less than the 98 of the smaller B.`,
    ])
  })

test('what may be trimmed may differ from size to size', () => {
  expect(textsOf(size({ maxTrim: 12 }), larger({ maxTrim: 5 }))).toEqual([])
})

test('a row whose length is no range is named alone; no gap is claimed where it may belong', () => {
  const inverted = size({ code: 'I', footLength: { min: 140, max: 130 } })
  const last = size({ code: 'L', footLength: { min: 140, max: 150 } })

  expect(sizeChartFaults(chartOf(size(), inverted, last))).toMatchObject([
    { size: { code: 'I' }, dimension: 'footLength' },
  ])
})

test('a row whose length is no range is not said to shrink beside the others', () => {
  const inverted = larger({ footLength: { min: 140, max: 130 }, medialPlate: 90 })

  expect(textsOf(size(), inverted).map((text) => text.slice(0, 14))).toEqual(['C: foot length'])
})

test('a plate that is no length is not said to shrink as well', () => {
  expect(textsOf(size(), larger({ lateralPlate: 0 }))).toEqual([
    'C: lateral plate of 0 mm is no length.',
  ])
})

for (const [name, words] of [
  ['forefootBreadth', 'forefoot breadth'],
  ['ankleCircumference', 'ankle circumference'],
] as const)
  test(`a ${words} that is no range is said neither to shrink nor to leave a gap`, () => {
    const of = (min: number, max: number) => ({ [name]: { min, max } })
    const dimensions = (...sizes: readonly DeviceSize[]) =>
      sizeChartFaults(chartOf(...sizes)).map(({ size: row, dimension }) => [row?.code, dimension])

    expect(dimensions(size(of(60, 70)), larger(of(65, 55)))).toEqual([['C', name]])
    expect(dimensions(size(of(60, 70)), larger(of(80, 75)))).toEqual([['C', name]])
    expect(dimensions(size(of(70, 60)), larger(of(50, 55)))).toEqual([['B', name]])
  })

test('of two sizes for the same feet neither is said to shrink', () => {
  expect(textsOf(size(), size({ code: 'C', medialPlate: 90, instepGirth: 100 }))).toEqual([
    'C: foot length starts at 120 mm, before B ends at 130: an overlap.',
  ])
})

test('of two sizes that end alike the one that starts earlier comes first', () => {
  const [wide, narrow] = [size(), size({ code: 'C', footLength: { min: 125, max: 130 } })]

  expect(byLength([narrow, wide])).toEqual([wide, narrow])
  expect(byLength([wide, narrow])).toEqual([wide, narrow])
})

test('a code stands for one size', () => {
  expect(sizeChartFaults(chartOf(size(), larger({ code: 'B' })))).toMatchObject([
    { size: { footLength: { min: 130 } }, dimension: 'code', text: 'B: the code is used twice.' },
  ])
})

test('a chart without sizes is a fault', () => {
  expect(sizeChartFaults(chartOf())).toEqual([{ text: 'The chart has no sizes.' }])
})

test('every fault of every row is found at once', () => {
  const rows = [size({ maxTrim: -1 }), larger({ instepGirth: 0, medialPlate: 120 })]

  expect(sizeChartFaults(chartOf(...rows)).map(({ text }) => text.slice(0, 2))).toEqual([
    'B:',
    'C:',
    'C:',
  ])
})

test('sizes are put in order of length', () => {
  const shuffled = [...THREE_SIZES.sizes].toReversed()

  expect(byLength(shuffled).map(({ code }) => code)).toEqual(['A', 'B', 'C'])
  expect(sizeChartFaults(chartOf(...shuffled))).toEqual([])
})

const cuts = fc.uniqueArray(fc.integer({ min: 80, max: 300 }), { minLength: 3, maxLength: 8 })

/** Sizes that touch at the cuts, alike but for their lengths. */
const touching = (lengths: readonly number[]): DeviceSize[] =>
  lengths.slice(1).map((max, index) => {
    const min = lengths[index] ?? 0
    const alike = { medialPlate: min, lateralPlate: max, instepGirth: max }
    return size({ code: `S${index}`, footLength: { min, max }, ...alike })
  })

const dimensionsOf = (sizes: readonly DeviceSize[]) =>
  sizeChartFaults(chartOf(...sizes)).map(({ dimension }) => dimension)

test('sizes that touch have no faults; with one taken from their middle they have one gap', () => {
  fc.assert(
    fc.property(cuts, fc.nat(), (lengths, seed) => {
      const sizes = touching(lengths.toSorted((a, b) => a - b))
      const taken = 1 + (seed % Math.max(sizes.length - 2, 1))

      expect(dimensionsOf(sizes)).toEqual([])
      const rest = sizes.filter((_, index) => index !== taken)
      expect(dimensionsOf(rest)).toEqual(taken < sizes.length - 1 ? ['footLength'] : [])
    }),
  )
})
