import normal from '@stdlib/stats-base-dists-normal'
import type { Milestone } from '../child.ts'
import { type Message, say } from '../messages/message.ts'
import { WHO_MOTOR_2006 } from '../tables/who-motor-2006.ts'
import { WHO_MOTOR_MODEL } from '../tables/who-motor-model.ts'
import type { Months } from '../units.ts'

/** Shares of reference children, percent. A point has `low` equal to `high`. */
export interface PercentileRange {
  readonly low: number
  readonly high: number
  /** What is shown: "74th-96th percentile", "<1 percentile", ">99 %". */
  readonly words: Message
}

/**
 * Which share of reference children, 0 to 1, has the milestone by this age?
 *
 * High means late for a child who attains it then. Beyond the published 1st and 99th percentile it
 * is a model only; words say "<1" and ">99" there.
 *
 * @see WHO_MOTOR_MODEL
 */
export function shareAttainedBy(milestone: Milestone, age: Months): number {
  if (age <= 0) return 0
  const { family, median, spread } = WHO_MOTOR_MODEL.curves[milestone]
  const z = Math.log(age / median) / spread
  return family === 'log-normal' ? normal.cdf(z, 0, 1) : 1 / (1 + Math.exp(-z))
}

/**
 * At which percentile of reference children was a milestone attained, known only to an interval of
 * ages? A range, never a midpoint.
 *
 * @param interval last age seen without it (0 when never) and first age seen with it, months
 */
export function attainedPercentile(
  milestone: Milestone,
  interval: { readonly from: Months; readonly to: Months },
): PercentileRange {
  return {
    low: 100 * shareAttainedBy(milestone, interval.from),
    high: 100 * shareAttainedBy(milestone, interval.to),
    words: percentileWords(rankAt(milestone, interval.from), rankAt(milestone, interval.to)),
  }
}

/** Of a milestone not yet attained at this age: how many in 100 reference children are not there either? */
export function notYetShare(milestone: Milestone, age: Months): PercentileRange {
  const share = 100 * (1 - shareAttainedBy(milestone, age))
  const rank = rankAt(milestone, age)
  return { low: share, high: share, words: notYetWords(rank, share) }
}

function notYetWords(rank: Rank, percent: number): Message {
  if (rank === 'below') return say('not-yet-share.above')
  return rank === 'above' ? say('not-yet-share.below') : say('not-yet-share.at', { percent })
}

/** A whole percentile, or outside the published window; its ends belong to it. */
type Rank = number | 'below' | 'above'

function rankAt(milestone: Milestone, age: Months): Rank {
  const { p1, p99 } = WHO_MOTOR_2006.months[milestone]
  if (age < p1) return 'below'
  return age > p99 ? 'above' : Math.round(100 * shareAttainedBy(milestone, age))
}

/** The lower end is never above the higher one. */
function percentileWords(low: Rank, high: Rank): Message {
  if (low === 'above') return say('percentile.above')
  if (high === 'below') return say('percentile.below')
  if (low === 'below')
    return high === 'above' ? say('percentile.any') : say('percentile.up-to', { high })
  if (high === 'above') return say('percentile.from', { low })
  return low === high ? say('percentile.at', { low }) : say('percentile.range', { low, high })
}
