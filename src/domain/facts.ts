import type { CivilDate } from './calendar.ts'

declare const evidence: unique symbol
/** An opaque reference to the version of the record that a fact came from. */
export type Evidence = string & { readonly [evidence]: true }
export const evidenceRef = (reference: string): Evidence => reference as Evidence

/** Something known about the child: what, since or on which day, from which version of which record. */
export interface Fact<T> {
  readonly value: T
  readonly on: CivilDate
  readonly evidence: Evidence
}

/** Never `undefined` and never `false` when nobody has looked. */
export type Recorded<T> = Fact<T> | 'unknown'

/** Two records of one day that disagree. Reported, never averaged; the fact is then unknown. */
export interface Contradiction {
  readonly fact: string
  readonly on: CivilDate
  readonly evidence: readonly Evidence[]
}

/**
 * The latest of several records of one fact.
 *
 * @param name    what the fact is called in a contradiction
 * @param records in any order; those entered in error are already left out
 * @param same    whether two values say the same; defaults to structural equality
 */
export function latest<T>(
  name: string,
  records: readonly Fact<T>[],
  same: (a: T, b: T) => boolean = sameValue,
): { readonly fact: Recorded<T>; readonly contradiction?: Contradiction } {
  const byDay = records.toSorted(
    (a, b) => b.on.localeCompare(a.on) || a.evidence.localeCompare(b.evidence),
  )
  const [first] = byDay
  if (first === undefined) return { fact: 'unknown' }
  const ofDay = byDay.filter((record) => record.on === first.on)
  if (ofDay.every((record) => record === first || same(record.value, first.value)))
    return { fact: first }
  const contradiction = {
    fact: name,
    on: first.on,
    evidence: ofDay.map((record) => record.evidence),
  }
  return { fact: 'unknown', contradiction }
}

export const valueOf = <T>(recorded: Recorded<T>): T | undefined =>
  recorded === 'unknown' ? undefined : recorded.value

export const evidenceOf = (recorded: Recorded<unknown>): readonly Evidence[] =>
  recorded === 'unknown' ? [] : [recorded.evidence]

function sameValue<T>(a: T, b: T): boolean {
  return JSON.stringify(a) === JSON.stringify(b)
}
