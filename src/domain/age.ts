import type { Finding } from './truth.ts'
import type { Months } from './units.ts'

/** Both ages of a child on one day, and which of them the rules use. */
export interface Ages {
  readonly chronologicalDays: number
  readonly chronologicalMonths: Months
  /** Completed calendar months, as people count birthdays. */
  readonly completedMonths: number
  /** Absent when gestation is unknown: unknown is not "at term". */
  readonly correctedDays?: number
  readonly correctedMonths?: Months
  readonly correctedCompletedMonths?: number
  readonly used: 'chronological' | 'corrected'
  /** The age that is used, months of 30.4375 days. */
  readonly months: Months
  readonly correctUntilMonths: Months
  /** `born-preterm`, `age-corrected`. */
  readonly findings: readonly Finding[]
}
