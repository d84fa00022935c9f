import type { Side } from '../child.ts'
import type { FootDimensions } from './dimensions.ts'
import { warning } from './measurement-doubts.ts'
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
  readonly landmark: number | undefined
  readonly clearance: number
  readonly name: string
}

function edges(size: DeviceSize, used: Used, rules: RuleSet): readonly [Edge, Edge] {
  const { medialClearanceMm, lateralClearanceMm } = rules.sizing
  return [
    {
      edge: 'medial',
      plate: size.medialPlate,
      landmark: used['heel-to-first-metatarsal-head']?.mm,
      clearance: medialClearanceMm,
      name: 'heel to first metatarsal head',
    },
    {
      edge: 'lateral',
      plate: size.lateralPlate,
      landmark: used['heel-to-fifth-toe-sulcus']?.mm,
      clearance: lateralClearanceMm,
      name: 'heel to fifth-toe sulcus',
    },
  ]
}

const mmToRemove = ({ plate, landmark, clearance }: Edge): number | 'unknown' =>
  landmark === undefined ? 'unknown' : plate - (landmark - clearance)

function trim(of: Edge): Trim {
  const { edge, plate, landmark, clearance, name } = of
  const mm = mmToRemove(of)
  if (landmark === undefined) return { edge, mm, because: `${name} is not on record: measure it` }
  const because =
    `plate of ${plate} mm; the edge belongs ${clearance} mm short of ${name}, ` +
    `measured ${landmark.toFixed(1)} mm`
  return { edge, mm, because }
}

/** Why the edges of a size cannot be cut to this foot; empty when they can or it is unknown. */
export function trimFaults(size: DeviceSize, used: Used, rules: RuleSet): readonly string[] {
  return edges(size, used, rules).flatMap((of) => {
    const { edge } = of
    const mm = mmToRemove(of)
    if (mm === 'unknown') return []
    if (mm < 0) return [`its ${edge} plate is ${(-mm).toFixed(1)} mm too short`]
    if (mm > size.maxTrim)
      return [`${mm.toFixed(1)} mm would have to come off its ${edge} edge, ${size.maxTrim} mm may`]
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

/** What must be said about the closure: too narrow, too wide, or what to measure. */
export function closureWarnings(
  { size, side, used }: { readonly size: DeviceSize; readonly side: Side; readonly used: Used },
  rules: RuleSet,
): readonly Finding[] {
  const gap = closureGap(size, used)
  const rule = `closure-gap.${side}`
  const sources = ['common-practice', 'judgement'] as const
  if (gap === 'unknown') {
    const because =
      'instep girth is not on record: measure around the instep to foresee the closure'
    return [warning(rule, { because, holds: 'unknown', sources })]
  }
  const { closureGapMm: target, closureGapToleranceMm: tolerance } = rules.sizing
  const evidence = used['instep-girth'] ? [used['instep-girth'].evidence] : []
  if (gapIsWide(size, used, rules)) {
    const because = `the closure would stand ${gap.toFixed(1)} mm open, more than ${target + tolerance}: a larger size, or one made to measure`
    return [warning(rule, { because, sources, evidence })]
  }
  if (gap >= target - tolerance) return []
  const state = gap < 0 ? `overlap by ${(-gap).toFixed(1)} mm` : `leave only ${gap.toFixed(1)} mm`
  const because = `the edges of the closure would ${state}: take ${(target - gap).toFixed(1)} mm off them for a gap of ${target} mm`
  return [warning(rule, { because, sources, evidence })]
}
