import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { ageOn, ageRule, ages } from '../../../src/domain/development/age.ts'
import { addDays, civilDate } from '../../../src/domain/calendar.ts'
import { ImplausibleRecord } from '../../../src/domain/implausible.ts'
import { child, fact } from '../../helpers/child.ts'
import { RULES } from '../../helpers/rules.ts'

const BORN = civilDate('2024-01-15')
const born = (weeks: number, days = 0) =>
  child({ birthDate: fact(BORN), gestationDays: fact(weeks * 7 + days) })
const after = (days: number) => addDays(BORN, days)
const holds = (found: ReturnType<typeof ages>, rule: string) =>
  found.findings.find((finding) => finding.rule === rule)?.holds

/** AAP, Pediatrics 2004;114:1362-1364: weeks born before 40 weeks are taken off; 84 days here. */
test('28 weeks, 24 calendar months: corrected by 84 days, 21.24 months by days', () => {
  const found = ages(born(28), civilDate('2026-01-15'), RULES)

  expect(found.completedMonths).toBe(24)
  expect(found.chronologicalDays).toBe(731)
  expect(found.correctedDays).toBe(647)
  expect(found.used).toBe('corrected')
  expect(Math.abs(found.months - 21.24)).toBeLessThan(0.02)
  expect(found.correctedCompletedMonths).toBe(21)
  expect(found.correctUntilMonths).toBe(36)
})

test('months have 30.4375 days: 487 days are 16 months', () => {
  expect(ages(born(40), after(487), RULES)).toMatchObject({ chronologicalMonths: 16, months: 16 })
})

test('born at 36 weeks 6 days is corrected by 22 days', () => {
  const found = ages(born(36, 6), after(487), RULES)

  expect(found).toMatchObject({ used: 'corrected', correctedDays: 465 })
  expect([holds(found, 'born-preterm'), holds(found, 'age-corrected')]).toEqual(['yes', 'yes'])
})

test('born at 37 weeks 0 days is not corrected; both ages are reported and equal', () => {
  const found = ages(born(37), after(487), RULES)

  expect(found).toMatchObject({ used: 'chronological', correctedDays: 487, chronologicalDays: 487 })
  expect([holds(found, 'born-preterm'), holds(found, 'age-corrected')]).toEqual(['no', 'no'])
})

test('unknown gestation: not corrected, no corrected age, and born preterm is unknown', () => {
  const found = ages(child({ birthDate: fact(BORN) }), after(487), RULES)

  expect(found).toMatchObject({ used: 'chronological', months: 16 })
  expect(found.correctedDays).toBeUndefined()
  expect(found.correctedMonths).toBeUndefined()
  expect(found.correctedCompletedMonths).toBeUndefined()
  expect([holds(found, 'born-preterm'), holds(found, 'age-corrected')]).toEqual(['unknown', 'no'])
})

/** 36 months are 1095.75 days, so 1095 corrected days lie under the limit and 1096 do not. */
test('the correction ends at 36 months corrected, and both ages are still reported', () => {
  const under = ages(born(28), after(1095 + 84), RULES)
  const over = ages(born(28), after(1096 + 84), RULES)

  expect(under).toMatchObject({ used: 'corrected', correctedDays: 1095 })
  expect(over).toMatchObject({ used: 'chronological', correctedDays: 1096 })
  expect(over.months).toBeCloseTo(38.768, 3)
  expect(holds(over, 'age-corrected')).toBe('no')
})

/** 487 days are 16 months. */
test('the correction ends on the day the limit itself is reached', () => {
  const rules = { ...RULES, age: { ...RULES.age, correctUntilMonths: 16 } }

  expect(ages(born(28), after(486 + 84), rules).used).toBe('corrected')
  expect(ages(born(28), after(487 + 84), rules).used).toBe('chronological')
})

test('a clinic may end the correction at 24 months', () => {
  const rules = { ...RULES, age: { ...RULES.age, correctUntilMonths: 24 } }

  expect(ages(born(28), after(730 + 84), rules).used).toBe('corrected')
  expect(ages(born(28), after(731 + 84), rules).used).toBe('chronological')
})

test('a preterm child has a negative corrected age before the due date', () => {
  const found = ages(born(22), BORN, RULES)

  expect(found).toMatchObject({ chronologicalDays: 0, correctedDays: -126, used: 'corrected' })
  expect(found.months).toBeCloseTo(-4.14, 2)
})

test('the age on an earlier day is corrected even when the child has outgrown the correction', () => {
  expect(ageOn(born(28), after(487 + 84), RULES)).toBe(16)
  expect(ageOn(born(28), after(487 * 3), RULES)).toBe(48)
  expect(ageRule(born(28), RULES)(487 + 84)).toBe(16)
})

const elementOf = (work: () => unknown) => {
  try {
    work()
  } catch (error) {
    return error instanceof ImplausibleRecord ? error.element : error
  }
  return undefined
}

test('a date before birth is refused by its name; the day of birth is not', () => {
  expect(elementOf(() => ages(born(40), after(-1), RULES))).toBe('asOf')
  expect(elementOf(() => ageOn(born(40), after(-1), RULES))).toBe('asOf')
  expect(elementOf(() => ages(born(40), BORN, RULES))).toBeUndefined()
  expect(ageOn(born(40), BORN, RULES)).toBe(0)
})

for (const [weeks, days, refused] of [
  [21, 6, true],
  [22, 0, false],
  [44, 0, false],
  [44, 1, true],
] as const)
  test(`gestation of ${weeks}w${days}d is ${refused ? 'refused' : 'taken'}`, () => {
    const expected = refused ? 'gestation' : undefined

    expect(elementOf(() => ages(born(weeks, days), after(30), RULES))).toBe(expected)
    expect(elementOf(() => ageOn(born(weeks, days), after(30), RULES))).toBe(expected)
  })

test('the eighteenth birthday is taken, the day after is refused as a birth date', () => {
  expect(ages(born(40), civilDate('2042-01-15'), RULES).completedMonths).toBe(216)
  expect(elementOf(() => ages(born(40), civilDate('2042-01-16'), RULES))).toBe('birthDate')
})

test('an error text says what is wrong', () => {
  expect(() => ages(born(40), after(-1), RULES)).toThrow(/^the date lies before birth$/)
  expect(() => ageOn(born(40), after(-1), RULES)).toThrow(/^the date lies before birth$/)
  expect(() => ages(born(40), civilDate('2042-01-16'), RULES)).toThrow(/^the age is over 18 years$/)
  expect(() => ages(born(12), after(30), RULES)).toThrow(
    /^gestation at birth is outside what is plausible$/,
  )
})

test('an error text holds nothing about the child', () => {
  for (const work of [
    () => ages(born(40), after(-1), RULES),
    () => ages(born(12, 3), after(30), RULES),
    () => ages(born(40), civilDate('2042-01-16'), RULES),
  ])
    expect(work).toThrow(/^(?!.*(2024|2023|2042|12w3d|87)).*$/)
})

test('a child of a leap day completes a month on the last day of February', () => {
  const leap = child({ birthDate: fact(civilDate('2024-02-29')) })

  expect(ages(leap, civilDate('2025-02-27'), RULES).completedMonths).toBe(11)
  expect(ages(leap, civilDate('2025-03-01'), RULES).completedMonths).toBe(12)
})

const anyGestation = fc.integer({ min: 154, max: 308 })
const anyAge = fc.integer({ min: 0, max: 6500 })

test('corrected age is never above chronological age, and the used age never above it either', () => {
  fc.assert(
    fc.property(anyGestation, anyAge, (gestation, day) => {
      const found = ages(born(0, gestation), after(day), RULES)

      expect(found.correctedMonths).toBeLessThanOrEqual(found.chronologicalMonths)
      expect(found.months).toBeLessThanOrEqual(found.chronologicalMonths)
      expect(found.months).toBe(ageOn(born(0, gestation), after(day), RULES))
    }),
  )
})

test('a child is never younger the day after', () => {
  fc.assert(
    fc.property(anyGestation, anyAge, (gestation, day) => {
      const age = ageRule(born(0, gestation), RULES)

      expect(age(day + 1)).toBeGreaterThan(age(day))
    }),
  )
})
