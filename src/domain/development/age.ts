import { ageFindings, type Gestation } from './age-findings.ts'
import {
  addDays,
  addMonths,
  type CivilDate,
  calendarMonthsBetween,
  daysBetween,
} from '../calendar.ts'
import type { Child } from '../child.ts'
import { ImplausibleRecord } from '../implausible.ts'
import type { AssessmentRules } from '../assessed-child.ts'
import type { Finding } from '../truth.ts'
import { type Months, months, monthsOfDays } from '../units.ts'

/** Both ages of a child on one day, and which of them the rules use. */
export interface Ages {
  readonly chronologicalDays: number
  readonly chronologicalMonths: Months
  /** Completed calendar months, as people count birthdays. */
  readonly completedMonths: number
  /** Absent when gestation is unknown: unknown is not "at term". */
  readonly correctedDays?: number
  readonly correctedMonths?: Months
  readonly correctedCompletedMonths?: number
  readonly used: 'chronological' | 'corrected'
  /** The age that is used, months of 30.4375 days. */
  readonly months: Months
  readonly correctUntilMonths: Months
  /** `born-preterm`, `age-corrected`. */
  readonly findings: readonly Finding[]
}

const MONTHS_PER_YEAR = 12

/**
 * How old is the child on a day, counted from birth and from the due date, and which age counts?
 *
 * Corrected days = days since birth - (280 - gestation in days), only for a child born before
 * 37w0d and while the corrected age is under the limit of the rule set. Unknown gestation: not
 * corrected, and `born-preterm` is unknown.
 *
 * @throws ImplausibleRecord for a day before birth, a gestation that nobody has, an adult
 * @see SOURCES aap-preterm-age-2004
 */
export function ages(child: Child, asOf: CivilDate, rules: AssessmentRules): Ages {
  const born = child.birthDate.value
  const chronologicalDays = daysBetween(born, asOf)
  if (chronologicalDays < 0) throw new ImplausibleRecord('asOf', 'the date lies before birth')
  if (daysBetween(addMonths(born, rules.age.maxAgeYears * MONTHS_PER_YEAR), asOf) > 0)
    throw new ImplausibleRecord('birthDate', `the age is over ${rules.age.maxAgeYears} years`)

  const gestation = gestationOf(child, rules)
  const corrected = isCorrected(chronologicalDays, gestation, rules)
  return {
    chronologicalDays,
    chronologicalMonths: monthsOfDays(chronologicalDays),
    completedMonths: calendarMonthsBetween(born, asOf),
    ...(gestation === 'unknown' ? {} : correctedAge(chronologicalDays, gestation.correction, born)),
    used: corrected ? 'corrected' : 'chronological',
    months: ageRule(child, rules)(chronologicalDays),
    correctUntilMonths: months(rules.age.correctUntilMonths),
    findings: ageFindings(child, { chronologicalDays, gestation, corrected }, rules),
  }
}

/**
 * The age that the rules use on some other day: corrected for a child born before term while under
 * the limit. Each look at a child has its own age, so nothing jumps when the child outgrows the
 * correction.
 *
 * @throws ImplausibleRecord for a day before birth or a gestation that nobody has
 */
export function ageOn(child: Child, date: CivilDate, rules: AssessmentRules): Months {
  const chronologicalDays = daysBetween(child.birthDate.value, date)
  if (chronologicalDays < 0) throw new ImplausibleRecord('asOf', 'the date lies before birth')
  return ageRule(child, rules)(chronologicalDays)
}

/** The age that the rules use, in months of 30.4375 days, from whole days since birth. */
export function ageRule(
  child: Child,
  rules: AssessmentRules,
): (chronologicalDays: number) => Months {
  const gestation = gestationOf(child, rules)
  return (chronologicalDays) =>
    isCorrected(chronologicalDays, gestation, rules)
      ? monthsOfDays(chronologicalDays - gestation.correction)
      : monthsOfDays(chronologicalDays)
}

function gestationOf(child: Child, rules: AssessmentRules): Gestation | 'unknown' {
  if (child.gestationDays === 'unknown') return 'unknown'
  const { gestationMinDays, gestationMaxDays, termFromDays, fullTermDays } = rules.age
  const days = child.gestationDays.value
  if (!(days >= gestationMinDays && days <= gestationMaxDays))
    throw new ImplausibleRecord('gestation', 'gestation at birth is outside what is plausible')
  return { days, correction: days < termFromDays ? fullTermDays - days : 0 }
}

function isCorrected(
  chronologicalDays: number,
  gestation: Gestation | 'unknown',
  rules: AssessmentRules,
): gestation is Gestation {
  if (gestation === 'unknown' || gestation.correction === 0) return false
  return monthsOfDays(chronologicalDays - gestation.correction) < rules.age.correctUntilMonths
}

function correctedAge(chronologicalDays: number, correction: number, born: CivilDate) {
  const correctedDays = chronologicalDays - correction
  return {
    correctedDays,
    correctedMonths: monthsOfDays(correctedDays),
    correctedCompletedMonths: calendarMonthsBetween(
      addDays(born, correction),
      addDays(born, chronologicalDays),
    ),
  }
}
