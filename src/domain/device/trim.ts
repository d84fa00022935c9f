import type { Dimension, Side } from '../child.ts'
import type { FootDimensions } from './dimensions.ts'
import { warning } from './measurement-doubts.ts'
import { type Message, say } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { DeviceSize, Trim } from './sizing.ts'
import type { Finding } from '../truth.ts'

type Used = FootDimensions['used']

/**
 * How many mm must come off the front edges of a size for this foot?
 *
 * Plate less (measured less clearance). Negative: the plate is too short for the foot. `unknown`
 * when the measurement is missing, and then says what to measure.
 */
export function trims(size: DeviceSize, used: Used, rules: RuleSet): readonly [Trim, Trim] {
  const [medial, lateral] = edges(size, used, rules)
  return [trim(medial), trim(lateral)]
}

interface Edge {
  readonly edge: Trim['edge']
  readonly plate: number
  readonly landmark: Dimension
  readonly measured: number | undefined
  readonly clearance: number
}

function edges(size: DeviceSize, used: Used, rules: RuleSet): readonly [Edge, Edge] {
  const { medialClearanceMm, lateralClearanceMm } = rules.sizing
  return [
    {
      edge: 'medial',
      plate: size.medialPlate,
      landmark: 'heel-to-first-metatarsal-head',
      measured: used['heel-to-first-metatarsal-head']?.mm,
      clearance: medialClearanceMm,
    },
    {
      edge: 'lateral',
      plate: size.lateralPlate,
      landmark: 'heel-to-fifth-toe-sulcus',
      measured: used['heel-to-fifth-toe-sulcus']?.mm,
      clearance: lateralClearanceMm,
    },
  ]
}

const mmToRemove = ({ plate, clearance }: Edge, measured: number): number =>
  plate - (measured - clearance)

function trim(of: Edge): Trim {
  const { edge, plate, clearance, measured } = of
  const landmark = say(`dimension.${of.landmark}`)
  if (measured === undefined)
    return { edge, mm: 'unknown', because: say('device-trim.unknown', { edge, landmark }) }
  const mm = mmToRemove(of, measured)
  const values = { edge, mm, plate, clearance, landmark, measured }
  if (mm < 0) return { edge, mm, because: say('device-trim.too-short', { ...values, short: -mm }) }
  return { edge, mm, because: say(mm > 0 ? 'device-trim.cut' : 'device-trim.nothing', values) }
}

/** Why the edges of a size cannot be cut to this foot; empty when they can or it is unknown. */
export function trimFaults(size: DeviceSize, used: Used, rules: RuleSet): readonly Message[] {
  return edges(size, used, rules).flatMap((of) => {
    const { edge, measured } = of
    if (measured === undefined) return []
    const mm = mmToRemove(of, measured)
    if (mm < 0) return [say('device-misfit.plate-short', { edge, short: -mm })]
    if (mm > size.maxTrim)
      return [say('device-misfit.too-much-to-trim', { edge, mm, most: size.maxTrim })]
    return []
  })
}

/**
 * How far do the edges of the closure stand apart at the instep, in mm? Negative: they overlap.
 *
 * `unknown` when the instep girth is not on record.
 */
export function closureGap(size: DeviceSize, used: Used): number | 'unknown' {
  const girth = used['instep-girth']?.mm
  return girth === undefined ? 'unknown' : girth - size.instepGirth
}

/** Is the gap wider than the target and its tolerance? */
export function gapIsWide(size: DeviceSize, used: Used, rules: RuleSet): boolean {
  const gap = closureGap(size, used)
  const { closureGapMm, closureGapToleranceMm } = rules.sizing
  return gap !== 'unknown' && gap > closureGapMm + closureGapToleranceMm
}

/** How a size would close over the instep: what there is to say, and whether it is a warning. */
export interface Closure {
  readonly because: Message
  /** Nothing to be done when it closes as it should. */
  readonly warnings: readonly Finding[]
}

interface ClosureOfFoot {
  readonly size: DeviceSize
  readonly side: Side
  readonly used: Used
}

/**
 * How will the closure of this size stand at the instep, and what must be done about it?
 *
 * Wider than the target and its tolerance in mm: another size. Narrower: the edges are cut back.
 * `unknown` when the instep girth is not on record; then it says what to measure.
 *
 * @see common practice; the tolerance is a judgement of the rule set
 */
export function closure({ size, side, used }: ClosureOfFoot, rules: RuleSet): Closure {
  const gap = closureGap(size, used)
  const wide = gapIsWide(size, used, rules)
  const because = closureSentence(gap, wide, rules)
  const rule = `closure-gap.${side}`
  const sources = ['common-practice', 'judgement'] as const
  if (gap === 'unknown')
    return { because, warnings: [warning(rule, { because, holds: 'unknown', sources })] }
  const { closureGapMm, closureGapToleranceMm } = rules.sizing
  const right = !wide && gap >= closureGapMm - closureGapToleranceMm
  const evidence = used['instep-girth'] ? [used['instep-girth'].evidence] : []
  return { because, warnings: right ? [] : [warning(rule, { because, sources, evidence })] }
}

function closureSentence(gap: number | 'unknown', wide: boolean, { sizing }: RuleSet): Message {
  if (gap === 'unknown') return say('device-closure.unknown')
  const { closureGapMm: target, closureGapToleranceMm: tolerance } = sizing
  if (wide) return say('device-closure.wide', { gap, most: target + tolerance })
  if (gap >= target - tolerance) return say('device-closure.right', { gap, target, tolerance })
  const cut = { target, off: target - gap }
  return gap < 0
    ? say('device-closure.overlaps', { ...cut, overlap: -gap })
    : say('device-closure.narrow', { ...cut, gap })
}
