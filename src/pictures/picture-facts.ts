import { AppError } from '../errors.ts'
import type { SizeChart } from '../domain/device/sizing.ts'
import { type WornCourse, wornCourse, type WornVisit } from '../domain/follow-up/worn-course.ts'
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
  readonly fitting?: WornCourse
}

/**
 * What can be drawn of a child: its findings, with the plan where one can be proposed.
 *
 * @param visit how it goes with the devices in use; undefined when none is
 */
export function pictureFacts(
  triage: Triage,
  { rules, chart }: { readonly rules: RuleSet; readonly chart: SizeChart },
  visit?: WornVisit,
): PictureFacts {
  const plan = planOf(triage, rules)
  return {
    triage,
    rules,
    chart,
    ...(plan !== undefined && { plan }),
    ...(visit !== undefined && { fitting: wornCourse(triage, visit, rules) }),
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
