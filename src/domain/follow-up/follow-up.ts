import { AppError } from '../../errors.ts'
import { type CivilDate, daysBetween } from '../calendar.ts'
import { type ChangeAfterFitting, changeAfterFitting } from './change-after-fitting.ts'
import type { Recorded } from '../facts.ts'
import type { FitCheckResult } from './fit-check-result.ts'
import { type Message, say } from '../messages/message.ts'
import { type FollowUpOutcome, followUpOutcome } from './follow-up-outcome.ts'
import { lostSinceFitting } from './lost-since-fitting.ts'
import type { Milestones } from '../development/milestones.ts'
import { newSinceFitting, type SkillsSinceFitting } from './new-since-fitting.ts'
import { outgrown, type OutgrownDevice } from './outgrown.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { ChildOnDay, SizeChart } from '../device/sizing.ts'
import { stalledSinceFitting } from './stall-review.ts'
import type { Finding } from '../truth.ts'
import { wearAsScheduled } from './wear-check.ts'
import { stopSign, type WornDevice } from './worn-device.ts'

/** A finding of a visit. */
export interface VisitFinding extends Finding {
  /** What is to be done, when somebody has to do something. */
  readonly wording?: Message
}

/** A child seen again after its devices were delivered; `asOf` is the day of the visit. */
export interface FollowUpVisit extends ChildOnDay {
  readonly milestones: Milestones
  readonly deliveredOn: CivilDate
  readonly devices: readonly WornDevice[]
  /** A day, lately. */
  readonly wearMinutes: Recorded<number>
  /** Unknown when no fit check was answered for this visit. */
  readonly fitCheck: FitCheckResult | 'unknown'
}

export interface VisitFindings {
  /** Since delivery, not rounded. */
  readonly weeks: number
  /** `stop-sign.<side>`, per device: the skin, pain, and the device itself. */
  readonly stopSigns: readonly VisitFinding[]
  /** `lost-since-fitting` */
  readonly lost: VisitFinding
  readonly fitCheck: FitCheckResult | 'unknown'
  readonly outgrown: readonly OutgrownDevice[]
  readonly since: SkillsSinceFitting
  readonly change: ChangeAfterFitting
  /** `stalled-since-fitting` */
  readonly stalled: VisitFinding
  /** `wear-as-scheduled` */
  readonly wear: VisitFinding
}

export interface FollowUpResult extends VisitFindings {
  readonly outcome: FollowUpOutcome
  /** What the outcome means. */
  readonly because: Message
}

/**
 * How is the child doing with its devices: go on, adjust, choose the next size, review, or stop?
 *
 * Everything is looked at, whatever the outcome; the outcome is the weightiest that was found.
 *
 * @throws AppError `business-rule` for a visit before the delivery, and a delivery before birth
 * @throws ImplausibleRecord as `milestones`
 */
export function followUp(
  visit: FollowUpVisit,
  { rules, chart }: { readonly rules: RuleSet; readonly chart: SizeChart },
): FollowUpResult {
  const { child, asOf, ages, milestones, deliveredOn, devices, wearMinutes, fitCheck } = visit
  if (asOf < deliveredOn)
    throw new AppError('business-rule', 'the follow-up visit lies before the delivery')
  const days = { deliveredOn, asOf }
  const weeks = daysBetween(deliveredOn, asOf) / DAYS_PER_WEEK
  const since = newSinceFitting(child, { fittedOn: deliveredOn, asOf }, rules)
  const change = changeAfterFitting({ child, asOf, milestones }, deliveredOn, rules)
  const on = { child, asOf, ages }
  const found: VisitFindings = {
    weeks,
    stopSigns: devices.map((device) => stopSign(device, days, rules)),
    lost: lostSinceFitting({ child, milestones, since }, days),
    fitCheck,
    outgrown: devices.map((device) => outgrown({ on, deliveredOn, device }, chart, rules)),
    since,
    change,
    stalled: stalledSinceFitting({ weeks, since, change }, rules),
    wear: wearAsScheduled({ ...days, minutes: wearMinutes }, rules),
  }
  const outcome = followUpOutcome(found)
  return {
    ...found,
    outcome,
    because: outcome === 'review' ? review(found) : say(`follow-up.${outcome}`),
  }
}

/** Which of the things that are looked at again it is. */
function review({ stalled, fitCheck, wear }: VisitFindings): Message {
  const causes = [
    ...(stalled.holds === 'yes' ? [say('part.review-no-gain')] : []),
    ...(fitCheck !== 'unknown' && fitCheck.verdict === 'tell' ? [say('part.review-redness')] : []),
    ...(wear.holds === 'no' ? [say('part.review-wear')] : []),
  ]
  return say('follow-up.review', { causes })
}

const DAYS_PER_WEEK = 7
