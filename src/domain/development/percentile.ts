import normal from '@stdlib/stats-base-dists-normal'
import type { Milestone } from '../child.ts'
import { WHO_MOTOR_2006 } from '../tables/who-motor-2006.ts'
import { WHO_MOTOR_MODEL } from '../tables/who-motor-model.ts'
import { type Months, months } from '../units.ts'

/** Shares of reference children, percent. A point has `low` equal to `high`. */
export interface PercentileRange {
  readonly low: number
  readonly high: number
  /** What is shown: "74th-96th percentile", "<1", ">99". */
  readonly text: string
}

/**
 * Which share of reference children, 0 to 1, has the milestone by this age?
 *
 * High means late for a child who attains it then. Beyond the published 1st and 99th percentile it
 * is a model only; texts say "<1" and ">99" there.
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
 * By which age does a share of reference children, above 0 and below 1, have the milestone?
 *
 * @see WHO_MOTOR_MODEL
 */
export function ageAttainedBy(milestone: Milestone, share: number): Months {
  if (!(share > 0 && share < 1)) throw new RangeError('share must be above 0 and below 1')
  const { family, median, spread } = WHO_MOTOR_MODEL.curves[milestone]
  const z = family === 'log-normal' ? normal.quantile(share, 0, 1) : Math.log(share / (1 - share))
  return months(median * Math.exp(spread * z))
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
    text: percentileText(
      percentileName(milestone, interval.from),
      percentileName(milestone, interval.to),
    ),
  }
}

/** Of a milestone not yet attained at this age: how many in 100 reference children are not there either? */
export function notYetShare(milestone: Milestone, age: Months): PercentileRange {
  const share = 100 * (1 - shareAttainedBy(milestone, age))
  const { p1, p99 } = WHO_MOTOR_2006.months[milestone]
  const text = age > p99 ? '<1' : age < p1 ? '>99' : share.toFixed(0)
  return { low: share, high: share, text: `${text} %` }
}

/** "74th-96th percentile"; "<1" and ">99" where both ends lie outside the published window. */
export function percentileText(low: string, high: string): string {
  if (low === high) return low === BELOW || low === ABOVE ? low : `${low} percentile`
  return low === BELOW || high === ABOVE
    ? `${low} to ${high} percentile`
    : `${low}-${high} percentile`
}

const BELOW = '<1'
const ABOVE = '>99'

/** The ends of the published window belong to it. */
function percentileName(milestone: Milestone, age: Months): string {
  const { p1, p99 } = WHO_MOTOR_2006.months[milestone]
  if (age < p1) return BELOW
  return age > p99 ? ABOVE : ordinal(Math.round(100 * shareAttainedBy(milestone, age)))
}

function ordinal(rank: number): string {
  const teen = rank % 100 >= 11 && rank % 100 <= 13
  const ending = teen ? 'th' : (['th', 'st', 'nd', 'rd'][rank % 10] ?? 'th')
  return `${rank}${ending}`
}
