import type { Ages } from '../development/age.ts'
import { addDays, type CivilDate } from '../calendar.ts'
import { type Child, type Dimension, DIMENSIONS, type Side } from '../child.ts'
import { type FootDimensions, footDimensions } from './dimensions.ts'
import type { Evidence } from '../facts.ts'
import { type RefitForecast, refit } from './growth.ts'
import { warning } from './measurement-doubts.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { shoeSizeCheck } from './shoe-check.ts'
import { type Selection, selectSize } from './size-selection.ts'
import { DOWN_SYNDROME_FEET_2022 } from '../tables/down-syndrome-feet-2022.ts'
import { closureGap, closureWarnings, trims } from './trim.ts'
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
  readonly because: string
}

export interface Trim {
  readonly edge: 'medial' | 'lateral'
  /** Millimetres to remove; unknown when the measurement is missing. */
  readonly mm: number | 'unknown'
  readonly because: string
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
  readonly refit?: RefitForecast
  /** Implausible or contradicting measurements, unloaded correction, shoe size cross-check. */
  readonly warnings: readonly Finding[]
  readonly because: string
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
    const because = 'no usable foot length: measure heel to longest toe in mm, child standing'
    return { ...base, ...none, state: 'unknown', warnings, because }
  }

  const selection = selectSize(chart, { length: length.mm, used }, rules)
  const { size, alternatives, because } = selection
  if (size === undefined)
    return { ...base, ...none, state: 'custom', alternatives, warnings, because }
  const limit = millimetres(size.footLength.max)
  const forecast = refit({ lengths: dimensions.lengths, asOf, age, limit }, rules)
  return {
    ...base,
    state: 'sized',
    size,
    alternatives,
    trims: trims(size, used, rules),
    closureGapMm: closureGap(size, used),
    ...(forecast !== 'unknown' && { refit: forecast }),
    warnings: [
      ...warnings,
      ...closureWarnings({ size, side, used }, rules),
      ...growthWarnings({ selection, forecast, side, asOf }, rules),
    ],
    because,
  }
}

interface Growing {
  readonly selection: Selection
  readonly forecast: RefitForecast | 'unknown'
  readonly side: Side
  readonly asOf: CivilDate
}

function growthWarnings({ selection, forecast, side, asOf }: Growing, rules: RuleSet): Finding[] {
  const room = selection.room ?? 0
  const short =
    room < rules.sizing.growthReserveMm
      ? [warning(`growth-room.${side}`, { because: selection.because })]
      : []
  if (forecast === 'unknown') {
    const because = 'no refit date: the child was outside the ages of the growth curve'
    return [...short, warning(`refit-unknown.${side}`, { because, holds: 'unknown' })]
  }
  const weeks = Math.max(...rules.fitting.followUpWeeks)
  const early = addDays(asOf, rules.fitting.deliveryAfterDays + weeks * 7)
  if (forecast.median === undefined || forecast.median > early) return short
  const { evidence } = forecast
  const because = `probably outgrown on ${forecast.median}, within ${weeks} weeks of wear: is the next size the better choice?`
  return [...short, warning(`refit-soon.${side}`, { because, evidence })]
}

function downSyndrome(child: Child, side: Side): Finding[] {
  const diagnosis = child.diagnoses['down-syndrome']
  if (diagnosis === undefined) return []
  const { lengthForHeight, horizontalWidth, instepGirth, source } = DOWN_SYNDROME_FEET_2022
  const because =
    `with Down syndrome feet are on average ${-lengthForHeight.mean} mm shorter for the height and, ` +
    `for their length, ${horizontalWidth.mean} mm wider and ${instepGirth.mean} mm more around the ` +
    'instep: a size by length alone may be too narrow, so measure breadth and instep'
  const reason = { because, sources: [source], evidence: [diagnosis.evidence] }
  return [warning(`down-syndrome-dimensions.${side}`, reason)]
}

function evidenceOf(used: FootDimensions['used']): readonly Evidence[] {
  const all = DIMENSIONS.flatMap((name) => used[name]?.evidence ?? [])
  return [...new Set(all)].toSorted()
}
