import { civilDate } from '../calendar.ts'
import {
  day,
  type Message,
  percent,
  type Said,
  say,
  together,
  type Values,
} from '../messages/message.ts'
import type { StateThreshold } from '../tables/state-threshold.ts'
import type { Truth } from '../truth.ts'

/** The only words for an answer: a number is reached or not; whether a child is served is not ours. */
export const thresholdAnswer = (holds: Truth): Said => say(`threshold-answer.${holds}`)

export interface CriterionAnswer {
  /** The number in words. */
  readonly number: Said
  readonly domains: 1 | 2
  /** In this domain; a number for two domains needs another one besides. */
  readonly holds: Truth
  /** Probability by the milestones that the number is reached, 0 to 1. */
  readonly probability?: number
  /** Where a page prints a score that arithmetic does not give: whether that is reached. */
  readonly printedScore?: Truth
}

/** What a gross motor delay reaches of the numbers of a state, with the day of the text. */
export const thresholdWords = (
  { name, asOf, confirmed }: StateThreshold,
  all: readonly CriterionAnswer[],
): Message =>
  together([
    say('state-threshold.about', {
      state: name,
      confirmed: confirmed ? 'yes' : 'no',
      ...textOf(asOf),
    }),
    ...all.flatMap(answerWords),
  ])

/** Of when a text is, to the day, the month or the year; or that it bears no date. */
function textOf(asOf: string): Values {
  if (asOf.startsWith('undated')) return { text: 'undated', asOf: '' }
  const isDay = asOf.length === 'YYYY-MM-DD'.length
  return { text: 'dated', asOf: isDay ? day(civilDate(asOf)) : asOf }
}

const answerWords = ({ number, holds, probability, printedScore }: CriterionAnswer): Said[] => [
  say(`state-number.${holds}`, { number }),
  ...(probability === undefined
    ? []
    : [say('state-chance.by-milestones', { chance: percent(probability) })]),
  ...(printedScore === undefined ? [] : [say(`state-printed.${printedScore}`)]),
]
