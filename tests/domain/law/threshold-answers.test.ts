import { expect, test } from 'vitest'
import { STATE_THRESHOLDS } from '../../../src/domain/tables/state-thresholds.ts'
import {
  type CriterionAnswer,
  THRESHOLD_ANSWERS,
  thresholdWords,
} from '../../../src/domain/law/threshold-answers.ts'

const answer = (known: Partial<CriterionAnswer>): CriterionAnswer => ({
  number: '25 % delay in one domain',
  domains: 1,
  holds: 'yes',
  answer: 'reaches the published number',
  ...known,
})

function wordsOf(state: string, ...answers: readonly CriterionAnswer[]): string {
  const row = STATE_THRESHOLDS[state]
  if (row === undefined) throw new Error('no such state')
  return thresholdWords(row, answers)
}

test('the answer has two phrases, and unknown', () => {
  expect(Object.values(THRESHOLD_ANSWERS)).toEqual([
    'reaches the published number',
    'does not reach the published number',
    'unknown',
  ])
})

test('each number is told with its answer, its probability and the day of the text', () => {
  const answers = [
    answer({ holds: 'no', probability: 0.425 }),
    answer({ number: '1.5 SD below the mean in one domain', holds: 'unknown' }),
  ]

  expect(wordsOf('IA', ...answers)).toBe(
    'Iowa, gross motor delay: does not reach the published number of 25 % delay in one domain, with a probability of 42.5 % by milestones; whether it reaches the published number of 1.5 SD below the mean in one domain is unknown (text of: 2012-05-23)',
  )
})

test.each([
  ['yes', 'and reaches what is printed as a standard score on another page'],
  ['no', 'and does not reach what is printed as a standard score on another page'],
  ['unknown', 'and may or may not reach what is printed as a standard score on another page'],
] as const)('a printed score that arithmetic does not give is told: %s', (holds, words) => {
  expect(wordsOf('PA', answer({ printedScore: holds }))).toContain(words)
})

test('a number not read in the rule of the state says so', () => {
  expect(wordsOf('DE', answer({}))).toContain('(text of: undated, not confirmed in the rule')
  expect(wordsOf('WA', answer({}))).not.toContain('not confirmed')
})
