import type { Answers, Decision, QuestionId } from './decision.ts'
import { decide, exclusionsHold, QUESTIONS } from './decision.ts'
import { type Message, say } from '../messages/message.ts'
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
    .map((missing) => ({ ...missing, because: ASKS[missing.rule] }))
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

const LEFT = { side: 'left' }
const RIGHT = { side: 'right' }

const ASKS: Readonly<Record<QuestionId, Message>> = {
  'age-in-range': say('open-question.age-in-range'),
  'bears-weight': say('open-question.bears-weight'),
  'low-tone': say('open-question.low-tone'),
  'excessive-pronation.left': say('open-question.excessive-pronation', LEFT),
  'excessive-pronation.right': say('open-question.excessive-pronation', RIGHT),
  'flexible-foot.left': say('open-question.flexible-foot', LEFT),
  'flexible-foot.right': say('open-question.flexible-foot', RIGHT),
  'functional-concern': say('open-question.functional-concern'),
  'raised-tone': say('open-question.raised-tone'),
  'fixed-calf.left': say('open-question.fixed-calf', LEFT),
  'fixed-calf.right': say('open-question.fixed-calf', RIGHT),
  'skin-or-sensation.left': say('open-question.skin-or-sensation', LEFT),
  'skin-or-sensation.right': say('open-question.skin-or-sensation', RIGHT),
}
