import { expect, test } from 'vitest'
import { civilDate } from '../../../src/domain/calendar.ts'
import { day, percent, say, together } from '../../../src/domain/messages/message.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'

const en = speaker('en')
const es = speaker('es')

test('a message is said in the language and to the reader', () => {
  const cruising = say('skill.cruising')

  expect(en.therapist(cruising)).toBe('cruising')
  expect(en.family(cruising)).toBe('walking sideways along furniture')
  expect(es.therapist(cruising)).toBe('marcha lateral con apoyo')
  expect(es.family(cruising)).toBe('caminar de lado agarrado a los muebles')
})

test('a term that both readers share is said to both', () => {
  expect(en.family(say('skill.running'))).toBe(en.therapist(say('skill.running')))
})

test('numbers follow the language', () => {
  expect(en.therapist(percent(0.425))).toBe('42.5 %')
  expect(es.therapist(percent(0.425))).toBe('42,5 %')
})

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

test('a day is written out', () => {
  const running = say('skill.running', { on: day(civilDate('2026-03-02')) })

  expect(en.therapist(running)).toBe('running')
})
