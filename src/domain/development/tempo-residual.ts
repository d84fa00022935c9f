import normal from '@stdlib/stats-base-dists-normal'
import type { Milestone } from '../child.ts'
import { TEMPO_MODEL, WHO_MOTOR_MODEL } from '../tables/who-motor-model.ts'

/** A milestone that began after `from` (0 when never seen without it) and by `to` (null: not yet), months. */
export interface Observation {
  readonly milestone: Milestone
  readonly from: number
  readonly to: number | null
}

const STEPS_PER_UNIT = 1000

/**
 * Evenly spaced values of tau, the logarithm by which a child's ages are stretched, counted in steps
 * of 0.001.
 */
export interface Grid {
  readonly first: number
  readonly stride: number
  readonly length: number
}

/** From 2.7 times the typical pace (tau -1) to a ninth of it (2.2), every step. */
export const WHOLE_GRID: Grid = { first: -1000, stride: 1, length: 3201 }

/**
 * The same from end to end, 0.04 apart. The curves bend on a scale of 0.13 (pi times the smallest
 * residual scale), so that sums over it come out the same to nine digits.
 */
export const COARSE_GRID: Grid = { first: -1000, stride: 40, length: 81 }

/** Divided, not added up, so that no error piles up. */
export const tauAt = ({ first, stride }: Grid, index: number): number =>
  (first + index * stride) / STEPS_PER_UNIT

/** Steps to either side of a median that the tables reach: ages from a day to 18 years. */
const REACH = 9000

/**
 * For each milestone the residual distribution at every step of 0.001. Between two steps a straight
 * line: the error is below 0.0001 of the value, and a triage of the whole caseload becomes a shift
 * of a table instead of a million calls.
 */
const TABLES: Readonly<Record<Milestone, Float64Array>> = {
  'sitting-without-support': tabulated('sitting-without-support'),
  'standing-with-assistance': tabulated('standing-with-assistance'),
  'hands-and-knees-crawling': tabulated('hands-and-knees-crawling'),
  'walking-with-assistance': tabulated('walking-with-assistance'),
  'standing-alone': tabulated('standing-alone'),
  'walking-alone': tabulated('walking-alone'),
}

function tabulated(milestone: Milestone): Float64Array {
  const scale = TEMPO_MODEL.residualScale[milestone] * STEPS_PER_UNIT
  const { family } = WHO_MOTOR_MODEL.curves[milestone]
  const below = (z: number) =>
    family === 'log-normal' ? normal.cdf(z, 0, 1) : 1 / (1 + Math.exp(-z))
  return Float64Array.from({ length: 2 * REACH + 1 }, (_, index) => below((index - REACH) / scale))
}

/**
 * Probability that a milestone has begun by an age, for a child of each tau of a grid.
 *
 * @param age months, above 0
 * @see TEMPO_MODEL
 */
export const begunBy = (milestone: Milestone, age: number, grid: Grid): Float64Array =>
  along(TABLES[milestone], stepsFromMedian(milestone, age) - grid.first, {
    stride: -grid.stride,
    length: grid.length,
  })

/** Probability that it has not begun: taken from the other tail, where 1 - x would lose the digits. */
export const notBegunBy = (milestone: Milestone, age: number, grid: Grid): Float64Array =>
  along(TABLES[milestone], grid.first - stepsFromMedian(milestone, age), grid)

/** The average of `notBegunBy` over the mass of each point of a grid; thousands are asked for a forecast. */
export function averageNotBegunBy(
  milestone: Milestone,
  age: number,
  { grid, mass }: { readonly grid: Grid; readonly mass: Float64Array },
): number {
  const table = TABLES[milestone]
  const place = grid.first - stepsFromMedian(milestone, age)
  const below = Math.floor(place)
  let sum = 0
  let next = 0
  for (let index = 0, at = REACH + below; index < mass.length; index++, at += grid.stride) {
    sum += (mass[index] ?? 0) * (table[at] ?? 0)
    next += (mass[index] ?? 0) * (table[at + 1] ?? 0)
  }
  return sum + (place - below) * (next - sum)
}

/** Probability of an observation, for a child of each tau of a grid. */
export function chanceOf({ milestone, from, to }: Observation, grid: Grid): Float64Array {
  if (from === 0)
    return to === null ? new Float64Array(grid.length).fill(1) : begunBy(milestone, to, grid)
  const notByFrom = notBegunBy(milestone, from, grid)
  if (to === null) return notByFrom
  const notByTo = notBegunBy(milestone, to, grid)
  const byFrom = begunBy(milestone, from, grid)
  const byTo = begunBy(milestone, to, grid)
  // The difference of the smaller pair: that of two numbers close to 1 would keep no digits.
  for (let index = 0; index < grid.length; index++) {
    const late = notByFrom[index] ?? 0
    notByFrom[index] =
      late < 0.5 ? late - (notByTo[index] ?? 0) : (byTo[index] ?? 0) - (byFrom[index] ?? 0)
  }
  return notByFrom
}

const stepsFromMedian = (milestone: Milestone, age: number): number =>
  STEPS_PER_UNIT * Math.log(age / WHO_MOTOR_MODEL.curves[milestone].median)

/** A table read from a place, in steps from its middle, onwards by `stride`. */
function along(
  table: Float64Array,
  place: number,
  { stride, length }: { readonly stride: number; readonly length: number },
): Float64Array {
  const below = Math.floor(place)
  const share = place - below
  const values = new Float64Array(length)
  for (let index = 0, at = REACH + below; index < length; index++, at += stride)
    values[index] = (table[at] ?? 0) * (1 - share) + (table[at + 1] ?? 0) * share
  return values
}
