import { AppError } from '../errors.ts'
import type { CivilDate } from '../domain/calendar.ts'
import type { SizeChart } from '../domain/device/sizing.ts'
import {
  type ChangeAfterFitting,
  changeAfterFitting,
} from '../domain/follow-up/change-after-fitting.ts'
import { type FittingPlan, fittingPlan } from '../domain/plan/fitting.ts'
import type { RuleSet } from '../domain/rules/rule-set.ts'
import type { Triage } from '../domain/triage.ts'

/** What pictures of a child are drawn from: what was found on one day, and with which numbers. */
export interface PictureFacts {
  readonly triage: Triage
  readonly rules: RuleSet
  readonly chart: SizeChart
  /** Absent when the findings allow no plan. */
  readonly plan?: FittingPlan
  /** Absent when no device was delivered up to the day. */
  readonly fitting?: Fitting
}

export interface Fitting {
  readonly deliveredOn: CivilDate
  readonly change: ChangeAfterFitting
}

/**
 * What can be drawn of a child: its findings, with the plan where one can be proposed.
 *
 * @param deliveredOn of the devices in use; undefined when none is
 */
export function pictureFacts(
  triage: Triage,
  { rules, chart }: { readonly rules: RuleSet; readonly chart: SizeChart },
  deliveredOn?: CivilDate,
): PictureFacts {
  const plan = planOf(triage, rules)
  return {
    triage,
    rules,
    chart,
    ...(plan !== undefined && { plan }),
    ...(deliveredOn !== undefined && {
      fitting: { deliveredOn, change: changeAfterFitting(triage, deliveredOn, rules) },
    }),
  }
}

/** The plan says itself whom it is for. */
function planOf(triage: Triage, rules: RuleSet): FittingPlan | undefined {
  try {
    return fittingPlan(triage, rules)
  } catch (error) {
    if (error instanceof AppError && error.kind === 'business-rule') return undefined
    throw error
  }
}
