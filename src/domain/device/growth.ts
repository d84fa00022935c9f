import { addDays, addMonths, type CivilDate, daysBetween } from '../calendar.ts'
import type { Measurement } from '../child.ts'
import type { Evidence } from '../facts.ts'
import { growthRates, type GrowthStart, growthStart, type RateAt } from './growth-rates.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { DAYS_PER_MONTH, type Millimetres, type Months } from '../units.ts'

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
  const start = growthStart(growth, rules.growth.ownRateMinDays)
  if (start === 'unknown') return 'unknown'

  const room = Math.max(growth.limit - rules.sizing.growthReserveMm - start.latest.mm, 0)
  const { slow, middle, fast } = growthRates(start, rules)
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

export interface Growing {
  /** How much the foot may grow from its latest measure, mm. */
  readonly room: number
  readonly start: GrowthStart
  readonly rateAt: RateAt
  /** The last day that is looked at, counted from the measure. */
  readonly lastDay: number
}

/**
 * The first day, not before `asOf`, on which the foot has grown by so much; undefined when it has not by
 * the last day or leaves the curve.
 */
export function reached(
  { room, start, rateAt, lastDay }: Growing,
  asOf: CivilDate,
): CivilDate | undefined {
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
  {
    room,
    rate,
    start,
    limit,
  }: { room: number; rate: number; start: GrowthStart; limit: Millimetres },
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
