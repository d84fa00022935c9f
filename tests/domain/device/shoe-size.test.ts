import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import type { ShoeSystem } from '../../../src/domain/child.ts'
import {
  footLengthOfShoe,
  shoeSizeTerm,
  shoeSources,
} from '../../../src/domain/device/shoe-size.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'

/** Typed from three public conversion charts: foot length in mm, UK child, US child and EU size. */
const CHARTS: readonly (readonly [number, number, number, number])[] = [
  [90, 0, 0.5, 15],
  [97, 1, 1.5, 16],
  [103, 2, 2.5, 17],
  [116, 3, 3.5, 19],
  [123, 4, 4.5, 20],
  [127, 4.5, 5, 20.5],
  [130, 5, 5.5, 21],
  [138, 6, 6.5, 22.5],
  [146, 7, 7.5, 23.5],
  [154, 8, 8.5, 25],
  [169, 10, 10.5, 27.5],
  [185, 12, 12.5, 30],
  [102, 1, 2, 17],
  [114, 3, 4, 19],
  [140, 6, 7, 23],
  [165, 8, 9, 26],
  [178, 10, 11, 28],
  [191, 11, 12, 30],
  [95, 1.5, 2, 17],
  [102, 2, 2.5, 17.5],
  [117, 4, 4.5, 20],
  [127, 5, 5.5, 21],
]

/** A third of an inch, and two thirds of a centimetre. */
const STEPS = { 'uk-child': 25.4 / 3, 'us-child': 25.4 / 3, eu: 20 / 3 } as const

/** The worst of the charts lies 1.56 UK sizes and 1.0 EU sizes beside the formula, as stated. */
test('the charts agree with the formulas to about one size', () => {
  const apart = (system: keyof typeof STEPS, mm: number, size: number) =>
    Math.abs(Number(footLengthOfShoe({ system, size })) - mm) / STEPS[system]

  const uk = CHARTS.map(([mm, size]) => apart('uk-child', mm, size))
  const us = CHARTS.map(([mm, , size]) => apart('us-child', mm, size))
  const eu = CHARTS.map(([mm, , , size]) => apart('eu', mm, size))

  expect(Math.max(...uk)).toBeCloseTo(1.56, 2)
  expect(Math.max(...eu)).toBeLessThanOrEqual(1 + 1e-9)
  expect(Math.max(...us)).toBeLessThan(1.3)
})

/** Typed from the worked formulas: foot length in mm, UK child, EU. */
const WORKED: readonly (readonly [number, number, number])[] = [
  [97, 1.46, 16.8],
  [116, 3.7, 19.65],
  [123, 4.53, 20.7],
  [138, 6.3, 22.95],
  [154, 8.19, 25.35],
  [185, 11.85, 30],
]

for (const [mm, uk, eu] of WORKED) {
  test(`UK child ${uk} and EU ${eu} are ${mm} mm`, () => {
    expect(Number(footLengthOfShoe({ system: 'uk-child', size: uk }))).toBeCloseTo(mm, 0)
    expect(Number(footLengthOfShoe({ system: 'eu', size: eu }))).toBeCloseTo(mm, 5)
  })
}

test('a Mondopoint size is the foot length', () => {
  expect(footLengthOfShoe({ system: 'mondopoint', size: 135 })).toBe(135)
})

test('a larger size is a longer foot in every system', () => {
  const systems = fc.constantFrom<ShoeSystem>('eu', 'uk-child', 'us-child', 'mondopoint')
  const sizes = fc.double({ min: 0, max: 200, noNaN: true })
  fc.assert(
    fc.property(systems, sizes, sizes, (system, one, other) => {
      const [small, large] = [Math.min(one, other), Math.max(one, other)].map((size) =>
        footLengthOfShoe({ system, size }),
      )
      fc.pre(typeof small === 'number' && typeof large === 'number')

      expect(Number(small)).toBeLessThanOrEqual(Number(large))
    }),
  )
})

test("outside the child's sizes there is no length: UK restarts after 13", () => {
  expect(footLengthOfShoe({ system: 'uk-child', size: 13.5 })).not.toBe('unknown')
  expect(footLengthOfShoe({ system: 'uk-child', size: 14 })).toBe('unknown')
  expect(footLengthOfShoe({ system: 'uk-child', size: -0.5 })).toBe('unknown')
  expect(footLengthOfShoe({ system: 'eu', size: 14 })).not.toBe('unknown')
  expect(footLengthOfShoe({ system: 'eu', size: 13.9 })).toBe('unknown')
  expect(footLengthOfShoe({ system: 'eu', size: Number.NaN })).toBe('unknown')
})

test('the system is named, and the US formula says that it is from memory', () => {
  const text = (system: ShoeSystem, size: number, language: 'en' | 'es' = 'en') =>
    speaker(language).therapist(shoeSizeTerm({ system, size }))

  expect(text('eu', 20.7)).toBe('EU 20.5')
  expect(text('eu', 20.7, 'es')).toBe('EU 20,5')
  expect(text('uk-child', 4.5)).toBe('UK child 4.5')
  expect(text('us-child', 5)).toBe('US child 5')
  expect(text('us-child', 5, 'es')).toBe('US infantil 5')
  expect(text('mondopoint', 134.6)).toBe('Mondopoint 135')
  expect(shoeSources('us-child')).toEqual(['shoe-size-formulas', 'memory'])
  expect(shoeSources('eu')).toEqual(['shoe-size-formulas'])
})
