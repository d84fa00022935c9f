/**
 * How many of the smallest unit of its dimension a UCUM unit is. All are whole numbers or end after a few
 * digits, so that what is compared stays exact.
 *
 * Source: The Unified Code for Units of Measure, version 2.1, tables of base, customary and international
 * units: metric prefixes; inch 2.54 cm, foot 12 in; minute 60 s, hour 60 min, day 24 h, week 7 d, year (a,
 * the Julian a_j) 365.25 d, month (mo, the Julian mo_j) a_j/12; per cent 10*-2. A degree is a multiple of pi,
 * which no decimal gives, so it is compared with itself alone.
 */
const DIMENSIONS: readonly Readonly<Record<string, string>>[] = [
  { mm: '1', cm: '10', m: '1000', km: '1000000', '[in_i]': '25.4', '[ft_i]': '304.8' },
  { mg: '1', g: '1000', kg: '1000000' },
  {
    s: '1',
    min: '60',
    h: '3600',
    d: '86400',
    wk: '604800',
    mo: '2629800',
    mo_j: '2629800',
    a: '31557600',
    a_j: '31557600',
  },
  { '%': '1', '1': '100' },
]

/** A number of one unit, as it is compared with the numbers of another. */
export interface UnitFactors {
  /** The other unit. */
  readonly unit: string
  /** What a number of the other unit is multiplied with. */
  readonly times: string
  /** What a number of this unit is multiplied with. */
  readonly own: string
}

/** The units that a UCUM unit can be compared with, itself among them; none for one that is not known. */
export function comparableUnits(unit: string): readonly UnitFactors[] {
  const units = DIMENSIONS.find((dimension) => Object.hasOwn(dimension, unit))
  const own = units?.[unit]
  if (units === undefined || own === undefined) return []
  return Object.entries(units).map(([other, times]) => ({ unit: other, times, own }))
}

/** How many of the smallest unit of its dimension each unit is; those that are the smallest left out. */
export const UNIT_SIZES: readonly (readonly [unit: string, times: string])[] = DIMENSIONS.flatMap(
  (dimension) => Object.entries(dimension).filter(([, times]) => times !== '1'),
)
