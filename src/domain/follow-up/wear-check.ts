import { type CivilDate, daysBetween } from '../calendar.ts'
import { evidenceOf, type Recorded } from '../facts.ts'
import type { Wording } from '../plan/fitting.ts'
import type { VisitFinding } from './follow-up.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { Truth } from '../truth.ts'
import { wearSchedule } from '../plan/wear-schedule.ts'

const MINUTES_PER_DAY = 1440

export interface WearTime {
  readonly deliveredOn: CivilDate
  readonly asOf: CivilDate
  /** Minutes a day, lately. */
  readonly minutes: Recorded<number>
}

/**
 * Are the devices worn about as long as the wear schedule says for the day?
 *
 * Holds within the tolerance of the rule set, both ends included. Unknown when it was told before the
 * delivery, after the visit, too long before the visit, or is no number of minutes a day can have.
 *
 * @see SOURCES orthosis-leaflets, judgement
 */
export function wearAsScheduled(wear: WearTime, rules: RuleSet): VisitFinding {
  const { minutes, deliveredOn, asOf } = wear
  const { days, targetMinutesPerDay: target } = wearSchedule(rules)
  const finding = (holds: Truth, because: string, wording?: Wording): VisitFinding => ({
    rule: 'wear-as-scheduled',
    holds,
    because,
    sources: ['orthosis-leaflets', 'judgement'],
    evidence: evidenceOf(minutes),
    ...(wording && { wording }),
  })
  if (!isRecent(minutes, wear, rules) || !(minutes.value >= 0 && minutes.value <= MINUTES_PER_DAY))
    return finding('unknown', 'how long the devices are worn a day is not known', {
      therapist: 'Ask how long the devices are worn a day.',
      family: 'About how long does your child wear the supports each day?',
    })
  const day = daysBetween(deliveredOn, asOf) + 1
  const scheduled = days.find((one) => one.day === day)?.minutes ?? target
  const tolerance = (scheduled * rules.followUp.wearTolerancePercent) / 100
  const said = `worn ${minutes.value} minutes a day; the schedule says ${scheduled} for day ${day}`
  if (minutes.value > scheduled + tolerance)
    return finding('no', `${said}: longer, so look at the skin and go back to the schedule`, {
      therapist: `Worn longer than the schedule: ${minutes.value} of ${scheduled} minutes. Check the skin, keep barefoot play.`,
      family: `That is longer than planned for now. Please go back to about ${scheduled} minutes a day, look at the skin, and keep barefoot play.`,
    })
  if (minutes.value < scheduled - tolerance)
    return finding('no', `${said}: less, so ask what makes it hard before judging a gain`, {
      therapist: `Worn less than the schedule: ${minutes.value} of ${scheduled} minutes. Ask what makes it hard; a missing gain cannot be put down to the device.`,
      family:
        'That is less than planned, which happens often. Please tell us what makes it hard, so that we can make it easier.',
    })
  return finding('yes', said)
}

/** Told on the day of the visit or in the days of the rule set before, and not before the delivery. */
function isRecent(
  minutes: Recorded<number>,
  { deliveredOn, asOf }: WearTime,
  { followUp }: RuleSet,
): minutes is Exclude<Recorded<number>, 'unknown'> {
  if (minutes === 'unknown') return false
  const { on } = minutes
  return on >= deliveredOn && on <= asOf && daysBetween(on, asOf) <= followUp.lookDays
}
