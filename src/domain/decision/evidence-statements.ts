import type { RuleSet } from '../rules/rule-set.ts'
import type { Outcome } from './suitability.ts'
import type { Finding } from '../truth.ts'
import { listed } from '../wording.ts'

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
export function evidenceStatements(told: Told, limits: RuleSet['suitability']): readonly string[] {
  const { outcome, walksAlone, redFlags, olderThanService } = told
  const offered = outcome === 'suitable' || outcome === 'suitable-after-review'
  const walks = walksAlone.holds === 'yes'
  return [
    ...flagged(redFlags, 'yes', 'To be seen by a physician first'),
    ...flagged(redFlags, 'unknown', 'Red flags not recorded, so not known to be absent'),
    ...(olderThanService
      ? ['Older than the clinic sees: refer to a service for older children']
      : []),
    ...(offered && walks ? [AFTER_WALKING] : []),
    ...(offered && !walks ? [BEFORE_WALKING, proposedTrial(limits)] : []),
  ]
}

const flagged = (flags: readonly Finding[], holds: Finding['holds'], says: string) => {
  const rules = flags
    .filter((flag) => flag.holds === holds)
    .map(({ rule }) => rule.replaceAll('-', ' '))
  return rules.length === 0 ? [] : [`${says}: ${listed(rules)}`]
}

const AFTER_WALKING =
  'The certainty of the evidence is low: benefit was shown in 17 children with Down syndrome, 3.5-8 years, who already walk (Martin 2004); no trial shows that an orthosis advances the age of walking'

const BEFORE_WALKING =
  'The only randomised trial before walking (n = 17, Down syndrome; Looper and Ulrich 2010) found lower gross motor scores one month after walking onset with orthoses; benefit was shown in children who already walk (Martin 2004)'

const proposedTrial = ({
  trialReviewWeeksFrom: from,
  trialReviewWeeksTo: to,
}: RuleSet['suitability']) =>
  `Proposed: a limited trial with barefoot play protected, skills recorded with and without the orthosis, and a review at ${from}-${to} weeks`
