import { addDays, type CivilDate, daysBetween } from '../calendar.ts'
import type { Side } from '../child.ts'
import { footDimensions } from './dimensions.ts'
import type { Evidence } from '../facts.ts'
import { reached } from './growth.ts'
import { growthStart, insideCurve, ownCurveRate } from './growth-rates.ts'
import { day, type Message, say, together } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { byLength } from './size-chart.ts'
import { selectSize } from './size-selection.ts'
import type { ChildOnDay, SizeChart } from './sizing.ts'
import { DAYS_PER_MONTH, type Months } from '../units.ts'

/** A size, and the day from which it is needed. */
export interface NeededSize {
  readonly code: string
  readonly from: CivilDate
}

export interface SizeSuccession {
  /** In the order of need, the present one first. */
  readonly sizes: readonly NeededSize[]
  /** The day on which the child reaches the chosen age; today when it has. */
  readonly until: CivilDate
  /** From this day no size of the chart is long enough. */
  readonly beyondChartFrom?: CivilDate
  readonly because: Message
  readonly evidence: readonly Evidence[]
}

interface FootUntil {
  readonly on: ChildOnDay
  readonly side: Side
  readonly chart: SizeChart
  /** The chosen age: chronological, months. */
  readonly age: Months
}

/**
 * How many sizes of the chart will a foot need until a chosen age, and when does each begin?
 *
 * The length follows the curve for the age in the child's own proportion. A size is left when the foot
 * reaches its longest length less the reserve, as for the refit; by length alone, for breadth and ankle
 * are not foretold. An own rate from two measures tells the next months and not years, so it is not used.
 *
 * `unknown` without a usable length, when no size fits today, and when the measurement or the chosen
 * age lies outside the ages of the curve.
 *
 * @see FOOT_LENGTH_CURVE
 */
export function sizesUntil(foot: FootUntil, rules: RuleSet): SizeSuccession | 'unknown' {
  const { side, chart, age } = foot
  const { asOf, child, ages } = foot.on
  const now = ages.chronologicalMonths
  const dimensions = footDimensions({ foot: child.feet[side], side, asOf, age: now }, rules)
  const { used, lengths } = dimensions
  const start = growthStart({ lengths, asOf, age: now }, rules.growth.ownRateMinDays)
  const length = used['foot-length']
  if (length === undefined || start === 'unknown') return 'unknown'
  if (!insideCurve(start.age) || !insideCurve(age)) return 'unknown'
  const { size } = selectSize(chart, { length: length.mm, used }, rules)
  if (size === undefined) return 'unknown'

  const until = addDays(asOf, Math.max(0, Math.ceil((age - now) * DAYS_PER_MONTH)))
  const ordered = byLength(chart.sizes)
  const due = ordered.slice(ordered.indexOf(size)).map((one) => ({
    code: one.code,
    outgrownOn: reached(
      {
        room: Math.max(one.footLength.max - rules.sizing.growthReserveMm - start.latest.mm, 0),
        start,
        rateAt: ownCurveRate(start),
        lastDay: daysBetween(start.latest.on, until),
      },
      asOf,
    ),
  }))
  const sizes = neededSizes(due, asOf)
  const beyondChartFrom = due.at(-1)?.outgrownOn
  return {
    sizes,
    until,
    ...(beyondChartFrom !== undefined && { beyondChartFrom }),
    because: sentence({ sizes, age, beyondChartFrom }),
    evidence: [start.latest.evidence],
  }
}

interface Due {
  readonly code: string
  /** Undefined when the foot does not reach its end by then. */
  readonly outgrownOn: CivilDate | undefined
}

/** Each begins when the one before it ends; one that ends on that day too is not needed. */
function neededSizes(due: readonly Due[], asOf: CivilDate): readonly NeededSize[] {
  return due.flatMap(({ code, outgrownOn }, index) => {
    const before = due[index - 1]
    if (before === undefined) return [{ code, from: asOf }]
    const from = before.outgrownOn
    return from === undefined || from === outgrownOn ? [] : [{ code, from }]
  })
}

function sentence({
  sizes,
  age,
  beyondChartFrom,
}: Pick<SizeSuccession, 'sizes'> & {
  readonly age: Months
  readonly beyondChartFrom: CivilDate | undefined
}): Message {
  const said = sizes.map(({ code, from }, index) =>
    index === 0
      ? say('part.size-now', { code })
      : say('part.size-later', { code, from: day(from) }),
  )
  const beyond =
    beyondChartFrom === undefined
      ? []
      : [say('device-succession.beyond-chart', { on: day(beyondChartFrom) })]
  return together([
    say('device-succession.sizes', { count: sizes.length, age, sizes: said }),
    ...beyond,
    say('device-succession.basis'),
  ])
}
