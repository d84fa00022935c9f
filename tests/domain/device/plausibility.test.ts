import { expect, test } from 'vitest'
import {
  expectedForAge,
  expectedForLength,
  plausibility,
} from '../../../src/domain/device/plausibility.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { SNYDER_1977 } from '../../../src/domain/tables/snyder-1977.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'

const expected = (dimension: Parameters<typeof expectedForAge>[0]['dimension'], age: number) => {
  const found = expectedForAge({ dimension, age, z: 4 })
  if (found === 'unknown') throw new Error('the test expects a band')
  return found
}

/** Typed from Snyder et al. 1977: months, mean and SD of breadth, of ankle circumference, mm. */
const PUBLISHED: readonly (readonly [number, number, number, number, number])[] = [
  [0, 36, 4, 102, 15],
  [3, 40, 3, 116, 10],
  [6, 42, 3, 123, 9],
  [9, 47, 4, 129, 10],
  [12, 49, 3, 132, 10],
  [16, 50, 4, 133, 11],
  [20, 52, 4, 136, 9],
  [24, 61.2, 4.5, 148.4, 9.9],
  [42, 65, 4.1, 149.5, 9.5],
  [54, 67.9, 4.3, 154.7, 9.2],
  [66, 71, 4.8, 159.8, 11.2],
]

for (const [age, breadth, breadthSd, ankle, ankleSd] of PUBLISHED) {
  test(`from ${age} months the breadth is ${breadth} and the ankle ${ankle} mm, as published`, () => {
    const broad = expected('forefoot-breadth', age)
    const round = expected('ankle-circumference', age)

    expect(broad.low).toBeCloseTo(breadth - 4 * breadthSd, 6)
    expect(broad.high).toBeCloseTo(breadth + 4 * breadthSd, 6)
    expect(round.high).toBeCloseTo(ankle + 4 * ankleSd, 6)
  })
}

test('the bands follow each other without a gap', () => {
  for (const bands of [
    SNYDER_1977.footLength,
    SNYDER_1977.footBreadth,
    SNYDER_1977.ankleCircumference,
  ]) {
    expect(bands.slice(1).map(({ fromMonths }) => fromMonths)).toEqual(
      bands.slice(0, -1).map(({ toMonths }) => toMonths),
    )
  }
})

test('ankle breadth has no infant table: 41.4 mm (SD 3.5) from 24 months', () => {
  expect(expectedForAge({ dimension: 'malleolar-breadth', age: 23.9, z: 4 })).toBe('unknown')
  expect(expected('malleolar-breadth', 24).low).toBeCloseTo(27.4, 6)
})

test('outside the published ages nothing is expected', () => {
  expect(expectedForAge({ dimension: 'foot-length', age: 78, z: 4 })).toBe('unknown')
  expect(expectedForAge({ dimension: 'foot-length', age: 77.9, z: 4 })).not.toBe('unknown')
  expect(expectedForAge({ dimension: 'instep-girth', age: 30, z: 4 })).toBe('unknown')
  expect(expectedForAge({ dimension: 'foot-length', age: Number.NaN, z: 4 })).toBe('unknown')
})

test('four standard deviations are plausible, more are not: 79 to 159 mm at 16 months', () => {
  const range = expected('foot-length', 16)

  expect(range.sources).toEqual(['snyder-1977'])
  expect(plausibility(79, range)).toBe('plausible')
  expect(plausibility(78.9, range)).toBe('implausible')
  expect(plausibility(159, range)).toBe('plausible')
  expect(plausibility(159.1, range)).toBe('implausible')
})

test('a tenth of, or ten times, a plausible value is a slip of unit', () => {
  const range = expected('forefoot-breadth', 16)

  expect(plausibility(5, range)).toBe('unit-slip')
  expect(plausibility(500, range)).toBe('unit-slip')
  expect(plausibility(1, range)).toBe('implausible')
  expect(plausibility(Number.NaN, range)).toBe('implausible')
})

test('dimensions without an age table are compared with the length of the foot', () => {
  const range = expectedForLength('heel-to-first-metatarsal-head', 120)

  expect(range).toMatchObject({ low: 60, high: 120, sources: ['memory'] })
  expect(expectedForLength('ankle-circumference', 120)).toBe('unknown')
})

test('what is expected is said with its numbers, in both languages to both readers', () => {
  const beside = expectedForLength('heel-to-first-metatarsal-head', 120)
  const words = [expected('foot-length', 16), ...(beside === 'unknown' ? [] : [beside])].map(
    (one) => one.words,
  )

  expect(words.map((one) => speaker('en').therapist(one))).toEqual([
    'Children of 16 to 20 months have 119 mm (SD 10).',
    'Beside a foot of 120 mm it should be 60 to 120 mm.',
  ])
  expect(faultsInVoices(words)).toEqual([])
})
