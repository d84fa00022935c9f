import type { Milestone } from '../child.ts'
import { type Message, say } from '../messages/message.ts'
import { WHO_MOTOR_2006 } from '../tables/who-motor-2006.ts'
import { type Months, months } from '../units.ts'

export interface SimpleAgeEquivalent {
  readonly months: Months
  /** Negative for a child ahead of the median. */
  readonly delayPercent: number
  readonly because: Message
}

/**
 * Which age would a therapist write down by hand: the published median of the highest milestone?
 *
 * delay % = 100 x (age - age equivalent) / age. Absent when nothing was attained, and once the child
 * walks alone: nothing higher is left in the table, so that every older child would look late.
 *
 * @param attained milestones the child has
 * @param age      at the latest look, months: what was not looked at since is not known
 * @see WHO_MOTOR_2006 (50th percentile); SOURCES common-practice
 */
export function simpleAgeEquivalent(
  attained: readonly Milestone[],
  age: Months,
): SimpleAgeEquivalent | undefined {
  const highest = attained.toSorted((a, b) => median(a) - median(b)).at(-1)
  if (highest === undefined || highest === 'walking-alone') return undefined
  const equivalent = median(highest)
  const delayPercent = (100 * (age - equivalent)) / age
  return {
    months: months(equivalent),
    delayPercent,
    because: say('simple-age-equivalent.found', {
      months: equivalent,
      milestone: say(`milestone.${highest}`),
      delay: delayPercent,
      age,
    }),
  }
}

const median = (milestone: Milestone): number => WHO_MOTOR_2006.months[milestone].p50
