import type { Evidence, Recorded } from './facts.ts'
import { evidenceOf } from './facts.ts'

/** Each version once, in alphabetical order, so that one record always yields one and the same list. */
export const uniqueEvidence = (lists: readonly (readonly Evidence[])[]): readonly Evidence[] =>
  [...new Set(lists.flat())].toSorted()

/** The versions of the records behind several facts; those that are unknown have none. */
export const evidenceOfAll = (facts: readonly Recorded<unknown>[]): readonly Evidence[] =>
  uniqueEvidence(facts.map(evidenceOf))
