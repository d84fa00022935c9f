import { type CivilDate, daysBetween } from '../calendar.ts'
import type { Side } from '../child.ts'
import { footDimensions } from '../device/dimensions.ts'
import type { Evidence } from '../facts.ts'
import type { VisitFinding } from './follow-up.ts'
import type { FootMeasure } from '../device/growth.ts'
import { day, type Message, say, together, type Values } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { type ChildOnDay, type FootSizing, type SizeChart, sizing } from '../device/sizing.ts'
import { anyOf, type Truth } from '../truth.ts'
import { daysOf, SIZE_SIGNS, signAt, type WornDevice } from './worn-device.ts'

export interface OutgrownDevice {
  readonly side: Side
  /** `outgrown.<side>` */
  readonly finding: VisitFinding
  /** Among the larger sizes of the chart, when it is outgrown. */
  readonly proposal?: FootSizing
}

export interface WornByChild {
  readonly on: ChildOnDay
  readonly deliveredOn: CivilDate
  readonly device: WornDevice
}

/**
 * Has the foot outgrown its device, and which size comes next?
 *
 * Outgrown when the foot, in mm as loaded, is at or beyond the longest foot of the size less the
 * reserve, when the toes reach the front edge, or with marks in a new place. A foot does not shrink,
 * so an old length can show that it is outgrown; that it is not needs one from the days of the rule
 * set before the visit. Unknown without the size, a usable length or a look at the signs.
 *
 * @see SOURCES orthosis-leaflets (signs); the reserve is a judgement of the rule set
 */
export function outgrown(
  { on, deliveredOn, device }: WornByChild,
  chart: SizeChart,
  rules: RuleSet,
): OutgrownDevice {
  const { side, size, signs } = device
  const days = daysOf(device, { deliveredOn, asOf: on.asOf })
  const length = currentLength(on, side, rules)
  const byLength = lengthAtLimit(length, { asOf: on.asOf, side, size }, rules)
  const seen = SIZE_SIGNS.map((sign) => ({ sign, holds: signAt(signs[sign], days, rules) }))
  const holds = anyOf([byLength.holds, ...seen.map((one) => one.holds)])
  const reasons = [
    ...(byLength.holds === holds ? [byLength.because] : []),
    ...seen
      .filter((one) => one.holds === holds)
      .map(({ sign }) => say(`outgrown-sign.${holds}`, { side, sign: say(`worn-sign.${sign}`) })),
  ]
  const because = together(reasons)
  const recorded = SIZE_SIGNS.flatMap((sign): readonly Evidence[] => {
    const one = signs[sign]
    return one === 'unknown' ? [] : [one.evidence]
  })
  const proposal = holds === 'yes' ? nextSize({ on, device }, chart, rules) : undefined
  const evidence = [...new Set([...recorded, ...(length ? [length.evidence] : [])])].toSorted()
  const sources = ['orthosis-leaflets', 'judgement'] as const
  const finding = { rule: `outgrown.${side}`, holds, because, sources, evidence }
  const wording = wordingOf(side, holds, proposal)
  return {
    side,
    finding: wording === undefined ? finding : { ...finding, wording },
    ...(proposal && { proposal }),
  }
}

function currentLength(
  { child, asOf, ages }: ChildOnDay,
  side: Side,
  rules: RuleSet,
): FootMeasure | undefined {
  const foot = { foot: child.feet[side], side, asOf, age: ages.chronologicalMonths }
  return footDimensions(foot, rules).used['foot-length']
}

function lengthAtLimit(
  length: FootMeasure | undefined,
  { asOf, side, size }: { readonly asOf: CivilDate } & Pick<WornDevice, 'side' | 'size'>,
  rules: RuleSet,
): { readonly holds: Truth; readonly because: Message } {
  const found = (holds: Truth, because: Message) => ({ holds, because })
  if (size === 'unknown') return found('unknown', say('outgrown.size-not-on-record', { side }))
  if (length === undefined) return found('unknown', say('outgrown.no-length', { side }))
  const reserve = rules.sizing.growthReserveMm
  const { code, footLength } = size
  const limit = footLength.max - reserve
  const values: Values = {
    side,
    mm: length.mm,
    on: day(length.on),
    code,
    max: footLength.max,
    reserve,
    limit,
  }
  if (length.mm >= limit) return found('yes', say('outgrown.at-limit', values))
  return daysBetween(length.on, asOf) > rules.followUp.lookDays
    ? found('unknown', say('outgrown.measured-too-long-ago', values))
    : found('no', say('outgrown.under-limit', values))
}

/** Only sizes for longer feet than the one worn: the size that is outgrown is no proposal. */
function nextSize(
  { on, device }: Pick<WornByChild, 'on' | 'device'>,
  chart: SizeChart,
  rules: RuleSet,
): FootSizing {
  const worn = device.size === 'unknown' ? 0 : device.size.footLength.max
  const sizes = chart.sizes.filter(({ footLength }) => footLength.max > worn)
  return sizing(on, { ...chart, sizes }, rules)[device.side]
}

function wordingOf(
  side: Side,
  holds: Truth,
  proposal: FootSizing | undefined,
): Message | undefined {
  if (holds === 'no') return undefined
  if (proposal === undefined) return say('outgrown.measure', { side })
  const { because, size } = proposal
  return size === undefined
    ? say('outgrown.no-next-size', { side, because })
    : say('outgrown.next-size', { side, code: size.code, because })
}
