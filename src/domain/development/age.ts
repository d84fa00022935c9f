import {
  addDays,
  addMonths,
  type CivilDate,
  calendarMonthsBetween,
  daysBetween,
} from '../calendar.ts'
import type { Child } from '../child.ts'
import { evidenceOf } from '../facts.ts'
import { ImplausibleRecord } from '../implausible.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { type Finding, type Truth, truth } from '../truth.ts'
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
const DAYS_PER_WEEK = 7
/** Of the published rule of thumb, a check value only: four weeks count as a month. */
const WEEKS_PER_THUMB_MONTH = 4

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
export function ages(child: Child, asOf: CivilDate, rules: RuleSet): Ages {
  const born = child.birthDate.value
  const chronologicalDays = daysBetween(born, asOf)
  if (chronologicalDays < 0) throw new ImplausibleRecord('asOf', 'the date lies before birth')
  if (daysBetween(addMonths(born, rules.age.maxAgeYears * MONTHS_PER_YEAR), asOf) > 0)
    throw new ImplausibleRecord('birthDate', `the age is over ${rules.age.maxAgeYears} years`)

  const correction = correctionDays(child, rules)
  const used = isCorrected(chronologicalDays, correction, rules) ? 'corrected' : 'chronological'
  return {
    chronologicalDays,
    chronologicalMonths: monthsOfDays(chronologicalDays),
    completedMonths: calendarMonthsBetween(born, asOf),
    ...(correction === 'unknown' ? {} : correctedAge(chronologicalDays, correction, born)),
    used,
    months: ageRule(child, rules)(chronologicalDays),
    correctUntilMonths: months(rules.age.correctUntilMonths),
    findings: [bornPreterm(child, rules), ageCorrected(child, chronologicalDays, rules)],
  }
}

/**
 * The age that the rules use on some other day: corrected for a child born before term while under
 * the limit. Each look at a child has its own age, so nothing jumps when the child outgrows the
 * correction.
 *
 * @throws ImplausibleRecord for a day before birth or a gestation that nobody has
 */
export function ageOn(child: Child, date: CivilDate, rules: RuleSet): Months {
  const chronologicalDays = daysBetween(child.birthDate.value, date)
  if (chronologicalDays < 0) throw new ImplausibleRecord('asOf', 'the date lies before birth')
  return ageRule(child, rules)(chronologicalDays)
}

/** The age that the rules use, in months of 30.4375 days, from whole days since birth. */
export function ageRule(child: Child, rules: RuleSet): (chronologicalDays: number) => Months {
  const correction = correctionDays(child, rules)
  return (chronologicalDays) =>
    isCorrected(chronologicalDays, correction, rules)
      ? monthsOfDays(chronologicalDays - correction)
      : monthsOfDays(chronologicalDays)
}

/**
 * Corrected age by the published rule of thumb: a month less for every four weeks of completed
 * gestation missing. From memory and a check value only; it is up to a quarter of a month off.
 */
export function ruleOfThumbMonths(completedMonths: number, gestationDays: number, rules: RuleSet) {
  const term = rules.age.fullTermDays / DAYS_PER_WEEK
  return (
    completedMonths - (term - Math.floor(gestationDays / DAYS_PER_WEEK)) / WEEKS_PER_THUMB_MONTH
  )
}

/** Days to take off: 0 when born at term. */
function correctionDays(child: Child, rules: RuleSet): number | 'unknown' {
  if (child.gestationDays === 'unknown') return 'unknown'
  const { gestationMinDays, gestationMaxDays, termFromDays, fullTermDays } = rules.age
  const gestation = child.gestationDays.value
  if (!(gestation >= gestationMinDays && gestation <= gestationMaxDays))
    throw new ImplausibleRecord('gestation', 'gestation at birth is outside what is plausible')
  return gestation < termFromDays ? fullTermDays - gestation : 0
}

function isCorrected(
  chronologicalDays: number,
  correction: number | 'unknown',
  rules: RuleSet,
): correction is number {
  if (correction === 'unknown' || correction === 0) return false
  return monthsOfDays(chronologicalDays - correction) < rules.age.correctUntilMonths
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

function bornPreterm(child: Child, rules: RuleSet): Finding {
  const correction = correctionDays(child, rules)
  const term = weeksAndDays(rules.age.termFromDays)
  const found = (holds: Truth, because: string): Finding => ({
    rule: 'born-preterm',
    holds,
    because,
    sources: ['aap-preterm-age-2004', 'judgement'],
    evidence: evidenceOf(child.gestationDays),
  })
  if (child.gestationDays === 'unknown' || correction === 'unknown')
    return found('unknown', 'gestation at birth is not on record, so the age is not corrected')
  const born = weeksAndDays(child.gestationDays.value)
  return correction > 0
    ? found('yes', `born at ${born}, before ${term}`)
    : found('no', `born at ${born}, at or after ${term}: no correction`)
}

function ageCorrected(child: Child, chronologicalDays: number, rules: RuleSet): Finding {
  const correction = correctionDays(child, rules)
  const corrected = isCorrected(chronologicalDays, correction, rules)
  return {
    rule: 'age-corrected',
    holds: truth(corrected),
    because: whyCorrected(child, chronologicalDays, rules),
    sources: ['aap-preterm-age-2004', 'judgement', ...(corrected ? (['memory'] as const) : [])],
    evidence: evidenceOf(child.gestationDays),
  }
}

function whyCorrected(child: Child, chronologicalDays: number, rules: RuleSet): string {
  const correction = correctionDays(child, rules)
  const limit = rules.age.correctUntilMonths
  if (child.gestationDays === 'unknown' || correction === 'unknown')
    return 'age counted from birth: gestation at birth is not on record'
  if (correction === 0) return 'age counted from birth: born at term'
  if (!isCorrected(chronologicalDays, correction, rules))
    return `age counted from birth: corrected age has reached ${limit} months`
  const corrected = monthsOfDays(chronologicalDays - correction)
  const thumb = ruleOfThumbMonths(monthsOfDays(chronologicalDays), child.gestationDays.value, rules)
  return (
    `age counted from the due date until ${limit} months: ${corrected.toFixed(2)} months by days; ` +
    `four weeks to a month would give ${thumb.toFixed(2)} (rule of thumb from memory, a check only)`
  )
}

const weeksAndDays = (days: number): string =>
  `${Math.floor(days / DAYS_PER_WEEK)}w${days % DAYS_PER_WEEK}d`
