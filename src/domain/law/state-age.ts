import { calendarMonthsBetween, type CivilDate, daysBetween } from '../calendar.ts'
import { type Recorded, valueOf } from '../facts.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { StateThreshold } from '../tables/state-threshold.ts'
import { type Months, monthsOfDays } from '../units.ts'

export interface AgeFacts {
  readonly birthDate: Recorded<CivilDate>
  readonly gestationDays: Recorded<number>
}

/** New Jersey: born at or before 38 weeks 0 days, until 24 months. */
const NEW_JERSEY = { bornByDays: 266, untilMonths: 24 } as const

/**
 * Which ages may a state mean when it compares a child's development with the age? Months of 30.4375
 * days, the highest first; one when the state says which, the ends of a range when it does not, when
 * its text contradicts itself, or when gestation at birth is unknown. None without a birth date or
 * before birth.
 *
 * Corrected means less by what the gestation lacks of 40 weeks. A state that says "adjusted for
 * prematurity" may or may not mean a child of 37 to 39 weeks. That New Jersey counts its 24 months from
 * birth is our own reading.
 *
 * @see SOURCES state-nj, state-ny, state-in, judgement
 */
export function agesOfState(
  { birthDate, gestationDays }: AgeFacts,
  on: CivilDate,
  state: StateThreshold['age'],
  rules: RuleSet,
): readonly Months[] {
  const born = valueOf(birthDate)
  if (born === undefined) return []
  const days = daysBetween(born, on)
  const missing = missingDays(gestationDays, rules)
  const young = calendarMonthsBetween(born, on) < NEW_JERSEY.untilMonths
  const corrections = correctionsOf(
    state,
    { missing, young, gestation: valueOf(gestationDays) },
    rules,
  )
  // Before birth there is no age, at or before the due date no corrected one to compare with.
  if (corrections.some((less) => days <= less)) return []
  return corrections.map((less) => monthsOfDays(days - less))
}

/** Days that gestation lacks of 40 weeks; when unknown, the most that a child can lack. */
const missingDays = (gestationDays: Recorded<number>, { age }: RuleSet): number =>
  Math.max(0, age.fullTermDays - (valueOf(gestationDays) ?? age.gestationMinDays))

interface Birth {
  readonly missing: number
  readonly young: boolean
  readonly gestation: number | undefined
}

/** Days that the state may take off: one number, or both ends of what it may mean. */
function correctionsOf(
  state: StateThreshold['age'],
  { missing, young, gestation }: Birth,
  { age }: RuleSet,
): readonly number[] {
  if (missing === 0) return [0]
  const both = [0, missing]
  if (state === 'not-seen') return both
  if (state === 'corrected')
    return gestation !== undefined && gestation < age.termFromDays ? [missing] : both
  if (!young) return [0]
  if (gestation === undefined || gestation === NEW_JERSEY.bornByDays) return both
  return gestation < NEW_JERSEY.bornByDays ? [missing] : [0]
}

/** How much of an age development lacks, percent of that age. Negative for a child ahead of it. */
export const percentDelay = (age: Months, developmentalAge: Months): number =>
  ((age - developmentalAge) / age) * 100
