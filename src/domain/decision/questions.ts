import type { AssessedChild } from '../assessed-child.ts'
import { ageInRange, bearsWeight, lowTone } from './criteria.ts'
import type { Answers, QuestionId } from './decision.ts'
import { criteriaHold, exclusionsHold } from './decision.ts'
import { uniqueEvidence } from '../evidence.ts'
import { raisedTone, skinOrSensation } from './exclusions.ts'
import { functionalConcern } from './functional-concern.ts'
import { type Message, say, together } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { Finding, Truth } from '../truth.ts'
import { not } from '../truth.ts'

export type Answered = Readonly<Record<QuestionId, Finding>>

/** The rule that answers each question. */
export const QUESTION_RULES: Readonly<
  Record<QuestionId, (assessed: AssessedChild, rules: RuleSet) => Finding>
> = {
  'age-in-range': (assessed, rules) => ageInRange(assessed, rules.age),
  'bears-weight': bearsWeight,
  'low-tone': lowTone,
  'excessive-pronation.left': ({ posture }) => posture.left.excessivePronation,
  'excessive-pronation.right': ({ posture }) => posture.right.excessivePronation,
  'flexible-foot.left': ({ posture }) => posture.left.flexible,
  'flexible-foot.right': ({ posture }) => posture.right.flexible,
  'functional-concern': (assessed, rules) => functionalConcern(assessed, rules.suitability),
  'raised-tone': (assessed, rules) => raisedTone(assessed, rules.suitability),
  'fixed-calf.left': ({ posture }) => posture.left.fixedCalf,
  'fixed-calf.right': ({ posture }) => posture.right.fixedCalf,
  'skin-or-sensation.left': (assessed) => skinOrSensation('left', assessed),
  'skin-or-sensation.right': (assessed) => skinOrSensation('right', assessed),
}

/** What is found on each question of which criteria and exclusions are made? */
export function questions(assessed: AssessedChild, rules: RuleSet): Answered {
  const ask = (question: QuestionId) => QUESTION_RULES[question](assessed, rules)
  return {
    'age-in-range': ask('age-in-range'),
    'bears-weight': ask('bears-weight'),
    'low-tone': ask('low-tone'),
    'excessive-pronation.left': ask('excessive-pronation.left'),
    'excessive-pronation.right': ask('excessive-pronation.right'),
    'flexible-foot.left': ask('flexible-foot.left'),
    'flexible-foot.right': ask('flexible-foot.right'),
    'functional-concern': ask('functional-concern'),
    'raised-tone': ask('raised-tone'),
    'fixed-calf.left': ask('fixed-calf.left'),
    'fixed-calf.right': ask('fixed-calf.right'),
    'skin-or-sensation.left': ask('skin-or-sensation.left'),
    'skin-or-sensation.right': ask('skin-or-sensation.right'),
  }
}

/** The findings without their reasons. */
export function answersOf(found: Answered): Answers {
  return {
    'age-in-range': found['age-in-range'].holds,
    'bears-weight': found['bears-weight'].holds,
    'low-tone': found['low-tone'].holds,
    'excessive-pronation.left': found['excessive-pronation.left'].holds,
    'excessive-pronation.right': found['excessive-pronation.right'].holds,
    'flexible-foot.left': found['flexible-foot.left'].holds,
    'flexible-foot.right': found['flexible-foot.right'].holds,
    'functional-concern': found['functional-concern'].holds,
    'raised-tone': found['raised-tone'].holds,
    'fixed-calf.left': found['fixed-calf.left'].holds,
    'fixed-calf.right': found['fixed-calf.right'].holds,
    'skin-or-sensation.left': found['skin-or-sensation.left'].holds,
    'skin-or-sensation.right': found['skin-or-sensation.right'].holds,
  }
}

/** The criteria in the order in which a reader wants to see them. */
export function criteriaFindings(found: Answered): readonly Finding[] {
  const holds = criteriaHold(answersOf(found))
  return [
    found['age-in-range'],
    found['bears-weight'],
    found['low-tone'],
    combined(
      'excessive-pronation',
      holds['excessive-pronation'],
      eitherFoot(found, 'excessive-pronation'),
    ),
    combined('flexible-foot', holds['flexible-foot'], affectedFeet(found)),
    found['functional-concern'],
  ]
}

/** The exclusions; a rigid foot is an affected foot that does not correct. */
export function exclusionFindings(found: Answered): readonly Finding[] {
  const holds = exclusionsHold(answersOf(found))
  return [
    found['raised-tone'],
    combined('rigid-foot', holds['rigid-foot'], affectedFeet(found), [
      say(`rigid-foot.${holds['rigid-foot']}`),
    ]),
    combined('fixed-calf', holds['fixed-calf'], eitherFoot(found, 'fixed-calf'), [
      say(`either-calf.${holds['fixed-calf']}`),
    ]),
    combined(
      'skin-or-sensation',
      holds['skin-or-sensation'],
      eitherFoot(found, 'skin-or-sensation'),
    ),
  ]
}

type OfAFoot = 'excessive-pronation' | 'flexible-foot' | 'fixed-calf' | 'skin-or-sensation'

const eitherFoot = (found: Answered, rule: OfAFoot): readonly Finding[] => [
  found[`${rule}.left`],
  found[`${rule}.right`],
]

/** A foot that is not excessive takes no part, whether it corrects or not. */
function affectedFeet(found: Answered): readonly Finding[] {
  return (['left', 'right'] as const).flatMap((side) => {
    const excessive = found[`excessive-pronation.${side}`]
    return not(excessive.holds) === 'yes'
      ? [excessive]
      : [excessive, found[`flexible-foot.${side}`]]
  })
}

/** One finding of several; what it comes to is said first where the feet alone do not say it. */
function combined(
  rule: string,
  holds: Truth,
  of: readonly Finding[],
  first: readonly Message[] = [],
): Finding {
  return {
    rule,
    holds,
    because: together([...first, ...of.map(({ because }) => because)]),
    sources: [...new Set(of.flatMap(({ sources }) => sources))],
    evidence: uniqueEvidence(of.map(({ evidence }) => evidence)),
  }
}
