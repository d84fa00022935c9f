import type { WearDay, WearSchedule } from './fitting.ts'
import { say } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'

/** Nobody times a toddler to the minute. */
const STEP_MINUTES = 5

/**
 * How long may the devices be worn on each of the first days, in minutes a day?
 *
 * Starts at the lower published beginning, rises in even steps to the target in the middle of the
 * days by which it should be reached, and stays there. Never falls, never above the target.
 * Published leaflets differ several-fold in pace; a clinic changes the rule set.
 *
 * @see SOURCES['orthosis-leaflets'], judgement
 */
export function wearSchedule(rules: RuleSet): WearSchedule {
  const { wearStartMinutesLow: start, wearStartMinutesHigh: high, wearTargetHours } = rules.fitting
  const { wearTargetDayLow: from, wearTargetDayHigh: to, barefootMinutes } = rules.fitting
  const target = wearTargetHours * 60
  const reachedOn = Math.round((from + to) / 2)
  const days = Array.from({ length: to }, (_, index): WearDay => {
    const share = index + 1 >= reachedOn ? 1 : index / (reachedOn - 1)
    const rising = start + (target - start) * share
    const minutes = Math.floor(rising / STEP_MINUTES) * STEP_MINUTES
    return { day: index + 1, minutes: Math.min(Math.max(minutes, Math.min(start, target)), target) }
  })
  return {
    days,
    targetMinutesPerDay: target,
    barefootMinutesPerDay: barefootMinutes,
    wording: say('plan-wear.schedule', {
      start,
      high,
      hours: wearTargetHours,
      from,
      to,
      barefoot: barefootMinutes,
    }),
    sources: ['orthosis-leaflets', 'judgement'],
  }
}
