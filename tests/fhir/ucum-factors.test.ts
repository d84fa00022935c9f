import { UcumLhcUtils } from '@lhncbc/ucum-lhc'
import { expect, test } from 'vitest'
import { comparableUnits } from '../../src/fhir/ucum-factors.ts'

const ucum = UcumLhcUtils.getInstance()

// Typed from the tables of The Unified Code for Units of Measure, 2.1.
const DIMENSIONS: readonly (readonly string[])[] = [
  ['mm', 'cm', 'm', 'km', '[in_i]', '[ft_i]'],
  ['mg', 'g', 'kg'],
  ['s', 'min', 'h', 'd', 'wk', 'mo', 'mo_j', 'a', 'a_j'],
  ['%', '1'],
]

test.each(DIMENSIONS.flatMap((units) => units.map((unit) => ({ unit, units }))))(
  '$unit is compared with $units, by the factors of the reference library',
  ({ unit, units }) => {
    const found = comparableUnits(unit)

    expect(found.map((one) => one.unit).toSorted()).toEqual(units.toSorted())
    for (const { unit: other, times, own } of found) {
      const { status, toVal } = ucum.convertUnitTo(other, 1, unit)
      expect(status, other).toBe('succeeded')
      expect((toVal ?? 0) / (Number(times) / Number(own)), `${other} in ${unit}`).toBeCloseTo(1, 12)
    }
  },
)

test.each(['deg', 'kN', '', 'MM', 'constructor', '{points}'])(
  '%s is compared with itself alone',
  (unit) => {
    expect(comparableUnits(unit)).toEqual([])
  },
)
