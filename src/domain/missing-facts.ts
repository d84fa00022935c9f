import type { Answers, Decision, QuestionId } from './decision.ts'
import { decide, QUESTIONS } from './decision.ts'
import type { MissingFact } from './suitability.ts'

/**
 * What is still to be asked before the outcome is known? Empty unless it is undetermined.
 *
 * Every open question is answered `yes` and `no`, in all combinations, and each combination is
 * decided. A question settles the outcome of a combination when the other answer to this question
 * alone would give another outcome. `decides` is the share of combinations that it settles; a question
 * that settles none cannot matter and is not asked. Most decisive first, then in the order of
 * QUESTIONS. The age is never open, so there are at most 2 to the power of 12 combinations.
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

/** The decision of every combination; one bit per open question, set is `yes`. */
function decideAll(answers: Answers, open: readonly QuestionId[]): readonly Decision[] {
  const complete = { ...answers }
  return Array.from({ length: 1 << open.length }, (_, combination) => {
    for (const [index, question] of open.entries())
      complete[question] = (combination & (1 << index)) === 0 ? 'no' : 'yes'
    return decide(complete)
  })
}

function shareSettled(decisions: readonly Decision[], index: number): number {
  const settled = decisions.filter(
    (decision, combination) => decision !== decisions[combination ^ (1 << index)],
  )
  return settled.length / decisions.length
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
