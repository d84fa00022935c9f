import type { Ages } from '../development/age.ts'
import type { CivilDate } from '../calendar.ts'
import { type Child, type Dimension, DIMENSIONS, type Side } from '../child.ts'
import { type FootDimensions, footDimensions } from './dimensions.ts'
import type { Evidence } from '../facts.ts'
import { type RefitForecast, refit } from './growth.ts'
import { type Message, say } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { shoeSizeCheck } from './shoe-check.ts'
import { selectSize } from './size-selection.ts'
import { downSyndrome, growthWarnings } from './size-warnings.ts'
import { closure, closureGap, trims } from './trim.ts'
import type { Finding } from '../truth.ts'
import { type Millimetres, millimetres } from '../units.ts'

export interface Range {
  readonly min: number
  readonly max: number
}

/** One size of a clinic's device. All in mm. */
export interface DeviceSize {
  readonly code: string
  readonly footLength: Range
  readonly forefootBreadth: Range
  readonly ankleCircumference: Range
  readonly medialPlate: number
  readonly lateralPlate: number
  /** Girth of the shell at the instep with the closure meeting edge to edge. */
  readonly instepGirth: number
  /** How much may be taken off an edge. */
  readonly maxTrim: number
}

export interface SizeChart {
  readonly id: string
  readonly version: string
  readonly title: string
  readonly note: string
  readonly sizes: readonly DeviceSize[]
}

export interface RejectedSize {
  readonly code: string
  /** Whole sentences about this size. */
  readonly because: Message
}

export interface Trim {
  readonly edge: 'medial' | 'lateral'
  /** Millimetres to remove; unknown when the measurement is missing. */
  readonly mm: number | 'unknown'
  readonly because: Message
}

export interface FootSizing {
  readonly side: Side
  /** `sized`, `custom` (no size fits), `unknown` (foot length missing). */
  readonly state: 'sized' | 'custom' | 'unknown'
  readonly size?: DeviceSize
  /** Millimetres used per dimension, as loaded. */
  readonly used: Readonly<Partial<Record<Dimension, Millimetres>>>
  /** The other sizes, nearest first, each with the reason it was not chosen. */
  readonly alternatives: readonly RejectedSize[]
  readonly trims: readonly Trim[]
  readonly closureGapMm: number | 'unknown'
  /** How the closure will stand and what to do about it; absent without a size. */
  readonly closure?: Message
  readonly refit?: RefitForecast
  /** Implausible or contradicting measurements, unloaded correction, shoe size cross-check. */
  readonly warnings: readonly Finding[]
  readonly because: Message
  readonly evidence: readonly Evidence[]
}

export interface Sizing {
  readonly chart: { readonly id: string; readonly version: string; readonly note: string }
  readonly left: FootSizing
  readonly right: FootSizing
}

export interface ChildOnDay {
  readonly child: Child
  readonly asOf: CivilDate
  readonly ages: Ages
}

/**
 * Which size of the chart suits each foot, how must it be cut, and how long will it last?
 *
 * Each foot is sized by itself, so feet that differ get different sizes. `unknown` when the foot
 * length is missing or not usable – a shoe size never chooses a device – and `custom` when no size
 * fits, with the constraint that failed. All in mm as loaded.
 *
 * @param on the child and the day; growth goes by the chronological age
 */
export function sizing(on: ChildOnDay, chart: SizeChart, rules: RuleSet): Sizing {
  const foot = (side: Side) => footSizing({ on, side, chart }, rules)
  const { id, version, note } = chart
  return { chart: { id, version, note }, left: foot('left'), right: foot('right') }
}

interface FootOfChild {
  readonly on: ChildOnDay
  readonly side: Side
  readonly chart: SizeChart
}

function footSizing({ on, side, chart }: FootOfChild, rules: RuleSet): FootSizing {
  const { child, asOf } = on
  const age = on.ages.chronologicalMonths
  const dimensions = footDimensions({ foot: child.feet[side], side, asOf, age }, rules)
  const { used } = dimensions
  const length = used['foot-length']
  const base = {
    side,
    used: Object.fromEntries(
      DIMENSIONS.flatMap((name) => (used[name] ? [[name, used[name].mm]] : [])),
    ),
    evidence: evidenceOf(used),
  }
  const warnings = [
    ...dimensions.warnings,
    ...shoeSizeCheck(child.shoeSize, { length, side }, rules),
    ...downSyndrome(child, side),
  ]
  const none = { alternatives: [], trims: [], closureGapMm: 'unknown' } as const
  if (length === undefined) {
    const because = say('device-size.no-length')
    return { ...base, ...none, state: 'unknown', warnings, because }
  }

  const selection = selectSize(chart, { length: length.mm, used }, rules)
  const { size, alternatives, because } = selection
  if (size === undefined)
    return { ...base, ...none, state: 'custom', alternatives, warnings, because }
  const limit = millimetres(size.footLength.max)
  const forecast = refit({ lengths: dimensions.lengths, asOf, age, limit }, rules)
  const closes = closure({ size, side, used }, rules)
  return {
    ...base,
    state: 'sized',
    size,
    alternatives,
    trims: trims(size, used, rules),
    closureGapMm: closureGap(size, used),
    closure: closes.because,
    ...(forecast !== 'unknown' && { refit: forecast }),
    warnings: [
      ...warnings,
      ...closes.warnings,
      ...growthWarnings({ selection, forecast, side, asOf }, rules),
    ],
    because,
  }
}

function evidenceOf(used: FootDimensions['used']): readonly Evidence[] {
  const all = DIMENSIONS.flatMap((name) => used[name]?.evidence ?? [])
  return [...new Set(all)].toSorted()
}
