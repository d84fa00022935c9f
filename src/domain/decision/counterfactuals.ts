import { ageSuppositions } from './age-suppositions.ts'
import type { AssessedChild } from '../assessed-child.ts'
import { type Child, type Side, SIDES } from '../child.ts'
import { type Answers, decide, type QuestionId } from './decision.ts'
import { footSuppositions } from './foot-suppositions.ts'
import { footPosture } from '../foot/posture.ts'
import { type Message, say } from '../messages/message.ts'
import { answersOf, QUESTION_RULES, questions } from './questions.ts'
import { RED_FLAG_RULES } from './red-flags.ts'
import { redFlagSuppositions, walkingSuppositions } from './review-suppositions.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { type Outcome, outcomeOf } from './suitability.ts'
import type { SupposedFact } from './supposed-fact.ts'
import { type Supposition, suppositions } from './suppositions.ts'
import type { Truth } from '../truth.ts'

/** One answer that would change the outcome if it were another. */
export interface Counterfactual {
  /** A question, for instance `flexible-foot.left`, a red flag, or `walks-alone`. */
  readonly rule: Supposition['rule']
  readonly answer: 'yes' | 'no'
  /** The fewest facts that give this answer; none for the age, which only time changes. */
  readonly facts: readonly SupposedFact[]
  readonly outcome: Outcome
  /** "Would be watch if …" */
  readonly because: Message
}

export interface Counterfactuals {
  /** The nearest first. Empty when no other answer to a single question changes the outcome. */
  readonly changes: readonly Counterfactual[]
  readonly because: Message
}

/**
 * What is the least that would have to be otherwise for another outcome?
 *
 * One question, red flag or walking alone is supposed to have its other answer, by the fewest facts
 * that give it, and the real rules decide over the child with these facts. A supposed milestone leaves
 * the estimated pace as it is. Nearest is what takes the fewest facts; of these first what leads
 * towards an offer, then what is open rather than on record, then exclusions before criteria and red
 * flags.
 */
export function counterfactuals(assessed: AssessedChild, rules: RuleSet): Counterfactuals {
  const answers = answersOf(questions(assessed, rules))
  const now = outcomeUnder(answers, assessed, rules)
  const all = [
    ...ageSuppositions(assessed, rules.age),
    ...suppositions(assessed, rules),
    ...SIDES.flatMap((side) => footSuppositions(side, assessed, rules)),
    ...walkingSuppositions(assessed),
    ...(decide(answers) === 'suitable' ? redFlagSuppositions(assessed, rules) : []),
  ]
  const changes = all
    .filter((one) => mayMatter(one, answers))
    .flatMap((one) => changeBy(one, { assessed, answers, now }, rules) ?? [])
    .toSorted(
      (a, b) => a.facts.length - b.facts.length || place(a, answers, now) - place(b, answers, now),
    )
  const nearestFirst = firstOfEachAnswer(changes)
  return { changes: nearestFirst, because: nearestFirst[0]?.because ?? say('otherwise.none') }
}

function outcomeUnder(answers: Answers, assessed: AssessedChild, rules: RuleSet): Outcome {
  const decision = decide(answers)
  return outcomeOf(decision, decision === 'suitable' && isEstablished(assessed, rules))
}

const isEstablished = (assessed: AssessedChild, rules: RuleSet): boolean =>
  assessed.milestones.walksAlone.holds === 'yes' &&
  Object.values(RED_FLAG_RULES).every((flag) => flag(assessed, rules).holds !== 'yes')

/** Most answers cannot matter, whatever facts they take; what bears on two questions may. */
function mayMatter({ rule, answer, bearsOn }: Supposition, answers: Answers): boolean {
  if (rule === 'walks-alone' || rule in RED_FLAG_RULES) return true
  if (!isQuestion(rule) || answers[rule] === answer) return false
  return bearsOn.length > 1 || decide({ ...answers, [rule]: answer }) !== decide(answers)
}

interface Now {
  readonly assessed: AssessedChild
  readonly answers: Answers
  readonly now: Outcome
}

/** Undefined when the facts do not give the answer after all, or the outcome stays. */
function changeBy(
  { rule, answer, facts, words, bearsOn, found = {} }: Supposition,
  { assessed, answers, now }: Now,
  rules: RuleSet,
): Counterfactual | undefined {
  const child = facts.reduce((record, fact) => fact.put(record, assessed.asOf), assessed.child)
  const supposed = supposedChild(assessed, { child, found }, rules)
  const given: Record<QuestionId, Truth> = { ...answers }
  for (const question of bearsOn) given[question] = QUESTION_RULES[question](supposed, rules).holds
  if (holdsOf(rule, { assessed: supposed, answers: given }, rules) !== answer) return undefined
  const outcome = outcomeUnder(given, supposed, rules)
  if (outcome === now) return undefined
  return {
    rule,
    answer,
    facts: facts.map(({ fact, value }) => ({ fact, value })),
    outcome,
    because: say(`otherwise.${outcome}`, { condition: words }),
  }
}

/** The child as it would be found. A foot is looked at anew when it, or the age, is supposed. */
function supposedChild(
  assessed: AssessedChild,
  { child, found }: { readonly child: Child; readonly found: NonNullable<Supposition['found']> },
  rules: RuleSet,
): AssessedChild {
  const { ifPreterm, ...others } = { ...assessed, ...found, child }
  const { months } = others.ages
  const lookAt = (side: Side) =>
    child.feet[side] === assessed.child.feet[side] && months === assessed.ages.months
      ? assessed.posture[side]
      : footPosture(side, child.feet[side], months, rules.posture)
  return {
    ...others,
    posture: { ...assessed.posture, left: lookAt('left'), right: lookAt('right') },
    ...(child.gestationDays === 'unknown' && ifPreterm !== undefined && { ifPreterm }),
  }
}

function holdsOf(
  rule: Supposition['rule'],
  { assessed, answers }: Omit<Now, 'now'>,
  rules: RuleSet,
): Truth {
  if (rule === 'walks-alone') return assessed.milestones.walksAlone.holds
  return isQuestion(rule) ? answers[rule] : RED_FLAG_RULES[rule](assessed, rules).holds
}

const isQuestion = (rule: Supposition['rule']): rule is QuestionId => rule in QUESTION_RULES

const TOWARDS_AN_OFFER: readonly Outcome[] = [
  'unsuitable',
  'watch',
  'undetermined',
  'suitable-after-review',
  'suitable',
]

const ORDER: readonly Supposition['rule'][] = [
  'raised-tone',
  'flexible-foot.left',
  'flexible-foot.right',
  'fixed-calf.left',
  'fixed-calf.right',
  'skin-or-sensation.left',
  'skin-or-sensation.right',
  'age-in-range',
  'bears-weight',
  'low-tone',
  'excessive-pronation.left',
  'excessive-pronation.right',
  'functional-concern',
  'walks-alone',
]

/** The lower, the earlier. Red flags, which are in no list, come last, as they came. */
function place({ rule, outcome }: Counterfactual, answers: Answers, now: Outcome): number {
  const away = TOWARDS_AN_OFFER.indexOf(outcome) < TOWARDS_AN_OFFER.indexOf(now)
  const open = isQuestion(rule) && answers[rule] === 'unknown'
  const index = ORDER.includes(rule) ? ORDER.indexOf(rule) : ORDER.length
  return (away ? 4 : 0) * ORDER.length + (open ? 0 : 2) * ORDER.length + index
}

/** Of several ways to one answer only the nearest; what answers two questions is said once. */
function firstOfEachAnswer(changes: readonly Counterfactual[]): readonly Counterfactual[] {
  const seen = new Set<string>()
  return changes.filter(({ rule, answer, because }) => {
    const keys = [`${rule} ${answer}`, JSON.stringify(because)]
    const first = !keys.some((key) => seen.has(key))
    for (const key of keys) seen.add(key)
    return first
  })
}
