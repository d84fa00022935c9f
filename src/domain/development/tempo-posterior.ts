import { ImplausibleRecord } from '../implausible.ts'
import {
  chanceOf,
  COARSE_GRID,
  type Grid,
  type Observation,
  tauAt,
  WHOLE_GRID,
} from './tempo-residual.ts'

/** What is believed of a child's tau: the mass of each point of a grid, summing to 1. */
export interface Posterior {
  readonly grid: Grid
  readonly mass: Float64Array
}

/**
 * What is believed of a child's tau after interval-censored observations?
 *
 * ln T = ln(median) + tau + residual for every milestone of the child; the prior is normal around
 * typical pace. Worked out from -1 to 2.2 in steps of 0.001, where there is any mass to speak of.
 *
 * @param priorSd SD of the prior on the logarithm of the ages
 * @throws ImplausibleRecord when no pace explains the observations
 * @see TEMPO_MODEL
 */
export const posterior = (observations: readonly Observation[], priorSd: number): Posterior =>
  posteriorOn(support(posteriorOn(COARSE_GRID, observations, priorSd)), observations, priorSd)

/** The same on a given grid. */
export function posteriorOn(
  grid: Grid,
  observations: readonly Observation[],
  priorSd: number,
): Posterior {
  const mass = weightOn(grid, observations, priorSd)
  const total = sumOf(mass)
  if (!(total > 0))
    throw new ImplausibleRecord('milestoneChecks', 'no pace of development explains the checks')
  for (let index = 0; index < mass.length; index++) mass[index] = (mass[index] ?? 0) / total
  return { grid, mass }
}

/** Prior times likelihood at each point of a grid, not yet a probability. */
export function weightOn(
  grid: Grid,
  observations: readonly Observation[],
  priorSd: number,
): Float64Array {
  const weight = new Float64Array(grid.length)
  for (let index = 0; index < weight.length; index++) {
    const z = tauAt(grid, index) / priorSd
    weight[index] = Math.exp((-z * z) / 2)
  }
  for (const observation of observations) multiply(weight, chanceOf(observation, grid))
  return weight
}

/** The first tau at which the mass so far reaches a share; at 0.5 the point estimate. */
export function tauQuantile({ grid, mass }: Posterior, share: number): number {
  let index = 0
  for (let sum = mass[0] ?? 0; sum < share && index < mass.length - 1; ) sum += mass[++index] ?? 0
  return tauAt(grid, index)
}

/** Probability that a child's delay is at least this share of the age; delay = 1 - exp(-tau). */
export function probabilityOfDelay({ grid, mass }: Posterior, share: number): number {
  const from = -Math.log(1 - share)
  let sum = 0
  for (let index = mass.length - 1; index >= 0 && tauAt(grid, index) >= from; index--)
    sum += mass[index] ?? 0
  return sum
}

/** The average over a posterior of something worked out on its grid. */
export function averageOver({ mass }: Posterior, values: Float64Array): number {
  let sum = 0
  for (let index = 0; index < mass.length; index++) sum += (mass[index] ?? 0) * (values[index] ?? 0)
  return sum
}

/** Mass below this share of the highest is nothing: the posterior has one hill and only falls from it. */
const NOTHING = 1e-12

/** The part of the whole grid that holds the mass of a coarse posterior, and a coarse step to each side. */
function support({ grid, mass }: Posterior): Grid {
  const least = NOTHING * mass.reduce((highest, value) => Math.max(highest, value), 0)
  const left = Math.max(0, mass.findIndex((value) => value >= least) - 1)
  const right = Math.min(grid.length - 1, mass.findLastIndex((value) => value >= least) + 1)
  const first = grid.first + left * grid.stride
  return { first, stride: WHOLE_GRID.stride, length: (right - left) * grid.stride + 1 }
}

function sumOf(values: Float64Array): number {
  let sum = 0
  for (let index = 0; index < values.length; index++) sum += values[index] ?? 0
  return sum
}

/** Point by point, in place. */
export function multiply(mass: Float64Array, chance: Float64Array): void {
  for (let index = 0; index < mass.length; index++)
    mass[index] = (mass[index] ?? 0) * (chance[index] ?? 0)
}
