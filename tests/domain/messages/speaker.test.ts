import { assert, integer, property } from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import { addDays, civilDate } from '../../../src/domain/calendar.ts'
import { day, percent, say } from '../../../src/domain/messages/message.ts'
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

test('a day is written as the calendar library writes it', () => {
  const anyDay = integer({ min: 0, max: 60_000 }).map((n) => addDays(civilDate('1950-01-01'), n))

  assert(
    property(anyDay, (on) => {
      const values = { on: day(on), weekday: '' }
      for (const { language, therapist } of [en, es])
        expect(therapist(say('part-c.work-towards', values))).toContain(
          Temporal.PlainDate.from(on).toLocaleString(language, { dateStyle: 'long' }),
        )
    }),
  )
})
