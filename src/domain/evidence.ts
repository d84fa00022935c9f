import type { Evidence, Recorded } from './facts.ts'

/** Each version once, in alphabetical order, so that one record always yields one and the same list. */
export const uniqueEvidence = (lists: readonly (readonly Evidence[])[]): readonly Evidence[] =>
  sortedOnce(lists.flat())

/** The versions of the records behind several facts; those that are unknown have none. */
export function evidenceOfAll(facts: readonly Recorded<unknown>[]): readonly Evidence[] {
  const all: Evidence[] = []
  for (const fact of facts) if (fact !== 'unknown') all.push(fact.evidence)
  return sortedOnce(all)
}

function sortedOnce(all: readonly Evidence[]): readonly Evidence[] {
  if (all.length < 2) return all
  return all.toSorted().filter((one, index, sorted) => one !== sorted[index - 1])
}
