import type { SourceId } from './sources.ts'

/** How often a trait agrees and disagrees between two records of one person (m), and of two people (u). */
export interface LinkageRates {
  readonly agree: { readonly m: number; readonly u: number }
  readonly disagree: { readonly m: number; readonly u: number }
  readonly source: SourceId
}

/**
 * How often traits agree by linkage in the manner of Fellegi and Sunter (1969).
 *
 * Unit:       probabilities; what is left of each pair of sums is a trait that one of both lacks
 * Population: Australian death registrations 2011-12 and Census records: adults, so no rate of the year of birth
 *             fits small children; see its own entry
 * Source:     SOURCES abs-linkage-2012, tables C.1 and C.2
 * How read:   from a stored copy of the page; the rates of the suburb stand for the postal code
 */
export const LINKAGE_RATES = {
  given: {
    agree: { m: 0.839, u: 0.006 },
    disagree: { m: 0.158, u: 0.989 },
    source: 'abs-linkage-2012',
  },
  family: {
    agree: { m: 0.954, u: 0.007 },
    disagree: { m: 0.041, u: 0.987 },
    source: 'abs-linkage-2012',
  },
  sex: {
    agree: { m: 0.966, u: 0.512 },
    disagree: { m: 0.017, u: 0.476 },
    source: 'abs-linkage-2012',
  },
  dayOfBirth: {
    agree: { m: 0.903, u: 0.03 },
    disagree: { m: 0.039, u: 0.89 },
    source: 'abs-linkage-2012',
  },
  monthOfBirth: {
    agree: { m: 0.923, u: 0.077 },
    disagree: { m: 0.019, u: 0.844 },
    source: 'abs-linkage-2012',
  },
  /** m as the age in C.1; u: the children of a clinic were born in five years or so, not in a hundred. */
  yearOfBirth: {
    agree: { m: 0.975, u: 0.2 },
    disagree: { m: 0.019, u: 0.8 },
    source: 'judgement',
  },
  postalCode: {
    agree: { m: 0.871, u: 0.001 },
    disagree: { m: 0.122, u: 0.992 },
    source: 'abs-linkage-2012',
  },
  /** Parents have two numbers and change them; two families do not share one. */
  telecom: {
    agree: { m: 0.5, u: 0.001 },
    disagree: { m: 0.5, u: 0.999 },
    source: 'judgement',
  },
} as const satisfies Record<string, LinkageRates>

/** From which similarity two spellings are one name (Jaro-Winkler, 0 to 1). */
export const NAME_SIMILARITY = {
  /** Up to here the names disagree; from here to 1 the weight grows evenly to that of agreement. */
  disagreeUpTo: { value: 0.8, source: 'judgement' },
  /** From here one is taken for a misspelling of the other. */
  similarFrom: { value: 0.92, source: 'memory' },
} as const satisfies Record<string, { readonly value: number; readonly source: SourceId }>

/** What the answer to "are they one child?" is called, by its probability from 0 to 1. */
export const MATCH_GRADES = {
  /** Before anything is compared: how many of the pairs of Patients that a clinic keeps are one child. */
  prior: { value: 0.0001, source: 'judgement' },
  certainFrom: { value: 0.99, source: 'judgement' },
  probableFrom: { value: 0.9, source: 'judgement' },
  possibleFrom: { value: 0.5, source: 'judgement' },
  /** What cannot be certain, or not even probable, is not more than this. */
  probableUpTo: { value: 0.98, source: 'judgement' },
  possibleUpTo: { value: 0.89, source: 'judgement' },
} as const satisfies Record<string, { readonly value: number; readonly source: SourceId }>
