import * as fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import { addDays, civilDate, daysBetween } from '../../../src/domain/calendar.ts'
import {
  dated,
  deadline,
  forInformation,
  undated,
  weekdayOf,
  withWeekday,
  workingTarget,
} from '../../../src/domain/law/law-date.ts'
import { SETTINGS } from '../../helpers/law-dates.ts'

const anyDay = fc.integer({ min: 0, max: 40_000 }).map((n) => addDays(civilDate('1990-01-01'), n))
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
  const day = deadline(told, civilDate('2026-05-30'), 'due', SETTINGS)

  expect(day.because).toBe('For information: due 2026-05-30 (Sat); work towards 2026-05-29 (Fri)')
  expect(day).toMatchObject({ on: '2026-05-30', workingTarget: '2026-05-29', counted: SETTINGS })
})

test('a day that is no deadline has nothing to work towards', () => {
  const day = dated(told, civilDate('2026-05-30'), 'opens', SETTINGS)

  expect(day).toMatchObject({ holds: 'yes', because: 'For information: opens 2026-05-30 (Sat)' })
  expect(day).not.toHaveProperty('workingTarget')
})

test('without a day there is a reason', () => {
  expect(undated(told, 'unknown', 'nothing is on record')).toEqual({
    ...told,
    holds: 'unknown',
    because: forInformation('nothing is on record'),
  })
  expect(withWeekday(civilDate('2026-05-30'))).toBe('2026-05-30 (Sat)')
})
