import type { Foot } from '../child.ts'
import { valueOf } from '../facts.ts'
import { type Message, say, together } from '../messages/message.ts'
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
    note: together([
      ...missingNote(missing),
      ...overlapNote(known, missing),
      normed ? comparedNote(missing === 0 ? { sum: known, z } : 'unknown') : DESCRIPTION_ONLY,
    ]),
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
  const band = bandOfDifference(points)
  const { usualTo, asymmetryTo } = FPI6_SIDE_DIFFERENCE
  return { points, band, note: say(`foot-difference.${band}`, { points, usualTo, asymmetryTo }) }
}

function bandOfDifference(points: number): 'usual' | 'asymmetry' | 'severe' {
  if (points <= FPI6_SIDE_DIFFERENCE.usualTo) return 'usual'
  return points <= FPI6_SIDE_DIFFERENCE.asymmetryTo ? 'asymmetry' : 'severe'
}

const bandOf = (sum: number): FpiSum['band'] =>
  FPI6_BANDS.bands.find(({ from, to }) => sum >= from && sum <= to)?.band

const missingNote = (missing: number): readonly Message[] =>
  missing === 0 ? [] : [say('foot-index.bounds', { missing, items: FPI6_BANDS.items.length })]

/** The only sum on which two publications disagree: the first above the normal band. */
const overlapNote = (sum: number, missing: number): readonly Message[] =>
  missing === 0 && bandOf(sum) !== 'normal' && bandOf(sum - 1) === 'normal'
    ? [say('foot-index.overlap', { sum })]
    : []

const { fromYears, toYears, mean, sd } = FPI6_CHILDREN_2019

const DESCRIPTION_ONLY = say('foot-index.description-only', { fromYears, toYears })

const comparedNote = (found: { readonly sum: number; readonly z: number } | 'unknown'): Message =>
  found === 'unknown'
    ? say('foot-index.not-compared', { fromYears, toYears })
    : say('foot-index.compared', { ...found, fromYears, toYears, mean, sd })
