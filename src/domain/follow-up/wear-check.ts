import { type CivilDate, daysBetween } from '../calendar.ts'
import { evidenceOf, type Recorded } from '../facts.ts'
import { type Message, say } from '../messages/message.ts'
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
  const finding = (holds: Truth, because: Message, wording?: Message): VisitFinding => ({
    rule: 'wear-as-scheduled',
    holds,
    because,
    sources: ['orthosis-leaflets', 'judgement'],
    evidence: evidenceOf(minutes),
    ...(wording && { wording }),
  })
  if (!isRecent(minutes, wear, rules) || !(minutes.value >= 0 && minutes.value <= MINUTES_PER_DAY))
    return finding('unknown', say('wear-as-scheduled.unknown'), say('wear-as-scheduled.ask'))
  const day = daysBetween(deliveredOn, asOf) + 1
  const scheduled = days.find((one) => one.day === day)?.minutes ?? target
  const tolerance = (scheduled * rules.followUp.wearTolerancePercent) / 100
  const values = { minutes: minutes.value, scheduled, day }
  if (minutes.value > scheduled + tolerance)
    return finding(
      'no',
      say('wear-as-scheduled.longer', values),
      say('wear-as-scheduled.go-back', values),
    )
  if (minutes.value < scheduled - tolerance)
    return finding(
      'no',
      say('wear-as-scheduled.shorter', values),
      say('wear-as-scheduled.ask-why', values),
    )
  return finding('yes', say('wear-as-scheduled.yes', values))
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
