import { AppError } from '../../errors.ts'
import { addDays, type CivilDate } from '../calendar.ts'
import { type Milestone, type Side, SIDES } from '../child.ts'
import { fitCheck } from './fit-check.ts'
import { followUps } from './follow-ups.ts'
import { goals } from './goals.ts'
import type { Message } from '../messages/message.ts'
import type { Milestones } from '../development/milestones.ts'
import { cautions } from './plan-cautions.ts'
import { EVIDENCE, materials, shoeAdvice, stopRules } from './plan-wording.ts'
import type { Posture } from '../foot/posture.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { ChildOnDay, FootSizing, Sizing } from '../device/sizing.ts'
import type { Suitability } from '../decision/suitability.ts'
import type { SourceId } from '../tables/sources.ts'
import type { Tempo } from '../development/tempo.ts'
import { wearSchedule } from './wear-schedule.ts'

export interface DeviceProposal {
  readonly side: Side
  readonly sizing: FootSizing
  readonly materials: readonly Message[]
  readonly shoe: readonly Message[]
}

export type FitCheckId =
  | 'heel-fully-back-and-down'
  | 'ankle-bones-free'
  | 'closure-gap'
  | 'medial-trim-line'
  | 'lateral-trim-line'
  | 'no-edge-past-metatarsal-heads'
  | 'redness'
  | 'floor-to-stand-and-back'

export interface FitCheckItem {
  readonly id: FitCheckId
  readonly question: Message
  readonly answer: 'yes-no' | 'mm' | 'minutes'
  readonly side?: Side
  /** Inclusive, in the unit of the answer. */
  readonly tolerance?: { readonly min: number; readonly max: number }
  readonly sources: readonly SourceId[]
}

export interface WearDay {
  readonly day: number
  readonly minutes: number
}

export interface WearSchedule {
  readonly days: readonly WearDay[]
  readonly targetMinutesPerDay: number
  readonly barefootMinutesPerDay: number
  readonly wording: Message
  readonly sources: readonly SourceId[]
}

export interface PlanGoal {
  readonly milestone: Milestone | 'comfortable-wear' | 'alignment-in-standing'
  readonly wording: Message
  readonly due: CivilDate
  /** How the date was found, with its interval. */
  readonly forecast?: Message
  readonly earliest?: CivilDate
  readonly latest?: CivilDate
}

export interface FollowUp {
  /** `delivery`, `week-2`, `review-1`, `refit`. */
  readonly id: string
  readonly on: CivilDate
  readonly wording: Message
}

/** A proposal for the orthotist to approve; never an order by itself. */
export interface FittingPlan {
  readonly proposedOn: CivilDate
  readonly deliveryOn: CivilDate
  readonly devices: readonly DeviceProposal[]
  readonly fitCheck: readonly FitCheckItem[]
  readonly wear: WearSchedule
  readonly goals: readonly PlanGoal[]
  readonly followUps: readonly FollowUp[]
  readonly stopRules: readonly Message[]
  readonly cautions: readonly Message[]
  readonly evidence: readonly Message[]
}

/** All that triage has found about the child on this day. */
export interface PlanFacts extends ChildOnDay {
  readonly milestones: Milestones
  readonly tempo: Tempo
  readonly suitability: Suitability
  readonly sizing: Sizing
  readonly posture: Posture
}

/**
 * What is proposed for a suitable child: devices, checks, wear, goals, visits and when to stop?
 *
 * Devices are for the feet with excessive pronation. Fitting the other foot too is common practice
 * and left to the orthotist; the plan says so. A foot without a size is proposed as made to measure
 * or to be measured, never guessed.
 *
 * Throws `business-rule` unless the child is suitable, or suitable after review, and a foot is known
 * to pronate excessively: what is unknown gets no device.
 */
export function fittingPlan(facts: PlanFacts, rules: RuleSet): FittingPlan {
  const { asOf, child, milestones, posture, sizing, suitability, tempo } = facts
  if (suitability.outcome !== 'suitable' && suitability.outcome !== 'suitable-after-review')
    throw new AppError(
      'business-rule',
      `a fitting plan needs a suitable child; the outcome is ${suitability.outcome}`,
    )
  const sides = SIDES.filter((side) => posture[side].excessivePronation.holds === 'yes')
  if (sides.length === 0)
    throw new AppError('business-rule', 'a fitting plan needs a foot with excessive pronation')

  const deliveryOn = addDays(asOf, rules.fitting.deliveryAfterDays)
  const shoe = shoeAdvice(rules)
  const devices = sides.map((side): DeviceProposal => {
    const own = sizing[side]
    return { side, sizing: own, materials: materials(own), shoe }
  })
  const walksAlone = milestones.walksAlone.holds
  const visits = { deliveryOn, birthDate: child.birthDate.value, walksAlone, devices }
  return {
    proposedOn: asOf,
    deliveryOn,
    devices,
    fitCheck: fitCheck(sides, rules),
    wear: wearSchedule(rules),
    goals: goals({ tempo, deliveryOn }, rules),
    followUps: followUps(visits, rules),
    stopRules: stopRules(rules),
    cautions: cautions({ suitability, posture, walksAlone, chart: sizing.chart }, rules),
    evidence: EVIDENCE,
  }
}
