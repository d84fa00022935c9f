import { AppError } from '../../errors.ts'
import { ageRule } from '../development/age.ts'
import { type Attainment, attainment } from '../development/attainment.ts'
import { type CivilDate, daysBetween } from '../calendar.ts'
import { type Child, MILESTONES } from '../child.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { Observation } from '../development/tempo-residual.ts'
import { DAYS_PER_MONTH } from '../units.ts'

/** The day of a fitting, and the day for which the answer holds. */
export interface FittingDays {
  readonly fittedOn: CivilDate
  readonly asOf: CivilDate
}

export interface LooksAroundFitting {
  readonly fittedAt: number
  readonly observations: readonly Observation[]
}

/**
 * At which ages, in months, were the milestones seen and not seen, counted through a fitting?
 *
 * Ages are those the rules use, as for the tempo. After the fitting the days are added to the age at
 * the fitting: when the correction for preterm birth ends in between, the child gets older by
 * months overnight, and that is no time in which it could have developed.
 *
 * @throws AppError `business-rule` for a fitting before birth or by the due date
 * @throws ImplausibleRecord as `attainment`
 */
export function looksAroundFitting(
  child: Child,
  { fittedOn, asOf }: FittingDays,
  rules: RuleSet,
): LooksAroundFitting {
  const born = child.birthDate.value
  const ruled = ageRule(child, rules)
  const fittedAt = fittedOn > born ? ruled(daysBetween(born, fittedOn)) : 0
  if (!(fittedAt > 0))
    throw new AppError('business-rule', 'the fitting must lie after birth and the due date')
  const ageAt = (date: CivilDate) =>
    date <= fittedOn
      ? ruled(daysBetween(born, date))
      : fittedAt + daysBetween(fittedOn, date) / DAYS_PER_MONTH
  const observations = MILESTONES.flatMap((milestone) =>
    observationOf(attainment(child, milestone, asOf, rules), ageAt),
  )
  return { fittedAt, observations }
}

/** Crawling counts only when seen; a look by the due date says nothing. */
function observationOf(
  { milestone, onset, notYetOn }: Attainment,
  ageAt: (date: CivilDate) => number,
): readonly Observation[] {
  const last = onset === undefined ? notYetOn : onset.notBefore
  const from = last === undefined ? 0 : Math.max(0, ageAt(last))
  if (onset !== undefined) return [{ milestone, from, to: ageAt(onset.notAfter) }]
  return milestone === 'hands-and-knees-crawling' || from === 0
    ? []
    : [{ milestone, from, to: null }]
}
