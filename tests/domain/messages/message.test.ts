import { expect, test } from 'vitest'
import { percent, say, together } from '../../../src/domain/messages/message.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'

const en = speaker('en')

test.each([
  [0, 'under 0.1 %'],
  [0.000_49, 'under 0.1 %'],
  [0.000_51, '0.1 %'],
  [0.999_49, '99.9 %'],
  [0.999_51, 'over 99.9 %'],
  [1, 'over 99.9 %'],
])('a probability of %s is never certain: %s', (probability, words) => {
  expect(en.therapist(percent(probability))).toBe(words)
})

test('messages one after another are sentences with a space between', () => {
  const running = say('skill.running')

  expect(en.therapist(together([running, running]))).toBe('running running')
  expect(together([running])).toBe(running)
  expect(en.therapist(together([]))).toBe('')
})
