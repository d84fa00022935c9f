import { type Message, say } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { termsOf } from './rule-terms.ts'
import type { Outcome } from './suitability.ts'
import type { Finding } from '../truth.ts'

interface Told {
  readonly outcome: Outcome
  readonly walksAlone: Finding
  readonly redFlags: readonly Finding[]
  readonly olderThanService: boolean
}

/**
 * What has to be said with an outcome: red flags that hold and those that nobody recorded, the state
 * of the evidence, and the trial that is proposed before walking.
 *
 * A child of whom it is not known that it walks alone is told what holds before walking.
 *
 * @see SOURCES looper-ulrich-2010, martin-2004, orthoses-review-2025
 */
export function evidenceStatements(told: Told, limits: RuleSet['suitability']): readonly Message[] {
  const { outcome, walksAlone, redFlags, olderThanService } = told
  const offered = outcome === 'suitable' || outcome === 'suitable-after-review'
  const walks = walksAlone.holds === 'yes'
  return [
    ...flagged(redFlags, 'yes', 'evidence.flags-that-hold'),
    ...flagged(redFlags, 'unknown', 'evidence.flags-not-recorded'),
    ...(olderThanService ? [say('evidence.older-than-service')] : []),
    ...(offered && walks ? [say('evidence.after-walking')] : []),
    ...(offered && !walks ? [say('evidence.before-walking'), proposedTrial(limits)] : []),
  ]
}

function flagged(
  flags: readonly Finding[],
  holds: Finding['holds'],
  key: 'evidence.flags-that-hold' | 'evidence.flags-not-recorded',
): readonly Message[] {
  const terms = termsOf(flags, holds)
  return terms.length === 0 ? [] : [say(key, { flags: terms })]
}

const proposedTrial = ({
  trialReviewWeeksFrom: from,
  trialReviewWeeksTo: to,
}: RuleSet['suitability']): Message => say('evidence.proposed-trial', { from, to })
