import normal from '@stdlib/stats-base-dists-normal'
import { daysBetween } from '../calendar.ts'
import type { FootGrowth, FootMeasure } from './growth.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { FOOT_LENGTH_CURVE } from '../tables/foot-length-curve.ts'
import { GOULD_1990 } from '../tables/gould-1990.ts'
import { DAYS_PER_MONTH, type Millimetres, millimetres } from '../units.ts'

/**
 * How long is the foot of the average child of this chronological age, in mm, stood on or not?
 *
 * `unknown` outside the ages of the fit.
 *
 * @see FOOT_LENGTH_CURVE
 */
export function footLengthForAge(age: number): Millimetres | 'unknown' {
  if (!insideCurve(age)) return 'unknown'
  const { scale, shiftMonths, offset } = FOOT_LENGTH_CURVE
  return millimetres(scale * Math.log(age + shiftMonths) - offset)
}

/** How fast does the average foot grow at this age, in mm per month? `unknown` outside the fit. */
export function growthRateForAge(age: number): number | 'unknown' {
  if (!insideCurve(age)) return 'unknown'
  return FOOT_LENGTH_CURVE.scale / (age + FOOT_LENGTH_CURVE.shiftMonths)
}

/** Is this an age, in months, for which the curve has a value? NaN is not. */
export function insideCurve(age: number): boolean {
  return age >= FOOT_LENGTH_CURVE.fromMonths && age <= FOOT_LENGTH_CURVE.toMonths
}

/** mm per month at an age in months, chronological. */
export type RateAt = (age: number) => number | 'unknown'

/** From where a foot is followed: its latest usable length and the chronological age on that day. */
export interface GrowthStart {
  readonly age: number
  readonly latest: FootMeasure
  /** The child's own rate, mm per month, where two measures allow it. */
  readonly own?: { readonly rate: number; readonly earlier: FootMeasure }
}

/**
 * From which measure is the growth of a foot followed, and does an earlier one give the child's own rate?
 *
 * Measures after `asOf` are not seen; `unknown` without any. An own rate takes two that were taken
 * alike, at least the days of the rule set apart, and that grew.
 */
export function growthStart(
  { lengths, asOf, age }: Pick<FootGrowth, 'lengths' | 'asOf' | 'age'>,
  minDays: number,
): GrowthStart | 'unknown' {
  const known = lengths
    .filter((length) => length.on <= asOf)
    .toSorted((a, b) => b.on.localeCompare(a.on) || a.evidence.localeCompare(b.evidence))
  const [latest, ...before] = known
  if (latest === undefined) return 'unknown'
  const ageThen = age - daysBetween(latest.on, asOf) / DAYS_PER_MONTH

  // Loaded against unloaded would measure the correction, not the growth.
  const earlier = before.find(
    ({ on, loading }) => daysBetween(on, latest.on) >= minDays && loading === latest.loading,
  )
  if (earlier === undefined) return { age: ageThen, latest }
  const months = daysBetween(earlier.on, latest.on) / DAYS_PER_MONTH
  const rate = (latest.mm - earlier.mm) / months
  // A foot does not shrink: such a pair tells about measuring, not about growing.
  return rate > 0 ? { age: ageThen, latest, own: { rate, earlier } } : { age: ageThen, latest }
}

/** The rate of the curve for the age, in the child's own proportion to it. */
export function ownCurveRate({ age, latest }: GrowthStart): RateAt {
  const mean = footLengthForAge(age)
  // Where the mean is unknown the curve has no rate either, and the ratio is not used.
  const ratio = mean === 'unknown' ? 1 : latest.mm / mean
  return (at) => {
    const curve = growthRateForAge(at)
    return curve === 'unknown' ? 'unknown' : ratio * curve
  }
}

/**
 * How fast does the foot grow at an age: the likeliest rate, and the ends of the range around it?
 *
 * The likeliest is the child's own where two measures gave it, otherwise that of the curve in its own
 * proportion. The ends are the slowest and the fastest of it, of small and of large children on the
 * curve, and of the published half-size intervals. `unknown` outside the curve.
 *
 * @see FOOT_LENGTH_CURVE, GOULD_1990
 */
export function growthRates(start: GrowthStart, rules: RuleSet) {
  const { own } = start
  const onCurve = ownCurveRate(start)
  const small = spread(rules.growth.lowPercentile)
  const large = spread(rules.growth.highPercentile)

  const middle: RateAt = (at) => {
    const rate = onCurve(at)
    return rate === 'unknown' || own === undefined ? rate : own.rate
  }
  const end =
    (choose: (...rates: number[]) => number): RateAt =>
    (at) => {
      const rate = middle(at)
      const curve = growthRateForAge(at)
      if (rate === 'unknown' || curve === 'unknown') return 'unknown'
      const ofCurve = choose(rate, small * curve, large * curve)
      const published = PUBLISHED.find(({ from, to }) => at >= from && at < to)
      return published === undefined ? ofCurve : choose(ofCurve, published.min, published.max)
    }
  return { slow: end(Math.min), middle, fast: end(Math.max) }
}

/** The size of a child at this share of children, as a share of the mean. */
const spread = (share: number) => 1 + FOOT_LENGTH_CURVE.relativeSd * normal.quantile(share, 0, 1)

/** The ends of each published interval; nothing under 12 and from 60 months. */
const PUBLISHED = GOULD_1990.intervals.map((interval) => ({
  from: interval.fromMonths,
  to: interval.toMonths,
  min: interval.minRate,
  max: 'maxRate' in interval ? interval.maxRate : interval.minRate,
}))
