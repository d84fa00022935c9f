import type { CivilDate } from './calendar.ts'
import type { DescribedSkill, Milestone } from './child.ts'
import type { Evidence } from './facts.ts'
import type { Finding } from './truth.ts'
import type { Months } from './units.ts'

/** Shares of reference children, percent. A point has `low` equal to `high`. */
export interface PercentileRange {
  readonly low: number
  readonly high: number
  /** What is shown: "74th-96th percentile", "<1", ">99". */
  readonly text: string
}

export interface MilestoneStatus {
  readonly milestone: Milestone
  /** `left-out`: crawling that was never seen; it says nothing about pace. */
  readonly state: 'attained' | 'not-yet' | 'unknown' | 'left-out'
  /** Last age seen not attained (0 when never) and first age seen attained (null when not yet), months. */
  readonly interval?: { readonly from: Months; readonly to: Months | null }
  readonly percentile?: PercentileRange
  readonly finding: Finding
  readonly evidence: readonly Evidence[]
}

export interface Milestones {
  /** In the order of MILESTONES. */
  readonly statuses: readonly MilestoneStatus[]
  readonly skills: readonly { readonly skill: DescribedSkill; readonly finding: Finding }[]
  /** A skill seen and later not seen: red flag, no tempo. */
  readonly regression: Finding
  /** `stands with assistance or beyond, or pulls to stand`. */
  readonly bearsWeight: Finding
  readonly walksAlone: Finding
  /** The days between which walking alone began. `notBefore` is absent when never seen not walking. */
  readonly walkingOnset?: { readonly notBefore?: CivilDate; readonly notAfter: CivilDate }
  /** The day by which the newest milestone was attained, for the stalled rule. */
  readonly lastAttainedOn?: CivilDate
  /** As done by hand: median age of the highest attained milestone. Shown beside the model, never mixed. */
  readonly simpleAgeEquivalent?: { readonly months: Months; readonly delayPercent: number }
}
