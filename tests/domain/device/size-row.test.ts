import { expect, test } from 'vitest'
import { isLength, isRange, sizeFaults } from '../../../src/domain/device/size-row.ts'
import type { DeviceSize } from '../../../src/domain/device/sizing.ts'
import { size } from '../../helpers/plans.ts'

/** Dimension and text of every fault of the invented size B of 120 to 130 mm, changed so. */
const faultsOf = (known: Partial<DeviceSize>) =>
  sizeFaults(size(known)).map(({ dimension, text }) => [dimension, text])
const dimensionsOf = (known: Partial<DeviceSize>) =>
  sizeFaults(size(known)).map(({ dimension }) => dimension)

test('a size that is whole has no faults', () => {
  expect(faultsOf({})).toEqual([])
})

for (const [name, words] of [
  ['footLength', 'foot length'],
  ['forefootBreadth', 'forefoot breadth'],
  ['ankleCircumference', 'ankle circumference'],
] as const) {
  test(`an inverted, empty, unbounded or missing ${words} is a fault that names row and dimension`, () => {
    for (const [min, max] of [
      [60, 50],
      [50, 50],
      [0, 50],
      [50, 1000.1],
      [50, Number.NaN],
      [Number.NaN, 50],
    ] as const) {
      expect(faultsOf({ [name]: { min, max } })).toEqual([
        [
          name,
          `B: ${words} from ${min} to ${max} mm is no range (above 0, the end above the start and at most 1000).`,
        ],
      ])
    }
  })
}

test('a plate, girth or trim that is no length is a fault', () => {
  for (const name of ['medialPlate', 'lateralPlate', 'instepGirth'] as const)
    for (const mm of [0, -1, 1000.1, Number.NaN])
      expect(dimensionsOf({ [name]: mm })).toEqual([name])
  for (const mm of [-1, 1000.1, Number.NaN])
    expect(dimensionsOf({ maxTrim: mm })).toEqual(['maxTrim'])
  expect(faultsOf({ instepGirth: 0 })).toEqual([
    ['instepGirth', 'B: instep girth of 0 mm is no length.'],
  ])
})

test('a metre is the most that a length or a range holds', () => {
  expect(isLength(1000)).toBe(true)
  expect(isRange({ min: 900, max: 1000 })).toBe(true)
  // The trim is a length, and then too long for the plates.
  expect(faultsOf({ maxTrim: 1000 })[0]?.[1]).toBe(
    'B: a trim of 1000 mm leaves nothing of the medial plate of 95.',
  )
})

test('nothing needs to be trimmed', () => {
  expect(faultsOf({ maxTrim: 0 })).toEqual([])
})

test('the medial plate may be as long as the lateral one, not longer', () => {
  expect(faultsOf({ medialPlate: 98, lateralPlate: 98 })).toEqual([])
  expect(faultsOf({ medialPlate: 98.1, lateralPlate: 98 })).toEqual([
    [
      'medialPlate',
      'B: the medial plate of 98.1 mm is longer than the lateral one of 98; it ends before the first metatarsal head, the lateral one behind the fifth.',
    ],
  ])
})

test('a plate may be as long as the longest foot of the size, not longer', () => {
  expect(faultsOf({ lateralPlate: 130 })).toEqual([])
  expect(faultsOf({ lateralPlate: 130.1 })).toEqual([
    ['lateralPlate', 'B: the lateral plate of 130.1 mm is longer than its longest foot of 130.'],
  ])
  expect(dimensionsOf({ medialPlate: 130.1, lateralPlate: 130.1 })).toEqual([
    'medialPlate',
    'lateralPlate',
  ])
})

test('a plate may be half the shortest foot of the size, not less', () => {
  expect(faultsOf({ medialPlate: 60 })).toEqual([])
  expect(faultsOf({ medialPlate: 59.9 })).toEqual([
    [
      'medialPlate',
      'B: the medial plate of 59.9 mm is shorter than half its shortest foot of 120.',
    ],
  ])
})

test('a trim leaves something of the plate', () => {
  expect(faultsOf({ maxTrim: 94.9 })).toEqual([])
  expect(faultsOf({ maxTrim: 95 })).toEqual([
    ['maxTrim', 'B: a trim of 95 mm leaves nothing of the medial plate of 95.'],
  ])
})

test('a forefoot may be as broad as the longest foot is long, not broader', () => {
  expect(faultsOf({ forefootBreadth: { min: 45, max: 130 } })).toEqual([])
  // What stands there when breadth and ankle are swapped.
  expect(faultsOf({ forefootBreadth: { min: 115, max: 160 } })).toEqual([
    ['forefootBreadth', 'B: a forefoot 160 mm broad is more than its longest foot of 130 is long.'],
  ])
})

test('the girth of the shell is between what some foot of the size has', () => {
  // From memory: an instep is 0.7 to 1.6 times the length of the foot; half of 0.7 x 120, 1.6 x 130.
  expect(faultsOf({ instepGirth: 42 })).toEqual([])
  expect(faultsOf({ instepGirth: 41.9 })).toEqual([
    [
      'instepGirth',
      'B: an instep girth of 41.9 mm reaches less than half around every foot of 120.',
    ],
  ])
  expect(faultsOf({ instepGirth: 208 })).toEqual([])
  expect(faultsOf({ instepGirth: 208.1 })).toEqual([
    ['instepGirth', 'B: an instep girth of 208.1 mm overlaps on every foot of 130.'],
  ])
})

test('a value that is none is not compared with others', () => {
  expect(dimensionsOf({ footLength: { min: 130, max: 120 }, instepGirth: 500 })).toEqual([
    'footLength',
  ])
  expect(dimensionsOf({ lateralPlate: Number.NaN })).toEqual(['lateralPlate'])
})
