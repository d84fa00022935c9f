import type { Dimension } from '../child.ts'
import { type Message, say } from '../messages/message.ts'
import { FOOT_PROPORTIONS } from '../tables/foot-proportions.ts'
import { type AgeBand, SNYDER_1977 } from '../tables/snyder-1977.ts'
import type { SourceId } from '../tables/sources.ts'

/** Between which values a measurement is believable, mm, and the sentence that says so. */
export interface Expected {
  readonly low: number
  readonly high: number
  readonly words: Message
  readonly sources: readonly SourceId[]
}

export type Plausibility = 'plausible' | 'implausible' | 'unit-slip'

interface AgeQuestion {
  readonly dimension: Dimension
  /** Chronological months on the day of the measurement. */
  readonly age: number
  readonly z: number
}

const TABLES: Readonly<Partial<Record<Dimension, readonly AgeBand[]>>> = {
  'foot-length': SNYDER_1977.footLength,
  'forefoot-breadth': SNYDER_1977.footBreadth,
  'ankle-circumference': SNYDER_1977.ankleCircumference,
  'malleolar-breadth': SNYDER_1977.ankleBreadth,
}

/**
 * What is believable for the age: the mean of the age band and `z` standard deviations either side.
 *
 * `unknown` for a dimension without a table or an age without a band.
 *
 * @see SNYDER_1977
 */
export function expectedForAge({ dimension, age, z }: AgeQuestion): Expected | 'unknown' {
  const bands = TABLES[dimension] ?? []
  const band = bands.find(({ fromMonths, toMonths }) => age >= fromMonths && age < toMonths)
  if (band === undefined) return 'unknown'
  const { mean, sd, fromMonths, toMonths } = band
  return {
    low: mean - z * sd,
    high: mean + z * sd,
    words: say('device-expected.for-age', { fromMonths, toMonths, mean, sd }),
    sources: [SNYDER_1977.source],
  }
}

/**
 * What is believable beside the length of the same foot, for the dimensions without an age table.
 *
 * @see FOOT_PROPORTIONS (from memory)
 */
export function expectedForLength(dimension: Dimension, length: number): Expected | 'unknown' {
  const shares: Readonly<Partial<Record<Dimension, { low: number; high: number }>>> =
    FOOT_PROPORTIONS.questioned
  const share = shares[dimension]
  if (share === undefined) return 'unknown'
  const low = share.low * length
  const high = share.high * length
  return {
    low,
    high,
    words: say('device-expected.for-length', { length, low, high }),
    sources: [FOOT_PROPORTIONS.source],
  }
}

/** A value that would be believable with its decimal point moved by one place is a slip of unit. */
export function plausibility(mm: number, { low, high }: Expected): Plausibility {
  const inside = (value: number) => value >= low && value <= high
  if (inside(mm)) return 'plausible'
  return inside(mm * 10) || inside(mm / 10) ? 'unit-slip' : 'implausible'
}
