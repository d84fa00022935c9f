import { type CivilDate, daysBetween } from '../calendar.ts'
import type { FollowUpResult } from './follow-up.ts'
import type { FollowUp, PlanGoal, WearSchedule } from '../plan/fitting.ts'
import { followUps } from '../plan/follow-ups.ts'
import { goals } from '../plan/goals.ts'
import { shoeAdvice, stopRules, wornMaterials } from '../plan/plan-wording.ts'
import { wearSchedule } from '../plan/wear-schedule.ts'
import type { Message } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { Triage } from '../triage.ts'
import type { WornDevice } from './worn-device.ts'

/** Devices that were delivered, and what a visit found. */
export interface WornVisit {
  readonly deliveredOn: CivilDate
  readonly devices: readonly Pick<WornDevice, 'side' | 'size'>[]
  readonly found: FollowUpResult
  /** Somebody has put their use on hold. */
  readonly isPaused?: true
}

/** How it goes on with the devices that a child wears, counted from their delivery. */
export interface WornCourse extends WornVisit {
  /** Of wearing; 1 on the day of the delivery. */
  readonly day: number
  /** They stay off until the child has been seen. */
  readonly isStopped: boolean
  readonly wear: WearSchedule
  /** What is still to come, from the day on. */
  readonly followUps: readonly FollowUp[]
  readonly goals: readonly PlanGoal[]
  readonly stopRules: readonly Message[]
  /** What is worn under and over them. */
  readonly advice: readonly Message[]
}

/**
 * How does it go on with devices that were delivered?
 *
 * Whatever today's findings would propose: who wears a device is followed, and its days are those since the
 * delivery. A refit is foreseen for a foot that would get the size it wears; of any other size no date is known.
 */
export function wornCourse(
  { asOf, child, milestones, sizing, tempo }: Triage,
  visit: WornVisit,
  rules: RuleSet,
): WornCourse {
  const { deliveredOn, devices, found } = visit
  const foreseen = devices.flatMap(({ side, size }) =>
    size !== 'unknown' && sizing[side].size?.code === size.code
      ? [{ side, sizing: sizing[side] }]
      : [],
  )
  const planned = {
    deliveryOn: deliveredOn,
    birthDate: child.birthDate.value,
    walksAlone: milestones.walksAlone.holds,
    devices: foreseen,
  }
  return {
    ...visit,
    day: daysBetween(deliveredOn, asOf) + 1,
    isStopped: found.outcome === 'stop' || visit.isPaused === true,
    wear: wearSchedule(rules),
    followUps: followUps(planned, rules).filter(({ id, on }) => id !== 'delivery' && on >= asOf),
    goals: goals({ tempo, deliveryOn: deliveredOn }, rules),
    stopRules: stopRules(rules),
    advice: [...wornMaterials, ...shoeAdvice(rules)],
  }
}
