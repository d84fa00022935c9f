import { addDays, addMonths, type CivilDate, daysBetween } from '../calendar.ts'
import type { Measurement } from '../child.ts'
import type { Evidence } from '../facts.ts'
import { growthRates, type GrowthStart, growthStart, type RateAt } from './growth-rates.ts'
import { day, type Message, say, together } from '../messages/message.ts'
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
  readonly because: Message
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
  const [median, earliest, latest] = [dateAt(middle), dateAt(fast), dateAt(slow)]
  const dates = {
    ...(median !== undefined && { median }),
    ...(earliest !== undefined && { earliest }),
    ...(latest !== undefined && { latest }),
  }
  return {
    ...dates,
    ratePerMonthMm: rate,
    rateFrom: start.own === undefined ? 'age-curve' : 'own-measurements',
    limitMm: growth.limit,
    because: together([
      dateSentence(dates, asOf, rules),
      ...roomSentences({ room, rate, start, limit: growth.limit }, rules),
    ]),
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

/** The likeliest day with its range, as far as they lie within the forecast. */
function dateSentence(
  { median, earliest, latest }: Pick<RefitForecast, 'median' | 'earliest' | 'latest'>,
  asOf: CivilDate,
  { growth: { highPercentile, lowPercentile, horizonMonths } }: RuleSet,
): Message {
  if (latest === asOf) return say('device-refit.reached', { on: day(asOf) })
  if (median === undefined)
    return earliest === undefined
      ? say('device-refit.none', { months: horizonMonths })
      : say('device-refit.only-if-fast', { earliest: day(earliest), months: horizonMonths })
  const share = (highPercentile - lowPercentile) * 100
  const dates = { share, median: day(median), earliest: day(earliest ?? median) }
  return latest === undefined
    ? say('device-refit.open-ended', dates)
    : say('device-refit.range', { ...dates, latest: day(latest) })
}

interface Room {
  readonly room: number
  readonly rate: number
  readonly start: GrowthStart
  readonly limit: Millimetres
}

function roomSentences(
  { room, rate, start: { latest, own }, limit }: Room,
  rules: RuleSet,
): readonly Message[] {
  const reserve = rules.sizing.growthReserveMm
  const on = day(latest.on)
  return [
    say('device-growth.room', { mm: latest.mm, on, limit, reserve, room }),
    own === undefined
      ? say('device-growth.rate-for-age', { rate })
      : say('device-growth.rate-measured', { rate, from: day(own.earlier.on), to: on }),
    say('device-growth.basis'),
  ]
}
