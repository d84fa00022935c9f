import type { Dimension, Side } from './child.ts'
import type { Evidence } from './facts.ts'
import type { RefitForecast } from './growth.ts'
import type { Finding } from './truth.ts'
import type { Millimetres } from './units.ts'

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
