import { addDays } from '../domain/calendar.ts'
import type { FittingPlan, WearDay } from '../domain/plan/fitting.ts'
import { EXCHANGE_CODES, UNITS } from './codes.ts'
import { say } from '../domain/messages/message.ts'
import { concept, forFamily, type Speaking } from './derived.ts'
import type { CarePlanActivity } from './r4/types.ts'

/** One activity per step; the last step goes on. */
export function wearActivities(
  plan: Pick<FittingPlan, 'deliveryOn' | 'wear'>,
  speaking: Speaking,
): CarePlanActivity[] {
  const { days } = plan.wear
  return steps(days).map(({ first, last, minutes }, index, all) => {
    const to = last > first ? last : 0
    const message =
      index === 0 ? plan.wear.wording : say('answer.wear-step', { from: first, to, minutes })
    return {
      detail: {
        extension: forFamily(speaking, message),
        code: concept(EXCHANGE_CODES.wear),
        status: 'not-started',
        scheduledTiming: {
          repeat: {
            boundsPeriod: {
              start: addDays(plan.deliveryOn, first - 1),
              ...(index === all.length - 1 ? {} : { end: addDays(plan.deliveryOn, last - 1) }),
            },
            duration: minutes,
            durationUnit: UNITS.minutes.code,
            frequency: 1,
            period: 1,
            periodUnit: UNITS.days.code,
          },
        },
        description: speaking.speaker.therapist(message),
      },
    }
  })
}

/** Days in a row with the same time are one step. */
function steps(days: readonly WearDay[]) {
  const found: { first: number; last: number; minutes: number }[] = []
  for (const { day, minutes } of days) {
    const step = found.at(-1)
    if (step?.minutes === minutes) step.last = day
    else found.push({ first: day, last: day, minutes })
  }
  return found
}
