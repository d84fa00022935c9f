import type { StateThreshold } from '../tables/state-threshold.ts'
import type { Truth } from '../truth.ts'
import { percentText } from '../wording.ts'

/** The only words for an answer: a number is reached or not; whether a child is served is not ours. */
export const THRESHOLD_ANSWERS = {
  yes: 'reaches the published number',
  no: 'does not reach the published number',
  unknown: 'unknown',
} as const satisfies Record<Truth, string>
export type ThresholdAnswer = (typeof THRESHOLD_ANSWERS)[Truth]

export interface CriterionAnswer {
  readonly number: string
  readonly domains: 1 | 2
  /** In this domain; a number for two domains needs another one besides. */
  readonly holds: Truth
  readonly answer: ThresholdAnswer
  /** Probability by the milestones that the number is reached, 0 to 1. */
  readonly probability?: number
  /** Where a page prints a score that arithmetic does not give: whether that is reached. */
  readonly printedScore?: Truth
}

/** What a gross motor delay reaches of the numbers of a state, with the day of the text. */
export function thresholdWords(
  { name, asOf, confirmed }: StateThreshold,
  all: readonly CriterionAnswer[],
): string {
  const basis = confirmed ? '' : ', not confirmed in the rule of the state'
  return `${name}, gross motor delay: ${all.map(answerWords).join('; ')} (text of: ${asOf}${basis})`
}

function answerWords({ holds, number, probability, printedScore }: CriterionAnswer): string {
  const told =
    holds === 'unknown'
      ? `whether it reaches the published number of ${number} is unknown`
      : `${THRESHOLD_ANSWERS[holds]} of ${number}`
  const chance =
    probability === undefined
      ? ''
      : `, with a probability of ${percentText(probability)} by milestones`
  const printed =
    printedScore === undefined
      ? ''
      : `, and ${PRINTED_ANSWERS[printedScore]} as a standard score on another page`
  return `${told}${chance}${printed}`
}

const PRINTED_ANSWERS = {
  yes: 'reaches what is printed',
  no: 'does not reach what is printed',
  unknown: 'may or may not reach what is printed',
} as const satisfies Record<Truth, string>
