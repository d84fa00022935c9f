import * as fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import { addDays, civilDate, daysBetween } from '../../../src/domain/calendar.ts'
import {
  dated,
  deadline,
  undated,
  weekdayOf,
  workingTarget,
} from '../../../src/domain/law/law-date.ts'
import { say } from '../../../src/domain/messages/message.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { SETTINGS } from '../../helpers/law-dates.ts'

const anyDay = fc.integer({ min: 0, max: 40_000 }).map((n) => addDays(civilDate('1990-01-01'), n))
const english = speaker('en')
const spanish = speaker('es')
const WORDS = say('part-c.third-birthday.yes')
const told = { rule: 'a-rule', sources: ['idea-303-9'], evidence: [] } as const

test('the weekday is the one of the calendar library', () => {
  const names = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun']

  fc.assert(
    fc.property(anyDay, (day) => {
      expect(weekdayOf(day)).toBe(names[Temporal.PlainDate.from(day).dayOfWeek - 1])
    }),
  )
})

test.each([
  ['2026-05-29', 'a Friday', '2026-05-29'],
  ['2026-05-30', 'a Saturday', '2026-05-29'],
  ['2026-05-31', 'a Sunday', '2026-05-29'],
  ['2026-06-01', 'a Monday', '2026-06-01'],
])('the working target of %s, %s, is %s', (day, _weekday, target) => {
  expect(workingTarget(civilDate(day), SETTINGS)).toBe(target)
})

test('a clinic may work towards the day itself', () => {
  const settings = { ...SETTINGS, workingTarget: 'same-day' } as const

  expect(workingTarget(civilDate('2026-05-30'), settings)).toBe('2026-05-30')
})

test('a working target never lies after the deadline, nor more than two days before', () => {
  fc.assert(
    fc.property(anyDay, (day) => {
      const early = daysBetween(workingTarget(day, SETTINGS), day)

      expect(early >= 0 && early <= 2).toBe(true)
    }),
  )
})

test('a deadline on a weekend names the day to work towards', () => {
  const day = deadline(told, civilDate('2026-05-30'), WORDS, SETTINGS)

  expect(english.therapist(day.because)).toBe(
    'For information: early intervention ends at the third birthday: Saturday, May 30, 2026. That is no working day: work towards Friday, May 29, 2026.',
  )
  expect(english.family(day.because)).toMatch(
    /That day is on a weekend, so plan with Friday, May 29, 2026\.$/,
  )
  expect(spanish.therapist(day.because)).toBe(
    'A título informativo: la intervención temprana termina al cumplir tres años: sábado 30 de mayo de 2026. No es un día laborable: trabajar con miras al viernes 29 de mayo de 2026.',
  )
  expect(day).toMatchObject({ on: '2026-05-30', workingTarget: '2026-05-29', counted: SETTINGS })
})

test('a day that is no deadline has nothing to work towards', () => {
  const day = dated(told, civilDate('2026-05-30'), WORDS, SETTINGS)

  expect(english.therapist(day.because)).toMatch(/third birthday: Saturday, May 30, 2026\.$/)
  expect(day).not.toHaveProperty('workingTarget')
})

test('without a day there is a reason', () => {
  const why = say('part-c.third-birthday.unknown')

  expect(undated(told, 'unknown', why)).toEqual({ ...told, holds: 'unknown', because: why })
})

test('each day of the week is told in both languages', () => {
  const week = Array.from({ length: 7 }, (_, index) => addDays(civilDate('2026-05-25'), index))
  const said = week.map((on) => deadline(told, on, WORDS, SETTINGS).because)

  expect(faultsInVoices(said)).toEqual([])
  expect(said.map((one) => /: (\w+), May/.exec(english.therapist(one))?.[1])).toEqual([
    'Monday',
    'Tuesday',
    'Wednesday',
    'Thursday',
    'Friday',
    'Saturday',
    'Sunday',
  ])
  expect(said.map((one) => /años: (\p{L}+) /u.exec(spanish.therapist(one))?.[1])).toEqual([
    'lunes',
    'martes',
    'miércoles',
    'jueves',
    'viernes',
    'sábado',
    'domingo',
  ])
})
