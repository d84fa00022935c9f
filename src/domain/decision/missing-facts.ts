import type { Answers, Decision, QuestionId } from './decision.ts'
import { decide, exclusionsHold, QUESTIONS } from './decision.ts'
import type { MissingFact } from './suitability.ts'
import { anyOf } from '../truth.ts'

/**
 * What is still to be asked before the outcome is known? Empty unless it is undetermined.
 *
 * Every open question is answered `yes` and `no`, in all combinations, and each combination is
 * decided. A question settles the outcome of a combination when the other answer to this question
 * alone would give another outcome. `decides` is the share of combinations that it settles; a question
 * that settles none cannot matter and is not asked. Most decisive first, then in the order of
 * QUESTIONS. At most 13 are open, hence 8,192 combinations.
 */
export function missingFacts(
  answers: Answers,
  facts: Readonly<Record<QuestionId, readonly string[]>>,
): readonly MissingFact[] {
  if (decide(answers) !== 'undetermined') return []
  const open = QUESTIONS.filter((question) => answers[question] === 'unknown')
  const decisions = decideAll(answers, open)
  return open
    .map((rule, index) => ({ rule, decides: shareSettled(decisions, index), facts: facts[rule] }))
    .filter(({ decides }) => decides > 0)
    .toSorted((a, b) => b.decides - a.decides)
    .map((missing) => ({ ...missing, because: `It is open ${ASKS[missing.rule]}` }))
}

/**
 * The decision of every combination; one bit per open question, set is `yes`.
 *
 * Questions are answered one after the other, those of the exclusions first, and a decision that no
 * further answer can change stands for all combinations of the rest.
 */
function decideAll(answers: Answers, open: readonly QuestionId[]): readonly Decision[] {
  const decisions: Decision[] = []
  const given = { ...answers }
  const answerRest = (count: number) => {
    const question = open[count - 1]
    if (question === undefined || isFinal(given)) {
      const decision = decide(given)
      for (let rest = 0; rest < 1 << count; rest++) decisions.push(decision)
      return
    }
    given[question] = 'no'
    answerRest(count - 1)
    given[question] = 'yes'
    answerRest(count - 1)
    given[question] = 'unknown'
  }
  answerRest(open.length)
  return decisions
}

/** Only an exclusion changes what is to be watched; what is suitable or unsuitable stays so. */
function isFinal(answers: Answers): boolean {
  const decision = decide(answers)
  if (decision !== 'watch') return decision !== 'undetermined'
  return anyOf(Object.values(exclusionsHold(answers))) === 'no'
}

function shareSettled(decisions: readonly Decision[], index: number): number {
  let settled = 0
  for (let combination = 0; combination < decisions.length; combination++)
    if (decisions[combination] !== decisions[combination ^ (1 << index)]) settled++
  return settled / decisions.length
}

const ASKS: Readonly<Record<QuestionId, string>> = {
  'age-in-range': 'whether the age lies in the range of the clinic',
  'bears-weight': 'whether the child bears weight',
  'low-tone': 'whether tone is low',
  'excessive-pronation.left': 'whether the left foot is excessively pronated in standing',
  'excessive-pronation.right': 'whether the right foot is excessively pronated in standing',
  'flexible-foot.left': 'whether the left foot corrects',
  'flexible-foot.right': 'whether the right foot corrects',
  'functional-concern': 'whether function gives concern',
  'raised-tone': 'whether tone is raised at the calf',
  'fixed-calf.left': 'whether the left ankle reaches neutral',
  'fixed-calf.right': 'whether the right ankle reaches neutral',
  'skin-or-sensation.left': 'whether skin and feeling of the left foot are sound',
  'skin-or-sensation.right': 'whether skin and feeling of the right foot are sound',
}
