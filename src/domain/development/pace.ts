import type { AssessmentRules } from '../assessed-child.ts'
import { type Posterior, probabilityOfDelay, tauQuantile } from './tempo-posterior.ts'
import { type Months, months } from '../units.ts'

export interface Interval {
  readonly low: number
  readonly high: number
}

/** Pace of gross motor development: 1 typical, 0.75 three quarters of the pace. */
export interface Pace {
  readonly tempo: number
  /** 90 % interval. */
  readonly tempoInterval: Interval
  readonly ageEquivalent: Months
  readonly ageEquivalentInterval: Interval
  readonly delayPercent: number
  readonly delayInterval: Interval
  readonly delayProbability: {
    readonly atLeast25: number
    /** A third: the published cases come out with 1/3, not with 0.33. */
    readonly atLeast33: number
    readonly atLeast50: number
  }
}

/**
 * Which pace does a posterior of tau say, for a child of this age?
 *
 * tempo = exp(-tau), age equivalent = age x tempo, delay = 1 - tempo, the same share at every age.
 * The point is the median, the interval is that of the rule set (5th to 95th percentile of tau).
 */
export function paceOf(posterior: Posterior, age: Months, rules: AssessmentRules): Pace {
  const { intervalLow, intervalHigh } = rules.milestones
  const median = tauQuantile(posterior, 0.5)
  const fast = tauQuantile(posterior, intervalLow)
  const slow = tauQuantile(posterior, intervalHigh)
  return {
    tempo: tempoOf(median),
    tempoInterval: { low: tempoOf(slow), high: tempoOf(fast) },
    ageEquivalent: months(age * tempoOf(median)),
    ageEquivalentInterval: { low: age * tempoOf(slow), high: age * tempoOf(fast) },
    delayPercent: delayPercentOf(median),
    delayInterval: { low: delayPercentOf(fast), high: delayPercentOf(slow) },
    delayProbability: delayProbabilityOf(posterior),
  }
}

/** How probable is each of the delays that are published most, 0 to 1? */
export const delayProbabilityOf = (posterior: Posterior): Pace['delayProbability'] => ({
  atLeast25: probabilityOfDelay(posterior, 1 / 4),
  atLeast33: probabilityOfDelay(posterior, 1 / 3),
  atLeast50: probabilityOfDelay(posterior, 1 / 2),
})

/** Delay in percent of the age, negative for a fast child. */
export const delayPercentOf = (tau: number): number => 100 * (1 - tempoOf(tau))

const tempoOf = (tau: number): number => Math.exp(-tau)
