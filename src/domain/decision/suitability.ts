import type { AssessedChild } from '../assessed-child.ts'
import type { CivilDate } from '../calendar.ts'
import { decidingFacts } from './deciding-facts.ts'
import { decide, type Decision, EXCLUSIONS, exclusionsHold } from './decision.ts'
import { disagreements } from './disagreements.ts'
import { evidenceStatements } from './evidence-statements.ts'
import { PATHWAYS } from './exclusions.ts'
import { day, type Message, say, together } from '../messages/message.ts'
import { testAgainstMilestones } from './functional-concern.ts'
import { missingFacts } from './missing-facts.ts'
import { answersOf, criteriaFindings, exclusionFindings, questions } from './questions.ts'
import { recheckOn } from './recheck.ts'
import { redFlags } from './red-flags.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { termsOf } from './rule-terms.ts'
import type { Finding } from '../truth.ts'

export const OUTCOMES = [
  'suitable',
  'suitable-after-review',
  'watch',
  'unsuitable',
  'undetermined',
] as const
export type Outcome = (typeof OUTCOMES)[number]

/** Something to be sent that can still change the outcome. */
export interface MissingFact {
  /** The criterion, exclusion or red flag that is open, for instance `flexible-foot.left`. */
  readonly rule: string
  /** Names of the facts of `Child` that would decide it, for instance `tiptoeArchAndHeelInversion.left`. */
  readonly facts: readonly string[]
  /** In how many completions of the open criteria this one settles the outcome, 0 to 1. */
  readonly decides: number
  readonly because: Message
}

export interface Suitability {
  readonly outcome: Outcome
  /** age-in-range, bears-weight, low-tone, excessive-pronation, flexible-foot, functional-concern. */
  readonly criteria: readonly Finding[]
  /** raised-tone, rigid-foot, fixed-calf, skin-or-sensation. */
  readonly exclusions: readonly Finding[]
  /** Present, absent or unknown; those that hold are sent to a physician first. */
  readonly redFlags: readonly Finding[]
  /** Empty unless undetermined; most decisive first. */
  readonly missing: readonly MissingFact[]
  /** Where the exclusion that holds points to. */
  readonly pathways: readonly Message[]
  readonly recheckOn?: CivilDate
  /** What disagrees, red flags, evidence, trial and the day to look again: all that belongs to this outcome. */
  readonly statements: readonly Message[]
  readonly because: Message
}

/**
 * May this child be offered a flexible supramalleolar orthosis, and if that is not known, what is
 * missing?
 *
 * - `unsuitable`: an exclusion holds; `pathways` says where to instead.
 * - `watch`: a criterion is not met; `recheckOn` says when to look again.
 * - `undetermined`: a criterion or an exclusion is unknown, and unknown is never absent.
 * - `suitable-after-review`: all is met, but a red flag holds or walking alone is not established.
 * - `suitable`: all is met by a child who walks alone.
 *
 * A red flag that is unknown does not change the outcome (our own judgement, see redFlags); it stands
 * in `redFlags` as unknown and in `statements` as not recorded.
 */
export function suitability(assessed: AssessedChild, rules: RuleSet): Suitability {
  const found = questions(assessed, rules)
  const answers = answersOf(found)
  const decision = decide(answers)
  const flags = redFlags(assessed, rules)
  const { walksAlone } = assessed.milestones
  const established = walksAlone.holds === 'yes' && flags.every(({ holds }) => holds !== 'yes')
  const outcome = outcomeOf(decision, established)
  const criteria = criteriaFindings(found)
  const exclusions = exclusionFindings(found)
  const recheck = outcome === 'watch' ? recheckOn(assessed, rules) : undefined
  const olderThanService = assessed.ages.months > rules.age.serviceToMonths
  return {
    outcome,
    criteria,
    exclusions,
    redFlags: flags,
    missing: missingFacts(answers, decidingFacts(assessed, rules.suitability)),
    pathways: EXCLUSIONS.filter((id) => exclusionsHold(answers)[id] === 'yes').map(
      (id) => PATHWAYS[id],
    ),
    ...(recheck !== undefined && { recheckOn: recheck }),
    statements: [
      ...disagreements(assessed.child),
      ...[testAgainstMilestones(assessed, rules.suitability)].filter((one) => one !== undefined),
      ...evidenceStatements(
        { outcome, walksAlone, redFlags: flags, olderThanService },
        rules.suitability,
      ),
      ...(recheck === undefined ? [] : [say('recheck.on', { on: day(recheck) })]),
    ],
    because: because(outcome, { criteria, exclusions, flags, walksAlone }),
  }
}

/** Red flags and walking divide `suitable` further; established is a child that walks and has none. */
export const outcomeOf = (decision: Decision, established: boolean): Outcome =>
  decision === 'suitable' && !established ? 'suitable-after-review' : decision

interface Rests {
  readonly criteria: readonly Finding[]
  readonly exclusions: readonly Finding[]
  readonly flags: readonly Finding[]
  readonly walksAlone: Finding
}

/** The findings on which the outcome rests, in words. */
function because(outcome: Outcome, { criteria, exclusions, ...review }: Rests): Message {
  switch (outcome) {
    case 'unsuitable':
      return say('suitability.unsuitable', { reasons: termsOf(exclusions, 'yes') })
    case 'watch':
      return watching(criteria)
    case 'undetermined':
      return say('suitability.undetermined', {
        reasons: termsOf([...criteria, ...exclusions], 'unknown'),
      })
    case 'suitable-after-review':
      return reviewFor(review)
    case 'suitable':
      return say('suitability.suitable')
  }
}

/** The age is nothing that is found in a child; it is said by itself. */
function watching(criteria: readonly Finding[]): Message {
  const notMet = criteria.filter(({ holds }) => holds === 'no')
  const reasons = termsOf(
    notMet.filter(({ rule }) => rule !== 'age-in-range'),
    'no',
  )
  return together([
    ...(notMet.length > reasons.length ? [say('suitability.watch-age')] : []),
    ...(reasons.length > 0 ? [say('suitability.watch', { reasons })] : []),
  ])
}

/** What a review is wanted for: red flags, walking, or both. */
function reviewFor({ flags: found, walksAlone }: Pick<Rests, 'flags' | 'walksAlone'>): Message {
  const flags = termsOf(found, 'yes')
  if (flags.length === 0) return say('suitability.review-of-walking')
  return walksAlone.holds === 'yes'
    ? say('suitability.review-of-flags', { flags })
    : say('suitability.review-of-both', { flags })
}
