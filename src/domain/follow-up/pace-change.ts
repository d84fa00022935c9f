import { ImplausibleRecord } from '../implausible.ts'
import { multiply, type Posterior, weightOn } from '../development/tempo-posterior.ts'
import { chanceOf, type Grid, type Observation, tauAt } from '../development/tempo-residual.ts'

/**
 * Tau before the fitting, the logarithm of the change, and tau since then, which is the difference
 * of the two: one step of 0.02 for all three, so that every difference is a point again. The curves
 * bend on a scale of 0.13, as for COARSE_GRID.
 */
const BEFORE: Grid = { first: -1000, stride: 20, length: 161 }
/** From a seventh of the pace to seven times the pace. */
const CHANGE: Grid = { first: -2000, stride: 20, length: 201 }
const AFTER: Grid = { first: -3000, stride: 20, length: 361 }

/** What was seen of a child before and after a fitting; ages in months. */
export interface PaceChangeBasis {
  readonly observations: readonly Observation[]
  readonly fittedAt: number
  /** SD of the prior on tau before the fitting. */
  readonly priorSd: number
  /** SD of the prior on ln(tempo after / tempo before). */
  readonly priorSdChange: number
}

export interface PaceChange {
  /** Of tau before the fitting; tempo = exp(-tau). */
  readonly before: Posterior
  /** Of tau since the fitting. */
  readonly after: Posterior
  /** Of ln(tempo after / tempo before). */
  readonly change: Posterior
}

/**
 * What is believed of a child's pace before and after a fitting?
 *
 * The developmental age is age x tempo before up to the fitting, and grows with the tempo after from
 * then on. Given a change, that is one tempo from birth on an age whose part since the fitting is
 * stretched; so each row of the two-dimensional grid is the plain model.
 *
 * Cautious: six milestones say little about two paces, so the change is drawn towards none. Over
 * changes as the prior expects them the 90 % interval holds the truth in 90 of 100 simulated children;
 * of those whose pace doubled, in about 60 only.
 *
 * @throws ImplausibleRecord when no pace explains the observations
 * @see TEMPO_MODEL
 */
export function paceChange(basis: PaceChangeBasis): PaceChange {
  const { observations, fittedAt, priorSd, priorSdChange } = basis
  const later = observations.filter((one) => isAfter(one, fittedAt))
  const earlier = observations.filter((one) => !isAfter(one, fittedAt))
  const common = weightOn(BEFORE, earlier, priorSd)
  const before = new Float64Array(BEFORE.length)
  const after = new Float64Array(AFTER.length)
  const change = new Float64Array(CHANGE.length)
  let total = 0
  for (let row = 0; row < change.length; row++) {
    const ratio = tauAt(CHANGE, row)
    const prior = Math.exp(-((ratio / priorSdChange) ** 2) / 2)
    const weight = common.slice()
    for (const one of later) multiply(weight, chanceOf(stretched(one, fittedAt, ratio), BEFORE))
    for (let column = 0, at = change.length - 1 - row; column < weight.length; column++, at++) {
      const here = prior * (weight[column] ?? 0)
      before[column] = (before[column] ?? 0) + here
      change[row] = (change[row] ?? 0) + here
      after[at] = (after[at] ?? 0) + here
      total += here
    }
  }
  if (!(total > 0))
    throw new ImplausibleRecord('milestoneChecks', 'no pace of development explains the checks')
  return {
    before: { grid: BEFORE, mass: before.map((value) => value / total) },
    after: { grid: AFTER, mass: after.map((value) => value / total) },
    change: { grid: CHANGE, mass: change.map((value) => value / total) },
  }
}

/** Does the observation say anything about the time after the fitting? */
export const isAfter = ({ from, to }: Observation, fittedAt: number): boolean =>
  (to ?? from) > fittedAt

/** The age at which a child of one tempo would be as far. */
function stretched(
  { milestone, from, to }: Observation,
  fittedAt: number,
  change: number,
): Observation {
  const age = (own: number) =>
    own <= fittedAt ? own : fittedAt + (own - fittedAt) * Math.exp(change)
  return { milestone, from: age(from), to: to === null ? null : age(to) }
}

/** Where the mass so far reaches a share; the mass of a point lies evenly around it. */
export function quantileWithin({ grid, mass }: Posterior, share: number): number {
  let index = 0
  let below = 0
  for (; index < mass.length - 1 && below + (mass[index] ?? 0) < share; index++)
    below += mass[index] ?? 0
  const place = (share - below) / (mass[index] ?? 1) - 0.5
  const step = tauAt(grid, 1) - tauAt(grid, 0)
  return tauAt(grid, index) + place * step
}

/** Probability of more than 0; the point at 0 counts by half. */
export function probabilityAboveZero({ grid, mass }: Posterior): number {
  let sum = 0
  for (let index = mass.length - 1; index >= 0 && tauAt(grid, index) >= 0; index--)
    sum += (mass[index] ?? 0) * (tauAt(grid, index) === 0 ? 0.5 : 1)
  return sum
}
