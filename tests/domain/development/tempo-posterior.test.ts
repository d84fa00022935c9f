import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { MILESTONES } from '../../../src/domain/child.ts'
import {
  averageOver,
  posterior,
  posteriorOn,
  probabilityOfDelay,
  tauQuantile,
} from '../../../src/domain/development/tempo-posterior.ts'
import { tauAt, WHOLE_GRID } from '../../../src/domain/development/tempo-residual.ts'
import { TEMPO_CASES } from '../../helpers/tempo-cases.ts'

const rounded = (value: number, digits: number) => Number(value.toFixed(digits))

/** Published with the tempo model: case, prior SD; mean and SD of tau; its 5th, 50th, 95th percentile. */
const PUBLISHED = [
  ['A', 0.13, [0.2197, 0.0746], [0.096, 0.22, 0.341]],
  ['A', 0.4, [0.3103, 0.0889], [0.165, 0.31, 0.458]],
  ['B', 0.13, [0.4033, 0.0725], [0.281, 0.405, 0.519]],
  ['B', 0.4, [0.5576, 0.0878], [0.416, 0.557, 0.703]],
  ['C', 0.13, [0.2963, 0.0526], [0.211, 0.296, 0.384]],
  ['C', 0.4, [0.3505, 0.0604], [0.254, 0.349, 0.452]],
  ['D', 0.13, [0.0242, 0.0506], [-0.059, 0.024, 0.107]],
  ['D', 0.4, [0.0279, 0.0546], [-0.062, 0.028, 0.118]],
  ['E', 0.13, [0.6954, 0.0726], [0.574, 0.697, 0.812]],
  ['E', 0.4, [1.0104, 0.1041], [0.844, 1.007, 1.187]],
  ['F', 0.13, [-0.0003, 0.1296], [-0.214, 0, 0.213]],
  ['F', 0.4, [-0.078, 0.3243], [-0.657, -0.054, 0.409]],
  ['G', 0.13, [0.2382, 0.0795], [0.099, 0.243, 0.36]],
  ['G', 0.4, [0.3344, 0.0864], [0.195, 0.333, 0.478]],
] as const

for (const [name, priorSd, moments, quantiles] of PUBLISHED)
  test(`case ${name}, prior ${priorSd}: tau is as published to the printed digit`, () => {
    const found = posterior(TEMPO_CASES[name].seen, priorSd)
    const tau = found.mass.map((_, index) => tauAt(found.grid, index))
    const mean = averageOver(found, tau)
    const variance = averageOver(
      found,
      tau.map((value) => (value - mean) ** 2),
    )

    expect([rounded(mean, 4), rounded(Math.sqrt(variance), 4)]).toEqual(moments)
    expect([0.05, 0.5, 0.95].map((share) => tauQuantile(found, share))).toEqual(quantiles)
  })

test('without observations the prior around typical pace is all there is', () => {
  const found = posterior([], 0.13)

  // 1.645 SD to either side hold 90 % of a normal distribution: 0.13 x 1.645 = 0.2138.
  expect([0.05, 0.5, 0.95].map((share) => tauQuantile(found, share))).toEqual([-0.214, 0, 0.214])
})

test('observations that no pace explains are refused as implausible checks', () => {
  const impossible = MILESTONES.map((milestone) => ({ milestone, from: 0, to: 0.001 }))

  expect(() => posterior(impossible, 0.4)).toThrow(
    expect.objectContaining({
      name: 'ImplausibleRecord',
      element: 'milestoneChecks',
      message: 'no pace of development explains the checks',
    }),
  )
})

/** A child who sits at 6 months and has never stood at 5 years: rare, and not impossible. */
test('far apart observations still give a pace', () => {
  const found = posterior(
    [
      { milestone: 'sitting-without-support', from: 5, to: 6 },
      { milestone: 'standing-with-assistance', from: 60, to: null },
    ],
    0.4,
  )

  expect(tauQuantile(found, 0.5)).toBeGreaterThan(0.7)
  expect(tauQuantile(found, 0.5)).toBeLessThan(1.3)
})

const anyMilestone = fc.constantFrom(...MILESTONES)
const anyObservation = fc
  .record({
    milestone: anyMilestone,
    from: fc.oneof(fc.constant(0), fc.double({ min: 2, max: 30, noNaN: true })),
    width: fc.option(fc.double({ min: 0.03, max: 12, noNaN: true }), { nil: null }),
  })
  .map(({ milestone, from, width }) => ({
    milestone,
    from,
    // Nothing is attained in the first two months: no pace would explain it.
    to: width === null ? null : Math.max(2, from + width),
  }))
const anyObservations = fc.uniqueArray(anyObservation, {
  selector: ({ milestone }) => milestone,
  minLength: 1,
  maxLength: 6,
})
const anyPrior = fc.constantFrom(0.13, 0.4)

test('leaving out where there is no mass changes nothing', () => {
  fc.assert(
    fc.property(anyObservations, anyPrior, (seen, priorSd) => {
      const whole = posteriorOn(WHOLE_GRID, seen, priorSd)
      const part = posterior(seen, priorSd)

      for (const share of [0.05, 0.5, 0.95])
        expect(tauQuantile(part, share)).toBeCloseTo(tauQuantile(whole, share), 2.5)
      for (const delay of [0.25, 1 / 3, 0.5])
        expect(probabilityOfDelay(part, delay)).toBeCloseTo(probabilityOfDelay(whole, delay), 8)
    }),
  )
})

test('the order of the observations does not matter', () => {
  fc.assert(
    fc.property(anyObservations, anyPrior, (seen, priorSd) => {
      const one = posterior(seen, priorSd)
      const other = posterior(seen.toReversed(), priorSd)

      expect(tauQuantile(other, 0.5)).toBeCloseTo(tauQuantile(one, 0.5), 2.5)
    }),
  )
})

test('a larger delay is never more probable', () => {
  fc.assert(
    fc.property(anyObservations, (seen) => {
      const found = posterior(seen, 0.4)

      expect(probabilityOfDelay(found, 0.25)).toBeGreaterThanOrEqual(probabilityOfDelay(found, 0.5))
    }),
  )
})

test('seen a month later without it, a milestone makes the child slower or leaves it', () => {
  fc.assert(
    fc.property(anyObservations, anyPrior, (seen, priorSd) => {
      const later = seen.map((one) => (one.to === null ? { ...one, from: one.from + 1 } : one))

      expect(tauQuantile(posterior(later, priorSd), 0.5)).toBeGreaterThanOrEqual(
        tauQuantile(posterior(seen, priorSd), 0.5),
      )
    }),
  )
})
