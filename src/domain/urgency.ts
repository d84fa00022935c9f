import type { CivilDate } from './calendar.ts'
import type { Evidence } from './facts.ts'
import type { SourceId } from './tables/sources.ts'

export const CONTRIBUTIONS = [
  'motor-delay',
  'stalled',
  'pronation',
  'window',
  'safety',
  'waiting',
] as const
export type ContributionId = (typeof CONTRIBUTIONS)[number]

export interface Contribution {
  readonly id: ContributionId
  /** At the facts known. */
  readonly points: number
  /** Over everything that is unknown. */
  readonly low: number
  readonly high: number
  readonly max: number
  readonly because: string
  readonly sources: readonly SourceId[]
  readonly evidence: readonly Evidence[]
}

export type Priority = 'routine' | 'urgent' | 'asap'

/** 0 to 100, not rounded in between. */
export interface Urgency {
  readonly score: number
  readonly low: number
  readonly high: number
  readonly contributions: readonly Contribution[]
  readonly priority: Priority
  /** The red flags that raised the priority, by rule. */
  readonly raisedBy: readonly string[]
  readonly seeBy: CivilDate
}
