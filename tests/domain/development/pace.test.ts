import { expect, test } from 'vitest'
import { delayPercentOf, paceOf } from '../../../src/domain/development/pace.ts'
import { posterior } from '../../../src/domain/development/tempo-posterior.ts'
import { months } from '../../../src/domain/units.ts'
import { RULES } from '../../helpers/rules.ts'
import { TEMPO_CASES } from '../../helpers/tempo-cases.ts'

/**
 * Published with the tempo model: case, prior SD; tempo; age equivalent with its 90 % interval,
 * months; delay with its 90 % interval, percent; probability of a delay of a quarter, a third, a half.
 */
const PUBLISHED = [
  ['A', 0.13, 0.803, [9.63, 8.53, 10.9], [19.7, 9.2, 28.9], [0.182, 0.006, 0]],
  ['A', 0.4, 0.733, [8.8, 7.59, 10.17], [26.7, 15.2, 36.7], [0.601, 0.139, 0]],
  ['B', 0.13, 0.667, [12.01, 10.71, 13.59], [33.3, 24.5, 40.5], [0.942, 0.498, 0]],
  ['B', 0.4, 0.573, [10.31, 8.91, 11.87], [42.7, 34, 50.5], [0.999, 0.962, 0.063]],
  ['C', 0.13, 0.744, [11.16, 10.22, 12.15], [25.6, 19, 31.9], [0.562, 0.021, 0]],
  ['C', 0.4, 0.705, [10.58, 9.55, 11.64], [29.5, 22.4, 36.4], [0.853, 0.18, 0]],
  ['D', 0.13, 0.976, [14.64, 13.48, 15.91], [2.4, -6.1, 10.1], [0, 0, 0]],
  ['D', 0.4, 0.972, [14.59, 13.33, 15.96], [2.8, -6.4, 11.1], [0, 0, 0]],
  ['E', 0.13, 0.498, [11.95, 10.66, 13.52], [50.2, 43.7, 55.6], [1, 1, 0.519]],
  ['E', 0.4, 0.365, [8.77, 7.32, 10.32], [63.5, 57, 69.5], [1, 1, 0.999]],
  ['F', 0.13, 1, [20, 16.16, 24.77], [0, -23.9, 19.2], [0.013, 0.001, 0]],
  ['F', 0.4, 1.055, [21.11, 13.29, 38.58], [-5.5, -92.9, 33.6], [0.14, 0.052, 0]],
  ['G', 0.13, 0.784, [12.55, 11.16, 14.49], [21.6, 9.4, 30.2], [0.271, 0.011, 0]],
  ['G', 0.4, 0.717, [11.47, 9.92, 13.17], [28.3, 17.7, 38], [0.715, 0.197, 0]],
] as const

const rounded = (values: readonly number[], digits: number) =>
  values.map((value) => Number(value.toFixed(digits)))

for (const [name, priorSd, tempo, ages, delays, probabilities] of PUBLISHED)
  test(`case ${name}, prior ${priorSd}: the pace is as published to the printed digit`, () => {
    const { age, seen } = TEMPO_CASES[name]
    const found = paceOf(posterior(seen, priorSd), months(age), RULES)
    const { ageEquivalentInterval: ageSpan, delayInterval: delaySpan } = found
    const { atLeast25, atLeast33, atLeast50 } = found.delayProbability

    expect(rounded([found.tempo], 3)).toEqual([tempo])
    expect(rounded([found.ageEquivalent, ageSpan.low, ageSpan.high], 2)).toEqual(ages)
    expect(rounded([found.delayPercent, delaySpan.low, delaySpan.high], 1)).toEqual(delays)
    expect(rounded([atLeast25, atLeast33, atLeast50], 3)).toEqual(probabilities)
  })

/** 25 % is tau 0.288, a third 0.405, a half 0.693. */
test('a quarter, a third and a half late are these tau', () => {
  expect(delayPercentOf(0.288)).toBeCloseTo(25, 1)
  expect(delayPercentOf(0.4055)).toBeCloseTo(33.3, 1)
  expect(delayPercentOf(0.6931)).toBeCloseTo(50, 1)
})

test('a fast child has a negative delay and a tempo above 1', () => {
  expect(delayPercentOf(-0.1)).toBeLessThan(0)
  expect(delayPercentOf(0)).toBe(0)
})

test('the ends of the tempo and of the delay belong together', () => {
  const { tempoInterval, delayInterval } = paceOf(
    posterior(TEMPO_CASES.A.seen, 0.4),
    months(12),
    RULES,
  )

  expect(100 * (1 - tempoInterval.low)).toBeCloseTo(delayInterval.high, 9)
  expect(100 * (1 - tempoInterval.high)).toBeCloseTo(delayInterval.low, 9)
})
