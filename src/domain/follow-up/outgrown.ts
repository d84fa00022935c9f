import { type CivilDate, daysBetween } from '../calendar.ts'
import type { Side } from '../child.ts'
import { footDimensions } from '../device/dimensions.ts'
import type { Evidence } from '../facts.ts'
import type { VisitFinding } from './follow-up.ts'
import type { FootMeasure } from '../device/growth.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { type ChildOnDay, type FootSizing, type SizeChart, sizing } from '../device/sizing.ts'
import { anyOf, type Truth, truth } from '../truth.ts'
import { SIZE_SIGNS, signAt, type WornDevice } from './worn-device.ts'
import { sentence, tenths } from '../wording.ts'

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
  const days = { deliveredOn, asOf: on.asOf }
  const length = currentLength(on, side, rules)
  const byLength = lengthAtLimit(length, { asOf: on.asOf, size }, rules)
  const seen = SIZE_SIGNS.map((sign) => ({ sign, holds: signAt(signs[sign], days, rules) }))
  const holds = anyOf([byLength.holds, ...seen.map((one) => one.holds)])
  const reasons = [
    ...(byLength.holds === holds ? [byLength.because] : []),
    ...seen
      .filter((one) => one.holds === holds)
      .map(({ sign }) => `${sign.replaceAll('-', ' ')}: ${LOOKED[holds]}`),
  ]
  const because = `${side}: ${reasons.join('; ')}`
  const recorded = SIZE_SIGNS.flatMap((sign): readonly Evidence[] => {
    const one = signs[sign]
    return one === 'unknown' ? [] : [one.evidence]
  })
  const proposal = holds === 'yes' ? nextSize({ on, device }, chart, rules) : undefined
  const evidence = [...new Set([...recorded, ...(length ? [length.evidence] : [])])].toSorted()
  const sources = ['orthosis-leaflets', 'judgement'] as const
  const finding = { rule: `outgrown.${side}`, holds, because, sources, evidence }
  const wording = wordingOf({ side, holds, because, proposal })
  return {
    side,
    finding: wording === undefined ? finding : { ...finding, wording },
    ...(proposal && { proposal }),
  }
}

const LOOKED: Readonly<Record<Truth, string>> = {
  yes: 'seen',
  no: 'not seen',
  unknown: 'not looked for',
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
  { asOf, size }: { readonly asOf: CivilDate; readonly size: WornDevice['size'] },
  rules: RuleSet,
): { readonly holds: Truth; readonly because: string } {
  if (size === 'unknown') return { holds: 'unknown', because: 'the size worn is not on record' }
  if (length === undefined)
    return { holds: 'unknown', because: 'no usable foot length: measure heel to longest toe in mm' }
  const reserve = rules.sizing.growthReserveMm
  const limit = size.footLength.max - reserve
  const because =
    `foot ${tenths(length.mm)} mm on ${length.on}; size ${size.code} ends at ${size.footLength.max} ` +
    `mm, less the reserve of ${reserve} mm at ${tenths(limit)}`
  const reached = truth(length.mm >= limit)
  const old = daysBetween(length.on, asOf) > rules.followUp.lookDays
  return reached === 'no' && old
    ? { holds: 'unknown', because: `${because}; measured too long ago: measure again` }
    : { holds: reached, because }
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

interface Said {
  readonly side: Side
  readonly holds: Truth
  readonly because: string
  readonly proposal: FootSizing | undefined
}

function wordingOf({ side, holds, because, proposal }: Said): VisitFinding['wording'] {
  if (holds === 'no') return undefined
  if (holds === 'unknown' || proposal === undefined)
    return {
      therapist: `${sentence(because)}.`,
      family: `We would like to measure the ${side} foot, to see whether the support still fits.`,
    }
  const next =
    proposal.size === undefined
      ? `no next size: ${proposal.because}`
      : `next size ${proposal.size.code}: ${proposal.because}`
  return {
    therapist: `${sentence(because)}; outgrown, ${next}.`,
    family: `Your child has grown out of the support for the ${side} foot, or soon will. We measure and choose the next one together.`,
  }
}
