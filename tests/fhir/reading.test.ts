import { assert, double, property } from 'fast-check'
import { expect, test } from 'vitest'
import { quantityOf } from '../../src/fhir/reading.ts'
import { UNITS, type UnitName } from '../../src/fhir/codes.ts'

const LIMITS = { min: 0, max: 1e6 }
const sent = (value: number, unit: UnitName) => ({
  code: {},
  valueQuantity: { value, unit, system: 'http://unitsofmeasure.org', code: UNITS[unit].code },
})

test.each([
  ['centimetres', 'millimetres', 10],
  ['weeks', 'days', 7],
  ['hours', 'minutes', 60],
] as const)('a value in %s is the same as so many times as many %s', (large, small, times) => {
  assert(
    property(double({ min: 0, max: 1000, noNaN: true }), (value) => {
      const inLarge = quantityOf(sent(value, large), [small, large], LIMITS)
      const inSmall = quantityOf(sent(value * times, small), [small, large], LIMITS)

      expect(inLarge).toEqual(inSmall)
    }),
  )
})
