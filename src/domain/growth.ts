import normal from '@stdlib/stats-base-dists-normal'
import { addDays, addMonths, type CivilDate, daysBetween } from './calendar.ts'
import type { Measurement } from './child.ts'
import type { Evidence } from './facts.ts'
import type { RuleSet } from './rules/rule-set.ts'
import { FOOT_LENGTH_CURVE } from './tables/foot-length-curve.ts'
import { GOULD_1990 } from './tables/gould-1990.ts'
import { DAYS_PER_MONTH, type Millimetres, millimetres, type Months } from './units.ts'

export interface RefitForecast {
  /** Absent when it lies beyond the horizon. */
  readonly median?: CivilDate
  readonly earliest?: CivilDate
  readonly latest?: CivilDate
  readonly ratePerMonthMm: number
  readonly rateFrom: 'age-curve' | 'own-measurements'
  readonly limitMm: Millimetres
  readonly because: string
  readonly evidence: readonly Evidence[]
}

/** A measurement of a foot as it would be with the child standing on it, and how it was taken. */
export interface FootMeasure {
  readonly on: CivilDate
  readonly mm: Millimetres
  readonly loading: Measurement['loading']
  readonly evidence: Evidence
}

export interface FootGrowth {
  /** Every usable length on record, in any order. */
  readonly lengths: readonly FootMeasure[]
  readonly asOf: CivilDate
  /** Chronological on `asOf`: the children of the reference were grouped by time since birth. */
  readonly age: Months
  /** The longest foot that the size takes. */
  readonly limit: Millimetres
}

type RateAt = (age: number) => number | 'unknown'
interface Start {
  readonly age: number
  readonly latest: FootMeasure
  readonly own?: { readonly rate: number; readonly earlier: FootMeasure }
}

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

/**
 * When will the foot have reached the limit of its size, less the reserve?
 *
 * The median follows the child's own rate where two measures allow it, otherwise the curve for the
 * age in the child's own proportion. The range takes, day by day, the slowest and the fastest of
 * that rate, the rate of small and of large children on the curve, and the published half-size
 * intervals. A date is never before `asOf` and absent beyond the horizon or the end of the curve;
 * `unknown` without a length or when it was measured at an age outside the curve.
 *
 * @see FOOT_LENGTH_CURVE, GOULD_1990
 */
export function refit(growth: FootGrowth, rules: RuleSet): RefitForecast | 'unknown' {
  const start = startOf(growth, rules.growth.ownRateMinDays)
  if (start === 'unknown') return 'unknown'

  const room = Math.max(growth.limit - rules.sizing.growthReserveMm - start.latest.mm, 0)
  const { slow, middle, fast } = rates(start, rules)
  const rate = middle(start.age)
  if (rate === 'unknown') return 'unknown'

  const { asOf } = growth
  const lastDay = daysBetween(start.latest.on, addMonths(asOf, rules.growth.horizonMonths))
  const dateAt = (rateAt: RateAt) => reached({ room, start, rateAt, lastDay }, asOf)
  const dates = { median: dateAt(middle), earliest: dateAt(fast), latest: dateAt(slow) }
  return {
    ...(dates.median !== undefined && { median: dates.median }),
    ...(dates.earliest !== undefined && { earliest: dates.earliest }),
    ...(dates.latest !== undefined && { latest: dates.latest }),
    ratePerMonthMm: rate,
    rateFrom: start.own === undefined ? 'age-curve' : 'own-measurements',
    limitMm: growth.limit,
    because: sentence({ room, rate, start, limit: growth.limit }, rules),
    evidence: [start.latest.evidence, ...(start.own ? [start.own.earlier.evidence] : [])],
  }
}

function startOf({ lengths, asOf, age }: FootGrowth, minDays: number): Start | 'unknown' {
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

/** mm per month at an age: the likeliest, and the ends of the range around it. */
function rates({ age, latest, own }: Start, rules: RuleSet) {
  const mean = footLengthForAge(age)
  // Where the mean is unknown the curve has no rate either, and the ratio is not used.
  const ratio = mean === 'unknown' ? 1 : latest.mm / mean
  const small = spread(rules.growth.lowPercentile)
  const large = spread(rules.growth.highPercentile)

  const candidates = (at: number): readonly number[] | 'unknown' => {
    const curve = growthRateForAge(at)
    if (curve === 'unknown') return 'unknown'
    return [own?.rate ?? ratio * curve, small * curve, large * curve, ...publishedRates(at)]
  }
  const pick =
    (choose: (all: readonly number[]) => number | undefined): RateAt =>
    (at) => {
      const all = candidates(at)
      return all === 'unknown' ? 'unknown' : (choose(all) ?? 'unknown')
    }
  return {
    slow: pick((all) => Math.min(...all)),
    middle: pick(([first]) => first),
    fast: pick((all) => Math.max(...all)),
  }
}

/** The size of a child at this share of children, as a share of the mean. */
const spread = (share: number) => 1 + FOOT_LENGTH_CURVE.relativeSd * normal.quantile(share, 0, 1)

/** The ends of the published interval for the age; nothing under 12 and from 60 months. */
function publishedRates(age: number): readonly number[] {
  const interval = GOULD_1990.intervals.find(
    ({ fromMonths, toMonths }) => age >= fromMonths && age < toMonths,
  )
  if (interval === undefined) return []
  return 'maxRate' in interval ? [interval.minRate, interval.maxRate] : [interval.minRate]
}

interface Growing {
  readonly room: number
  readonly start: Start
  readonly rateAt: RateAt
  readonly lastDay: number
}

function reached({ room, start, rateAt, lastDay }: Growing, asOf: CivilDate) {
  let grown = 0
  for (let day = 0; day <= lastDay; day++) {
    if (grown >= room) {
      const date = addDays(start.latest.on, day)
      return date < asOf ? asOf : date
    }
    const rate = rateAt(start.age + day / DAYS_PER_MONTH)
    if (rate === 'unknown') return undefined
    grown += rate / DAYS_PER_MONTH
  }
  return undefined
}

function sentence(
  { room, rate, start, limit }: { room: number; rate: number; start: Start; limit: Millimetres },
  rules: RuleSet,
): string {
  const share = Math.round((rules.growth.highPercentile - rules.growth.lowPercentile) * 100)
  const from =
    start.own === undefined
      ? "for the age, in the child's own proportion"
      : `measured between ${start.own.earlier.on} and ${start.latest.on}`
  return (
    `${start.latest.mm.toFixed(1)} mm on ${start.latest.on}; the size ends at ${limit} mm, and less ` +
    `the reserve of ${rules.sizing.growthReserveMm} mm the foot may grow ${room.toFixed(1)} mm, at ` +
    `${rate.toFixed(1)} mm a month ${from}; the range (taken as ${share} %) comes from the slowest ` +
    'and the fastest published rate for the age; feet grow in spurts, so measure again'
  )
}

/** Written as "inside", so NaN is outside. */
function insideCurve(age: number): boolean {
  return age >= FOOT_LENGTH_CURVE.fromMonths && age <= FOOT_LENGTH_CURVE.toMonths
}
