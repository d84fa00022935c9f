import { expect, test } from 'vitest'
import { say } from '../../../src/domain/messages/message.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { STATE_THRESHOLDS } from '../../../src/domain/tables/state-thresholds.ts'
import { TRUTHS } from '../../../src/domain/truth.ts'
import {
  type CriterionAnswer,
  thresholdAnswer,
  thresholdWords,
} from '../../../src/domain/law/threshold-answers.ts'

const english = speaker('en')
const number = (percent: number) => say('state-criterion.percent-delay', { percent, domains: 1 })

const answer = (known: Partial<CriterionAnswer>): CriterionAnswer => ({
  number: number(25),
  domains: 1,
  holds: 'yes',
  ...known,
})

function wordsOf(state: string, ...answers: readonly CriterionAnswer[]): string {
  const row = STATE_THRESHOLDS[state]
  if (row === undefined) throw new Error('no such state')
  return english.therapist(thresholdWords(row, answers))
}

test('a text of a month or a year is told as it is', () => {
  expect(wordsOf('AL')).toContain('(text of: 2014-10)')
  expect(wordsOf('CO')).toContain('(text of: 2020, not confirmed')
})

test('the answer has two phrases, and unknown', () => {
  const phrases = TRUTHS.map((holds) => english.therapist(thresholdAnswer(holds)))

  expect(phrases).toEqual([
    'reaches the published number',
    'does not reach the published number',
    'unknown',
  ])
})

test('each number is told with its answer, its probability and the day of the text', () => {
  const answers = [
    answer({ holds: 'no', probability: 0.425 }),
    answer({
      number: say('state-criterion.sd-below-mean', { sd: 1.5, domains: 2 }),
      holds: 'unknown',
    }),
  ]

  expect(wordsOf('IA', ...answers)).toBe(
    'For information: gross motor delay and the numbers that Iowa publishes (text of: May 23, 2012). It does not reach the published number of 25 % delay in one domain. By milestones, the probability of reaching it is 42.5 %. Whether it reaches the published number of 1.5 SD below the mean in two domains is unknown.',
  )
})

test.each([
  ['yes', 'It reaches what is printed as a standard score on another page.'],
  ['no', 'It does not reach what is printed as a standard score on another page.'],
  ['unknown', 'It may or may not reach what is printed as a standard score on another page.'],
] as const)('a printed score that arithmetic does not give is told: %s', (holds, words) => {
  expect(wordsOf('PA', answer({ printedScore: holds }))).toContain(words)
})

test('a number not read in the rule of the state says so', () => {
  expect(wordsOf('DE', answer({}))).toContain(
    '(text undated, not confirmed in the rule of the state)',
  )
  expect(wordsOf('IL', answer({}))).toContain('(text undated, not confirmed')
  expect(wordsOf('NJ', answer({}))).toContain('(text undated).')
  expect(wordsOf('WA', answer({}))).not.toContain('not confirmed')
})
