import type { FittingPlan } from '../domain/plan/fitting.ts'
import type { Triage } from '../domain/triage.ts'
import type { PaperRecord } from '../fhir/paper-record.ts'
import type { PictureFacts } from '../pictures/picture-facts.ts'

/** Everything that a document is made from; the same facts make the same document. */
export interface DocumentFacts extends PictureFacts {
  readonly record: PaperRecord
  /** Every version that was read, `Observation/1/_history/2`. */
  readonly inputs: readonly string[]
  readonly software: string
}

/** The facts of a child for whom a device is proposed. */
export interface PlannedFacts extends DocumentFacts {
  readonly plan: FittingPlan
}

export const isPlanned = (facts: DocumentFacts): facts is PlannedFacts => facts.plan !== undefined

/** Who reviewed a document and said so, as recorded. */
export interface SignOff {
  readonly person: string
  readonly qualification: string | undefined
  /** ISO instant. */
  readonly at: string
}

export type Suitable = Triage['suitability']
