import normal from '@stdlib/stats-base-dists-normal'
import type { Milestone } from '../../src/domain/child.ts'
import type { Observation } from '../../src/domain/development/tempo-residual.ts'

/** Typed from the published model: median in months, residual family and its scale. */
const MODEL: readonly (readonly [Milestone, number, 'normal' | 'logistic', number])[] = [
  ['sitting-without-support', 5.871, 'normal', 0.1401],
  ['standing-with-assistance', 7.431, 'normal', 0.1323],
  ['hands-and-knees-crawling', 8.331, 'logistic', 0.0758],
  ['walking-with-assistance', 9.027, 'logistic', 0.0565],
  ['standing-alone', 10.829, 'logistic', 0.065],
  ['walking-alone', 12.0, 'logistic', 0.0415],
]

export interface Figures {
  readonly coverage: number
  readonly bias: number
  readonly width: number
}

export interface Scenario {
  readonly name: string
  /** The mean and the SD of the children's tau. */
  readonly tau: { readonly mean: number; readonly sd: number }
  /** Months. */
  readonly visits: readonly number[]
  /** The published figures, by SD of the prior; none for a scenario of our own. */
  readonly published: readonly (readonly [prior: number, Figures])[]
}

const DELAY_25 = { mean: 0.2877, sd: 0 }
const DELAY_50 = { mean: 0.6931, sd: 0 }

/** Typed from the published simulation of 1,500 children each. */
export const SCENARIOS: readonly Scenario[] = [
  {
    name: 'reference, visits 9, 12, 15',
    tau: { mean: 0, sd: 0.13 },
    visits: [9, 12, 15],
    published: [
      [0.13, { coverage: 0.893, bias: 0, width: 0.192 }],
      [0.4, { coverage: 0.894, bias: -0.007, width: 0.222 }],
    ],
  },
  {
    name: '25 % delay, visits 9, 12, 15',
    tau: DELAY_25,
    visits: [9, 12, 15],
    published: [
      [0.13, { coverage: 0.817, bias: -0.041, width: 0.171 }],
      [0.4, { coverage: 0.886, bias: 0, width: 0.189 }],
    ],
  },
  {
    name: '50 % delay, one visit at 18',
    tau: DELAY_50,
    visits: [18],
    published: [
      [0.13, { coverage: 0.04, bias: -0.22, width: 0.238 }],
      [0.4, { coverage: 0.971, bias: -0.034, width: 0.292 }],
    ],
  },
  {
    name: '50 % delay, visits 12, 18, 24',
    tau: DELAY_50,
    visits: [12, 18, 24],
    published: [
      [0.13, { coverage: 0.281, bias: -0.131, width: 0.193 }],
      [0.4, { coverage: 0.838, bias: -0.02, width: 0.194 }],
    ],
  },
  {
    name: '25 % delay, one visit at 18',
    tau: DELAY_25,
    visits: [18],
    published: [
      [0.13, { coverage: 0.086, bias: -0.265, width: 0.412 }],
      [0.4, { coverage: 0.943, bias: -0.349, width: 0.93 }],
    ],
  },
  { name: 'as the prior, one visit at 18', tau: { mean: 0, sd: 0.4 }, visits: [18], published: [] },
]

export interface SimulatedChild {
  readonly tau: number
  /** Every milestone was looked at at every visit. */
  readonly observations: readonly Observation[]
}

/** Children of a scenario, drawn from the published model; the same for a seed. */
export function simulatedChildren(
  { tau: { mean, sd }, visits }: Scenario,
  { count, seed }: { readonly count: number; readonly seed: number },
): readonly SimulatedChild[] {
  const draw = uniform(seed)
  return Array.from({ length: count }, () => {
    const tau = mean + sd * normal.quantile(draw(), 0, 1)
    return { tau, observations: seen(tau, visits, draw) }
  })
}

function seen(tau: number, visits: readonly number[], draw: () => number): readonly Observation[] {
  return MODEL.map(([milestone, median, family, scale]) => {
    const share = draw()
    const standard =
      family === 'normal' ? normal.quantile(share, 0, 1) : Math.log(share / (1 - share))
    const began = median * Math.exp(tau + scale * standard)
    const from = visits.findLast((visit) => visit < began) ?? 0
    const to = visits.find((visit) => visit >= began) ?? null
    return { milestone, from, to }
  })
}

/** Uniform between 0 and 1, the same sequence for a seed (mulberry32). */
function uniform(seed: number): () => number {
  let state = seed
  return () => {
    state = (state + 0x6d2b79f5) | 0
    let mixed = Math.imul(state ^ (state >>> 15), state | 1)
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61)
    return (((mixed ^ (mixed >>> 14)) >>> 0) + 0.5) / 2 ** 32
  }
}
