import type { Ages } from './age.ts'
import { probabilityOfDelay } from './tempo-posterior.ts'
import type { Tempo } from './tempo.ts'
import type { Evidence } from '../facts.ts'
import type { Months } from '../units.ts'

/** What the milestones say of the delay, at any number that somebody may publish. */
export interface EstimatedDelay {
  /** The point estimate. */
  readonly percent: number
  /** The age in use, and which one it is. */
  readonly age: Months
  readonly used: Ages['used']
  /** Probability of a delay of at least this many percent of the age, 0 to 1. */
  readonly probabilityAtLeast: (percent: number) => number
  readonly evidence: readonly Evidence[]
}

/**
 * How probable is a delay of any given size, by the milestones?
 *
 * Summed over the posterior of the tempo, with the prior for referred children. `unknown` whenever
 * the tempo is not estimable.
 *
 * @see TEMPO_MODEL
 */
export function estimatedDelay(
  tempo: Tempo,
  ages: Pick<Ages, 'months' | 'used'>,
): EstimatedDelay | 'unknown' {
  if (tempo.state !== 'estimated') return 'unknown'
  return {
    percent: tempo.delayPercent,
    age: ages.months,
    used: ages.used,
    probabilityAtLeast: (percent) => probabilityOfDelay(tempo.believed, percent / 100),
    evidence: tempo.finding.evidence,
  }
}
