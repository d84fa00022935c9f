import normal from '@stdlib/stats-base-dists-normal'
import { type Milestone, MILESTONES } from '../../src/domain/child.ts'
import type { Observation } from '../../src/domain/development/tempo-residual.ts'

/**
 * Typed a second time, independently of src: median in months and residual scale of the logarithm of
 * the age; the first two normal, the others logistic. Fit to the WHO Motor Development Study, tempo SD 0.13.
 */
const MODEL: Readonly<Record<Milestone, readonly [number, number]>> = {
  'sitting-without-support': [5.871, 0.1401],
  'standing-with-assistance': [7.431, 0.1323],
  'hands-and-knees-crawling': [8.331, 0.0758],
  'walking-with-assistance': [9.027, 0.0565],
  'standing-alone': [10.829, 0.065],
  'walking-alone': [12, 0.0415],
}
const isNormal = (milestone: Milestone) =>
  milestone === 'sitting-without-support' || milestone === 'standing-with-assistance'

interface Fitting {
  readonly observations: readonly Observation[]
  readonly fittedAt: number
}
interface Paces {
  readonly before: number
  readonly after: number
}

const developmentalAge = (age: number, fittedAt: number, { before, after }: Paces) =>
  age <= fittedAt ? age * before : fittedAt * before + (age - fittedAt) * after

function begun(milestone: Milestone, developmental: number): number {
  const [median, scale] = MODEL[milestone]
  const z = Math.log(developmental / median) / scale
  return isNormal(milestone) ? normal.cdf(z, 0, 1) : 1 / (1 + Math.exp(-z))
}

/** Four times finer than the grid of src, for the tau before the fitting and for the change. */
const STEP = 0.005

/** The two-dimensional sum, written out without tables: mean of tau before, of the change, P(faster). */
export function bruteForce({ observations, fittedAt }: Fitting, priorSd = 0.4, changeSd = 0.4) {
  const sum = { mass: 0, tau: 0, change: 0, faster: 0 }
  for (let change = -2 + STEP / 2; change < 2; change += STEP)
    for (let tau = -1; tau <= 2.2; tau += STEP) {
      const paces = { before: Math.exp(-tau), after: Math.exp(change - tau) }
      let mass = Math.exp(-((tau / priorSd) ** 2) / 2 - (change / changeSd) ** 2 / 2)
      for (const { milestone, from, to } of observations) {
        const by = (age: number) => begun(milestone, developmentalAge(age, fittedAt, paces))
        mass *= (to === null ? 1 : by(to)) - (from === 0 ? 0 : by(from))
        if (mass === 0) break
      }
      sum.mass += mass
      sum.tau += mass * tau
      sum.change += mass * change
      if (change > 0) sum.faster += mass
    }
  return {
    tau: sum.tau / sum.mass,
    change: sum.change / sum.mass,
    faster: sum.faster / sum.mass,
  }
}

/** Pseudo-random numbers from 0 to 1, the same for a seed everywhere (mulberry32). */
export function seeded(seed: number): () => number {
  let state = seed
  return () => {
    state = (state + 0x6d2b79f5) | 0
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state)
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296
  }
}

export const drawNormal = (random: () => number, sd: number): number =>
  normal.quantile(Math.min(Math.max(random(), 1e-9), 1 - 1e-9), 0, sd)

/** An invented child of two paces, seen at some ages in months. */
export function simulated(
  paces: Paces,
  {
    fittedAt,
    visits,
    random,
  }: { fittedAt: number; visits: readonly number[]; random: () => number },
): Fitting {
  const observations = MILESTONES.map((milestone): Observation => {
    const [median, scale] = MODEL[milestone]
    const share = Math.min(Math.max(random(), 1e-9), 1 - 1e-9)
    const residual = isNormal(milestone)
      ? normal.quantile(share, 0, scale)
      : scale * Math.log(share / (1 - share))
    const attainedAt = (age: number) =>
      developmentalAge(age, fittedAt, paces) >= median * Math.exp(residual)
    const to = visits.find(attainedAt) ?? null
    const from = visits.findLast((age) => !attainedAt(age)) ?? 0
    return { milestone, from, to }
  })
  return { observations, fittedAt }
}

/** Slow and even up to an age: each milestone seen 3 % of the age around its median at this tempo. */
export function evenPace(tempo: number, until: number): readonly Observation[] {
  return MILESTONES.flatMap((milestone): readonly Observation[] => {
    const age = MODEL[milestone][0] / tempo
    return 1.03 * age > until ? [] : [{ milestone, from: 0.97 * age, to: 1.03 * age }]
  })
}
