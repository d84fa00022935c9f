import type { AssessedChild } from '../assessed-child.ts'
import type { CivilDate } from '../calendar.ts'
import { addDays } from '../calendar.ts'
import { ageWindow, pronation, safety, waiting } from './contributions.ts'
import type { Evidence } from '../facts.ts'
import type { Message } from '../messages/message.ts'
import { motorDelay, stalled } from './motor-contributions.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { Suitability } from '../decision/suitability.ts'
import type { SourceId } from '../tables/sources.ts'

export const CONTRIBUTIONS = [
  'motor-delay',
  'stalled',
  'pronation',
  'window',
  'safety',
  'waiting',
] as const
export type ContributionId = (typeof CONTRIBUTIONS)[number]

export interface Contribution {
  readonly id: ContributionId
  /** At the facts known. */
  readonly points: number
  /** Over everything that is unknown. */
  readonly low: number
  readonly high: number
  readonly max: number
  readonly because: Message
  readonly sources: readonly SourceId[]
  readonly evidence: readonly Evidence[]
}

export type Priority = 'routine' | 'urgent' | 'asap'

/** 0 to 100, not rounded in between. */
export interface Urgency {
  readonly score: number
  readonly low: number
  readonly high: number
  readonly contributions: readonly Contribution[]
  readonly priority: Priority
  /** The red flags that raised the priority, by rule. */
  readonly raisedBy: readonly string[]
  /** Counted from the day the referral was received, so that it does not slide with each triage. */
  readonly seeBy: CivilDate
}

/**
 * How soon should the child be seen, 0 to 100, and by which day?
 *
 * The sum of the six contributions, not rounded. Unknown facts count as the least they may be; `low` and
 * `high` say what the score may be once they are known. The bands of the rule set turn the score into a
 * priority and a day; a red flag that holds makes it urgent at least, one that nobody recorded changes
 * nothing. `raisedBy` is empty when the score alone reaches that priority.
 */
export function urgency(
  assessed: AssessedChild & { readonly suitability: Pick<Suitability, 'redFlags'> },
  rules: RuleSet,
): Urgency {
  const weights = rules.urgency
  const contributions = [
    motorDelay(assessed, weights),
    stalled(assessed, weights),
    pronation(assessed, weights),
    ageWindow(assessed, weights),
    safety(assessed.child, weights),
    waiting(assessed, weights),
  ]
  const sum = (part: 'points' | 'low' | 'high') =>
    contributions.reduce((total, contribution) => total + contribution[part], 0)
  const score = sum('points')
  const own = band(score, weights)
  const flags = assessed.suitability.redFlags.filter(({ holds }) => holds === 'yes')
  const raised = own === 'routine' && flags.length > 0
  const priority = raised ? 'urgent' : own
  const seeWithinDays: Readonly<Record<Priority, number>> = {
    routine: weights.routineDays,
    urgent: weights.urgentDays,
    asap: weights.asapDays,
  }
  return {
    score,
    low: sum('low'),
    high: sum('high'),
    contributions,
    priority,
    raisedBy: raised ? flags.map(({ rule }) => rule) : [],
    seeBy: addDays(assessed.child.referral.receivedOn, seeWithinDays[priority]),
  }
}

function band(score: number, weights: RuleSet['urgency']): Priority {
  if (score >= weights.asapFrom) return 'asap'
  return score >= weights.urgentFrom ? 'urgent' : 'routine'
}
