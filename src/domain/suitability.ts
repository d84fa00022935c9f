import type { CivilDate } from './calendar.ts'
import type { Finding } from './truth.ts'

export const OUTCOMES = [
  'suitable',
  'suitable-after-review',
  'watch',
  'unsuitable',
  'undetermined',
] as const
export type Outcome = (typeof OUTCOMES)[number]

/** Something to be sent that can still change the outcome. */
export interface MissingFact {
  /** The criterion, exclusion or red flag that is open, for instance `flexible-foot.left`. */
  readonly rule: string
  /** Names of the facts of `Child` that would decide it, for instance `tiptoeArchAndHeelInversion.left`. */
  readonly facts: readonly string[]
  /** In how many completions of the open criteria this one settles the outcome, 0 to 1. */
  readonly decides: number
  readonly because: string
}

export interface Suitability {
  readonly outcome: Outcome
  /** age-in-range, bears-weight, low-tone, excessive-pronation, flexible-foot, functional-concern. */
  readonly criteria: readonly Finding[]
  /** raised-tone, rigid-foot, fixed-calf, skin-or-sensation. */
  readonly exclusions: readonly Finding[]
  /** Present, absent or unknown; those that hold are sent to a physician first. */
  readonly redFlags: readonly Finding[]
  /** Empty unless undetermined; most decisive first. */
  readonly missing: readonly MissingFact[]
  /** Where the exclusion that holds points to. */
  readonly pathways: readonly string[]
  readonly recheckOn?: CivilDate
  /** Evidence and trial statements that belong to this outcome. */
  readonly statements: readonly string[]
  readonly because: string
}
