import type { Ages } from './age.ts'
import type { Milestones } from './milestones.ts'
import { probabilityOfDelay, posterior } from './tempo-posterior.ts'
import { observationsOf, type Tempo } from './tempo.ts'
import type { RuleSet } from '../rules/rule-set.ts'
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
 * Summed over the same posterior as the tempo, with the prior for referred children. `unknown` whenever
 * the tempo is not estimable.
 *
 * @see TEMPO_MODEL
 */
export function estimatedDelay(
  found: Milestones,
  tempo: Tempo,
  ages: Pick<Ages, 'months' | 'used'>,
  rules: RuleSet,
): EstimatedDelay | 'unknown' {
  if (tempo.state !== 'estimated') return 'unknown'
  const believed = posterior(observationsOf(found.statuses), rules.milestones.priorSdReferred)
  return {
    percent: tempo.delayPercent,
    age: ages.months,
    used: ages.used,
    probabilityAtLeast: (percent) => probabilityOfDelay(believed, percent / 100),
    evidence: tempo.finding.evidence,
  }
}
