import type { Ages } from './development/age.ts'
import type { CivilDate } from './calendar.ts'
import type { Child } from './child.ts'
import type { Milestones } from './development/milestones.ts'
import type { Posture } from './foot/posture.ts'
import type { RuleSet } from './rules/rule-set.ts'
import type { Tempo } from './development/tempo.ts'

/** A child on one day, with what has been found about it so far. */
export interface AssessedChild {
  readonly child: Child
  readonly asOf: CivilDate
  readonly ages: Ages
  readonly milestones: Milestones
  readonly tempo: Tempo
  readonly posture: Posture
  /** While gestation is unknown: the same child, had it been born early. Absent when that makes no sense. */
  readonly ifPreterm?: Supposed
}

/** What turns on the age that is used. */
export type Supposed = Pick<AssessedChild, 'ages' | 'milestones' | 'tempo'>

/** The sections of a rule set that the findings about a child rest on; decisions read the others too. */
export const ASSESSMENT_SECTIONS = ['age', 'milestones', 'posture'] as const

export type AssessmentRules = Pick<RuleSet, (typeof ASSESSMENT_SECTIONS)[number]>
