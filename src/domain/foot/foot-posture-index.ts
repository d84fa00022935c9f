import type { Foot } from '../child.ts'
import { valueOf } from '../facts.ts'
import type { FpiSum, Posture } from './posture.ts'
import {
  FPI6_BANDS,
  FPI6_CHILDREN_2019,
  FPI6_SIDE_DIFFERENCE,
} from '../tables/foot-posture-index.ts'
import type { Months } from '../units.ts'
import { yearsOf } from '../units.ts'

/**
 * What do the six items of the Foot Posture Index add up to, and in which band does the sum lie?
 *
 * An item that was not judged may be anything from -2 to +2: then there is no sum, only bounds, and a
 * band only when both bounds lie in it. The z-score compares with children of 3-15 years; below
 * `zFrom` months the index is a description only. Undefined when no index is recorded.
 *
 * @see FPI6_BANDS, FPI6_CHILDREN_2019
 */
export function fpiSum(recorded: Foot['fpi'], age: Months, zFrom: number): FpiSum | undefined {
  const items = valueOf(recorded)
  if (items === undefined) return undefined
  const scores = FPI6_BANDS.items.flatMap((item) => items[item] ?? [])
  const missing = FPI6_BANDS.items.length - scores.length
  const known = scores.reduce((sum, score) => sum + score, 0)
  const low = known + missing * FPI6_BANDS.itemLow
  const high = known + missing * FPI6_BANDS.itemHigh
  const band = bandOf(low)
  const sure = band !== undefined && band === bandOf(high)
  const normed = age >= zFrom && yearsOf(age) <= FPI6_CHILDREN_2019.toYears
  const z = (known - FPI6_CHILDREN_2019.mean) / FPI6_CHILDREN_2019.sd
  return {
    ...(missing === 0 && { sum: known }),
    low,
    high,
    ...(sure && { band }),
    ...(missing === 0 && normed && { z }),
    note: [...missingNote(missing), ...overlapNote(known, missing), normNote(age, zFrom)].join(
      '; ',
    ),
  }
}

/**
 * How far do the two feet differ? Undefined unless both sums are complete.
 *
 * @see FPI6_SIDE_DIFFERENCE (adults' figures)
 */
export function sideDifference(left?: FpiSum, right?: FpiSum): Posture['sideDifference'] {
  if (left?.sum === undefined || right?.sum === undefined) return undefined
  const points = Math.abs(right.sum - left.sum)
  const note = `The feet differ by ${points}; the bands are those of adults, none for children were found`
  if (points <= FPI6_SIDE_DIFFERENCE.usualTo) return { points, band: 'usual', note }
  if (points <= FPI6_SIDE_DIFFERENCE.asymmetryTo) return { points, band: 'asymmetry', note }
  return { points, band: 'severe', note }
}

const bandOf = (sum: number): FpiSum['band'] =>
  FPI6_BANDS.bands.find(({ from, to }) => sum >= from && sum <= to)?.band

const missingNote = (missing: number): readonly string[] =>
  missing === 0 ? [] : [`${missing} of 6 items not judged, so bounds instead of a sum`]

/** The only sum on which two publications disagree: the first above the normal band. */
const overlapNote = (sum: number, missing: number): readonly string[] =>
  missing === 0 && bandOf(sum) !== 'normal' && bandOf(sum - 1) === 'normal'
    ? [`${sum} counts as pronated here and as normal in Gijon-Nogueron 2019`]
    : []

function normNote(age: Months, zFrom: number): string {
  const { fromYears, toYears, mean, sd } = FPI6_CHILDREN_2019
  if (age >= zFrom && yearsOf(age) <= toYears)
    return `compared with children of ${fromYears}-${toYears} years (mean ${mean}, SD ${sd})`
  return `description only: no norm below ${fromYears} or above ${toYears} years`
}
