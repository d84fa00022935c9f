import type { Dimension } from '../child.ts'
import type { FootDimensions } from './dimensions.ts'
import { type Message, say, together } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { byLength } from './size-chart.ts'
import type { DeviceSize, Range, RejectedSize, SizeChart } from './sizing.ts'
import { gapIsWide, trimFaults } from './trim.ts'

export interface Selection {
  /** Absent when no size fits. */
  readonly size?: DeviceSize
  /** mm until the longest foot of the size; absent when no size fits. */
  readonly room?: number
  readonly alternatives: readonly RejectedSize[]
  readonly because: Message
}

interface Candidate {
  readonly size: DeviceSize
  readonly room: number
  readonly faults: readonly Message[]
  readonly wide: boolean
}

/**
 * Which size of the chart suits a foot of this length, in mm as loaded?
 *
 * A size is feasible when length, breadth and ankle lie in its ranges and both edges can be cut to
 * the foot; what was not measured excludes nothing. The snuggest feasible size wins, because
 * control comes from close, even contact – unless it leaves less room to grow than the reserve, or
 * its closure would stand open. So that there is a next size then, a size may be taken by a foot
 * that is shorter than its range by no more than the reserve. When every feasible size leaves too
 * little room, the roomiest is taken.
 *
 * @see common practice; the reserve is a judgement of the rule set
 */
export function selectSize(
  chart: SizeChart,
  { length, used }: { readonly length: number; readonly used: FootDimensions['used'] },
  rules: RuleSet,
): Selection {
  const reserve = rules.sizing.growthReserveMm
  const candidates = byLength(chart.sizes).map(
    (size): Candidate => ({
      size,
      room: size.footLength.max - length,
      faults: faultsOf(size, { length, used }, rules),
      wide: gapIsWide(size, used, rules),
    }),
  )
  const feasible = candidates.filter(({ faults }) => faults.length === 0)
  const roomy = feasible.filter(({ room }) => room >= reserve)
  const chosen = roomy.find(({ wide }) => !wide) ?? roomy[0] ?? feasible.at(-1)

  const others = candidates
    .filter((candidate) => candidate !== chosen)
    .toSorted((a, b) => distance(a.size, length) - distance(b.size, length))
  const alternatives = others.map((other) => ({
    code: other.size.code,
    because: whyNot(other, chosen, reserve),
  }))
  if (chosen === undefined) {
    const nearest = alternatives[0]
    const failed = nearest === undefined ? [] : [say('device-size.nearest', { ...nearest })]
    return { alternatives, because: together([say('device-size.none-fits'), ...failed]) }
  }
  const { size, room } = chosen
  const fits = room >= reserve ? 'device-size.snuggest' : 'device-size.roomiest'
  return { size, room, alternatives, because: say(fits, { code: size.code, room, reserve }) }
}

function faultsOf(
  size: DeviceSize,
  { length, used }: { readonly length: number; readonly used: FootDimensions['used'] },
  rules: RuleSet,
): readonly Message[] {
  const reserve = rules.sizing.growthReserveMm
  const { min, max } = size.footLength
  // Said with the range as it is: the reserve only lets a foot take the size early.
  const early = length >= min - reserve && length <= max
  return [
    ...(early ? [] : outside('foot-length', length, { min, max })),
    ...outside('forefoot-breadth', used['forefoot-breadth']?.mm, size.forefootBreadth),
    ...outside('ankle-circumference', used['ankle-circumference']?.mm, size.ankleCircumference),
    ...trimFaults(size, used, rules),
  ]
}

function outside(name: Dimension, mm: number | undefined, { min, max }: Range): readonly Message[] {
  if (mm === undefined || (mm >= min && mm <= max)) return []
  const dimension = say(`dimension.${name}`)
  return mm > max
    ? [say('device-misfit.over', { dimension, mm, max })]
    : [say('device-misfit.under', { dimension, mm, min })]
}

function whyNot(other: Candidate, chosen: Candidate | undefined, reserve: number): Message {
  if (other.faults.length > 0 || chosen === undefined) return together(other.faults)
  if (other.room < reserve)
    return say('device-not-chosen.little-room', { room: other.room, reserve })
  if (other.wide && !chosen.wide) return say('device-not-chosen.closure-wide')
  return say('device-not-chosen.less-snug', { code: chosen.size.code })
}

/** mm by which the foot lies outside the length range of a size. */
function distance({ footLength: { min, max } }: DeviceSize, length: number): number {
  return Math.max(min - length, length - max, 0)
}
