import { addDays, type CivilDate } from '../calendar.ts'
import type { PlanGoal } from './fitting.ts'
import { day, say } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { Tempo } from '../development/tempo.ts'

/**
 * What is worked towards, and by when should it be looked at?
 *
 * Comfortable wear and alignment are due with the visits; each milestone not yet there on the date
 * that the present tempo makes likely, with its 80 % range. Without a tempo no milestone gets a date.
 * A date says when to look, not what the devices will do.
 */
export function goals(
  { tempo, deliveryOn }: { readonly tempo: Tempo; readonly deliveryOn: CivilDate },
  rules: RuleSet,
): readonly PlanGoal[] {
  const own = [comfortableWear(deliveryOn, rules), alignment(deliveryOn, rules)]
  if (tempo.state === 'not-estimable') return own
  const milestones = tempo.expected.map(
    ({ milestone, median, earliest, latest, because }): PlanGoal => ({
      milestone,
      wording: say('plan-goal.milestone', {
        milestone: say(`milestone.${milestone}`),
        due: day(median),
      }),
      due: median,
      forecast: because,
      earliest,
      ...(latest !== undefined && { latest }),
    }),
  )
  return [...own, ...milestones]
}

function comfortableWear(deliveryOn: CivilDate, rules: RuleSet): PlanGoal {
  const { wearTargetDayHigh, wearTargetHours, rednessTellMinutes } = rules.fitting
  return {
    milestone: 'comfortable-wear',
    wording: say('plan-goal.comfortable-wear', {
      hours: wearTargetHours,
      minutes: rednessTellMinutes,
    }),
    due: addDays(deliveryOn, wearTargetDayHigh),
  }
}

function alignment(deliveryOn: CivilDate, rules: RuleSet): PlanGoal {
  return {
    milestone: 'alignment-in-standing',
    wording: say('plan-goal.alignment'),
    due: addDays(deliveryOn, Math.max(...rules.fitting.followUpWeeks) * 7),
  }
}
