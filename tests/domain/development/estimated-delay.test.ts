import { expect, test } from 'vitest'
import { ages } from '../../../src/domain/development/age.ts'
import { civilDate } from '../../../src/domain/calendar.ts'
import type { Child } from '../../../src/domain/child.ts'
import { estimatedDelay } from '../../../src/domain/development/estimated-delay.ts'
import { milestones } from '../../../src/domain/development/milestones.ts'
import { tempo } from '../../../src/domain/development/tempo.ts'
import { child, fact } from '../../helpers/child.ts'
import { RULES } from '../../helpers/rules.ts'

const DAY = civilDate('2026-03-01')

const look = (milestone: 'standing-alone' | 'walking-alone', attained: boolean) =>
  fact({ milestone, attained, reportedBy: 'professional' } as const)

/** An invented child of 18 months that neither stands nor walks alone. */
const late = child({
  milestoneChecks: [look('standing-alone', false), look('walking-alone', false)],
})

function estimateOf(of: Child) {
  const age = ages(of, DAY, RULES)
  const seen = milestones(of, DAY, RULES)
  const pace = tempo(of, seen, age, RULES)
  return { pace, estimate: estimatedDelay(pace, age) }
}

test('the probability at any number agrees with the tempo at those it gives', () => {
  const { pace, estimate } = estimateOf(late)
  if (pace.state !== 'estimated' || estimate === 'unknown') throw new Error('must be estimated')

  expect(estimate.percent).toBe(pace.delayPercent)
  expect(estimate.probabilityAtLeast(25)).toBe(pace.delayProbability.atLeast25)
  expect(estimate.probabilityAtLeast(50)).toBe(pace.delayProbability.atLeast50)
  expect([estimate.age, estimate.used]).toEqual([ages(late, DAY, RULES).months, 'chronological'])
  expect(estimate.evidence).toEqual(pace.finding.evidence)
})

test('a larger delay is never more probable', () => {
  const { estimate } = estimateOf(late)
  if (estimate === 'unknown') throw new Error('must be estimated')
  const probabilities = [0, 20, 25, 30, 33, 50, 99].map(estimate.probabilityAtLeast)

  expect(probabilities).toEqual(probabilities.toSorted((a, b) => b - a))
  expect(probabilities[0]).toBeLessThan(1)
  expect(probabilities.at(-1)).toBeGreaterThanOrEqual(0)
})

test('without a tempo there is no estimate', () => {
  const { pace, estimate } = estimateOf(child())

  expect([pace.state, estimate]).toEqual(['not-estimable', 'unknown'])
})
