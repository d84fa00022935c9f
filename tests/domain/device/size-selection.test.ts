import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import type { FootDimensions } from '../../../src/domain/device/dimensions.ts'
import { selectSize } from '../../../src/domain/device/size-selection.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { GENERIC_SIZE_CHART } from '../../../src/domain/tables/generic-size-chart.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { messagesIn } from '../../helpers/messages.ts'
import { chartOf, size, THREE_SIZES, usedOf } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'

const select = (length: number, used: FootDimensions['used'] = {}, chart = THREE_SIZES) =>
  selectSize(chart, { length, used }, RULES)
const code = (length: number, used: FootDimensions['used'] = {}) => select(length, used).size?.code
const en = speaker('en')
const whySo = (...known: Parameters<typeof select>) => en.therapist(select(...known).because)
const whyNot = (length: number, other: string, used: FootDimensions['used'] = {}) =>
  select(length, used)
    .alternatives.filter((rejected) => rejected.code === other)
    .map(({ because }) => en.therapist(because))
    .join()

test('the snuggest size with 3 mm of room wins, under 3 mm the next', () => {
  expect(code(117)).toBe('A')
  expect(code(117.1)).toBe('B')
  expect(whyNot(117.1, 'A')).toContain('leaves only 2.9 mm to grow')
  expect(whyNot(117, 'B')).toBe('It fits, but less snugly than A.')
  expect(whySo(117)).toBe('A is the snuggest size that fits and leaves 3 mm to grow.')
})

test('when no larger size fits, the one with too little room is taken and says so', () => {
  const chosen = select(139)

  expect(chosen.size?.code).toBe('C')
  expect(whySo(139)).toMatch(/ 1 mm to grow, under the reserve of 3 mm/)
})

test('a foot takes a size up to 3 mm early, no earlier', () => {
  const chart = chartOf(size())

  expect(select(117, {}, chart).size?.code).toBe('B')
  expect(select(116.9, {}, chart).size).toBeUndefined()
  expect(select(130, {}, chart).size?.code).toBe('B')
  expect(select(130.1, {}, chart).size).toBeUndefined()
})

for (const [name, low, high] of [
  ['forefoot-breadth', 45, 60],
  ['ankle-circumference', 115, 160],
] as const) {
  test(`${name} of ${low} to ${high} mm fits, outside a device is made to measure`, () => {
    expect(code(124, usedOf({ [name]: low }))).toBe('B')
    expect(code(124, usedOf({ [name]: high }))).toBe('B')
    expect(code(124, usedOf({ [name]: low - 0.1 }))).toBeUndefined()
    expect(whySo(124, usedOf({ [name]: low - 0.1 }))).toContain(
      `Under its ${low} mm: ${name.replace('-', ' ')} ${low - 0.1} mm.`,
    )
    expect(whySo(124, usedOf({ [name]: high + 0.1 }))).toContain(
      `Over its ${high} mm: ${name.replace('-', ' ')} ${high}.1 mm.`,
    )
  })
}

test('a plate that cannot be cut to the foot excludes the size', () => {
  const short = usedOf({ 'heel-to-first-metatarsal-head': 93 })

  expect(code(117, usedOf({ 'heel-to-first-metatarsal-head': 92 }))).toBe('A')
  expect(code(117, short)).toBe('B')
  expect(whyNot(117, 'A', short)).toBe('Its medial plate is 1 mm too short.')
})

test('a closure that stands open asks for the larger size when that fits', () => {
  // A at 117 mm: shell 100, so 119 mm around the instep leave 19 mm.
  expect(code(117, usedOf({ 'instep-girth': 119 }))).toBe('A')
  expect(code(117, usedOf({ 'instep-girth': 119.5 }))).toBe('B')
  expect(whyNot(117, 'A', usedOf({ 'instep-girth': 119.5 }))).toContain('stand too far open')
  expect(code(113, usedOf({ 'instep-girth': 125 }))).toBe('A')
})

test('the other sizes come nearest first', () => {
  expect(select(118).alternatives.map((rejected) => rejected.code)).toEqual(['A', 'C'])
  expect(select(150).alternatives.map((rejected) => rejected.code)).toEqual(['C', 'B', 'A'])
  expect(whySo(150)).toContain('Nearest is C. Over its 140 mm: foot length 150 mm.')
})

test('an empty chart has no size', () => {
  expect(select(120, {}, chartOf()).size).toBeUndefined()
})

const sizesOfFoot = fc.record(
  {
    'forefoot-breadth': fc.integer({ min: 30, max: 90 }),
    'ankle-circumference': fc.integer({ min: 90, max: 200 }),
    'heel-to-first-metatarsal-head': fc.integer({ min: 55, max: 155 }),
    'heel-to-fifth-toe-sulcus': fc.integer({ min: 55, max: 155 }),
    'instep-girth': fc.integer({ min: 70, max: 220 }),
  },
  { requiredKeys: [] },
)
const length = fc.double({ min: 75, max: 205, noNaN: true })

test('a longer foot never gets a smaller size', () => {
  const { sizes } = GENERIC_SIZE_CHART
  const place = (mm: number, used: FootDimensions['used']) =>
    sizes.findIndex(({ code }) => code === select(mm, used, GENERIC_SIZE_CHART).size?.code)
  fc.assert(
    fc.property(
      length,
      fc.double({ min: 0, max: 25, noNaN: true }),
      sizesOfFoot,
      (mm, more, rest) => {
        const used = usedOf(rest)
        const smaller = place(mm, used)
        const larger = place(mm + more, used)
        fc.pre(smaller !== -1 && larger !== -1)

        expect(larger).toBeGreaterThanOrEqual(smaller)
      },
    ),
    { numRuns: 30 },
  )
})

test('every chosen size satisfies its own limits', () => {
  fc.assert(
    fc.property(length, sizesOfFoot, (mm, rest) => {
      const { size: chosen } = select(mm, usedOf(rest), GENERIC_SIZE_CHART)
      fc.pre(chosen !== undefined)
      const { footLength, forefootBreadth, ankleCircumference } = chosen
      // What was not measured limits nothing.
      const breadth = rest['forefoot-breadth'] ?? forefootBreadth.min
      const ankle = rest['ankle-circumference'] ?? ankleCircumference.min

      expect(mm).toBeGreaterThanOrEqual(footLength.min - 3)
      expect(mm).toBeLessThanOrEqual(footLength.max)
      expect(breadth).toBeGreaterThanOrEqual(forefootBreadth.min)
      expect(breadth).toBeLessThanOrEqual(forefootBreadth.max)
      expect(ankle).toBeGreaterThanOrEqual(ankleCircumference.min)
      expect(ankle).toBeLessThanOrEqual(ankleCircumference.max)
    }),
  )
})

test('each size is either chosen or has its reason', () => {
  fc.assert(
    fc.property(length, sizesOfFoot, (mm, rest) => {
      const { size: chosen, alternatives } = select(mm, usedOf(rest), GENERIC_SIZE_CHART)

      expect(alternatives).toHaveLength(chosen === undefined ? 12 : 11)
      expect(alternatives.every(({ because }) => en.therapist(because).length > 0)).toBe(true)
    }),
  )
})

test('the order of the chart does not matter', () => {
  fc.assert(
    fc.property(
      length,
      fc.shuffledSubarray([...THREE_SIZES.sizes], { minLength: 3 }),
      (mm, sizes) => {
        expect(select(mm, {}, chartOf(...sizes))).toEqual(select(mm))
      },
    ),
  )
})

test('the family is told why, in plain words, in both languages', () => {
  const { alternatives, because } = select(124, usedOf({ 'forefoot-breadth': 61 }))
  const family = (language: 'en' | 'es') =>
    [because, ...alternatives.slice(0, 1).map((other) => other.because)].map((message) =>
      speaker(language).family(message),
    )

  expect(family('en')).toEqual([
    'No ready size fits this foot, so a support would be made to measure. The nearest size is B. It is too small here: width of the front of the foot.',
    'It is too small here: width of the front of the foot.',
  ])
  expect(family('es')[1]).toBe('Es demasiado pequeña en esto: ancho de la parte delantera del pie.')
})

test('every outcome is said in both languages to both readers', () => {
  const outcomes = [
    ...[105, 117, 117.1, 139, 150].map((mm) => select(mm)),
    select(117, usedOf({ 'instep-girth': 119.5 })),
    select(117, usedOf({ 'forefoot-breadth': 20, 'heel-to-first-metatarsal-head': 70 })),
    select(117, usedOf({ 'heel-to-fifth-toe-sulcus': 110 })),
    select(120, {}, chartOf()),
  ]

  expect(faultsInVoices(outcomes.flatMap(messagesIn))).toEqual([])
})
