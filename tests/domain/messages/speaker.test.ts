import { expect, test } from 'vitest'
import { percent, say } from '../../../src/domain/messages/message.ts'
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
