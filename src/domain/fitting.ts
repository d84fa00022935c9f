import type { CivilDate } from './calendar.ts'
import type { Milestone, Side } from './child.ts'
import type { FootSizing } from './sizing.ts'
import type { SourceId } from './tables/sources.ts'

/** A sentence in two voices: for the therapist and for the family. */
export interface Wording {
  readonly therapist: string
  readonly family: string
}

export interface DeviceProposal {
  readonly side: Side
  readonly sizing: FootSizing
  readonly materials: readonly Wording[]
  readonly shoe: readonly Wording[]
}

export interface FitCheckItem {
  /** For instance `heel-fully-back-and-down`. */
  readonly id: string
  readonly question: Wording
  readonly answer: 'yes-no' | 'mm' | 'minutes'
  readonly side?: Side
  /** Inclusive, in the unit of the answer. */
  readonly tolerance?: { readonly min: number; readonly max: number }
  readonly sources: readonly SourceId[]
}

export interface WearDay {
  readonly day: number
  readonly minutes: number
}

export interface WearSchedule {
  readonly days: readonly WearDay[]
  readonly targetMinutesPerDay: number
  readonly barefootMinutesPerDay: number
  readonly wording: Wording
  readonly sources: readonly SourceId[]
}

export interface PlanGoal {
  readonly milestone: Milestone | 'comfortable-wear' | 'alignment-in-standing'
  readonly wording: Wording
  readonly due: CivilDate
  readonly earliest?: CivilDate
  readonly latest?: CivilDate
}

export interface FollowUp {
  /** `delivery`, `week-2`, `review-1`, `refit`. */
  readonly id: string
  readonly on: CivilDate
  readonly wording: Wording
}

/** A proposal for the orthotist to approve; never an order by itself. */
export interface FittingPlan {
  readonly proposedOn: CivilDate
  readonly deliveryOn: CivilDate
  readonly devices: readonly DeviceProposal[]
  readonly fitCheck: readonly FitCheckItem[]
  readonly wear: WearSchedule
  readonly goals: readonly PlanGoal[]
  readonly followUps: readonly FollowUp[]
  readonly stopRules: readonly Wording[]
  readonly cautions: readonly Wording[]
  readonly evidence: readonly string[]
}
