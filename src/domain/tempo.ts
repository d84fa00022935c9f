import type { CivilDate } from './calendar.ts'
import type { Milestone } from './child.ts'
import type { Finding } from './truth.ts'
import type { Months } from './units.ts'

export interface Interval {
  readonly low: number
  readonly high: number
}

/** Pace of gross motor development: 1 typical, 0.75 three quarters of the pace. */
export interface TempoEstimate {
  readonly state: 'estimated'
  readonly tempo: number
  /** 90 % interval. */
  readonly tempoInterval: Interval
  readonly ageEquivalent: Months
  readonly ageEquivalentInterval: Interval
  readonly delayPercent: number
  readonly delayInterval: Interval
  readonly delayProbability: {
    readonly atLeast25: number
    readonly atLeast33: number
    readonly atLeast50: number
  }
  readonly walkingAloneBy18Months: number
  /** The same with the narrow prior of reference children. */
  readonly sceptical: { readonly delayPercent: number; readonly differs: boolean }
  /** For each milestone not yet attained, in the order of MILESTONES. */
  readonly expected: readonly ExpectedMilestone[]
  readonly finding: Finding
}

/** Dates by which a milestone is expected at the present tempo, given that it is not yet there; 80 % interval. */
export interface ExpectedMilestone {
  readonly milestone: Milestone
  readonly median: CivilDate
  readonly earliest: CivilDate
  /** Absent when it lies beyond the forecast horizon. */
  readonly latest?: CivilDate
}

export interface TempoUnknown {
  readonly state: 'not-estimable'
  readonly reason: 'regression' | 'ceiling' | 'no-observations'
  /** At the ceiling only a bound on slowness can be given, percent. */
  readonly delayUpperBoundPercent?: number
  readonly finding: Finding
}

export type Tempo = TempoEstimate | TempoUnknown
