import { addDays, type CivilDate } from '../calendar.ts'
import type { Milestone } from '../child.ts'
import type { PlanGoal } from './fitting.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { Tempo } from '../development/tempo.ts'

const NAMES: Readonly<Record<Milestone, string>> = {
  'sitting-without-support': 'sitting without support',
  'standing-with-assistance': 'standing with help',
  'hands-and-knees-crawling': 'crawling on hands and knees',
  'walking-with-assistance': 'walking with help',
  'standing-alone': 'standing alone',
  'walking-alone': 'walking alone',
}

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
  const milestones = tempo.expected.map(({ milestone, median, earliest, latest }): PlanGoal => {
    const name = NAMES[milestone]
    return {
      milestone,
      wording: {
        therapist: `${named(name)}, expected about ${median} at the present tempo, with or without orthoses.`,
        family: `We will look together for ${name}, around ${median}. Every child has their own pace, so this is an estimate and may well come sooner or later.`,
      },
      due: median,
      earliest,
      ...(latest !== undefined && { latest }),
    }
  })
  return [...own, ...milestones]
}

function comfortableWear(deliveryOn: CivilDate, rules: RuleSet): PlanGoal {
  const { wearTargetDayHigh, wearTargetHours, rednessTellMinutes } = rules.fitting
  return {
    milestone: 'comfortable-wear',
    wording: {
      therapist: `Worn about ${wearTargetHours} hours a day without protest, redness gone within ${rednessTellMinutes} minutes.`,
      family: `Your child wears them comfortably for about ${wearTargetHours} hours a day, and any redness is gone within ${rednessTellMinutes} minutes.`,
    },
    due: addDays(deliveryOn, wearTargetDayHigh),
  }
}

function alignment(deliveryOn: CivilDate, rules: RuleSet): PlanGoal {
  return {
    milestone: 'alignment-in-standing',
    wording: {
      therapist:
        'In standing with the devices the heel is closer to vertical and the forefoot straighter than barefoot, in all three planes.',
      family:
        'When your child stands with them on, the feet look straighter than they do barefoot.',
    },
    due: addDays(deliveryOn, Math.max(...rules.fitting.followUpWeeks) * 7),
  }
}

const named = (name: string): string => `${name.charAt(0).toUpperCase()}${name.slice(1)}`
