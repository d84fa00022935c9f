import { assert, integer, property } from 'fast-check'
import { expect, test } from 'vitest'
import { addDays, civilDate } from '../../../src/domain/calendar.ts'
import { overdueFollowUp, type PlannedVisit } from '../../../src/domain/referral/follow-up-timer.ts'
import { RULES } from '../../helpers/rules.ts'

// Visits of a plan 2, 4, 6 and 12 weeks after a delivery. The limit of 7 days is a judgement of the rule set.

const DELIVERED = civilDate('2026-03-02')
const after = (days: number) => addDays(DELIVERED, days)
const visits = (...done: readonly number[]): PlannedVisit[] =>
  [14, 28, 42, 84].map((days) => ({
    on: after(days),
    isOpen: !done.includes(days),
    isDone: done.includes(days),
  }))
const told = (of: readonly PlannedVisit[], days: number) =>
  overdueFollowUp(of, after(days), RULES).map(({ timer, due, occasion }) => [timer, due, occasion])

test('a visit that nobody tells of is overdue a week and a day later', () => {
  expect(told(visits(), 21)).toEqual([])
  expect(told(visits(), 22)).toEqual([['overdue-visit', after(14), `follow-up ${after(14)}`]])
})

test('of several that went by the first is told; one that took place answers for those before it', () => {
  expect(told(visits(), 300)).toEqual([['overdue-visit', after(14), `follow-up ${after(14)}`]])
  expect(told(visits(28), 49)).toEqual([])
  expect(told(visits(28), 50)).toEqual([['overdue-visit', after(42), `follow-up ${after(42)}`]])
})

test('without a plan, with every visit done or given up, nothing is overdue', () => {
  expect(told([], 300)).toEqual([])
  expect(told(visits(14, 28, 42, 84), 300)).toEqual([])
  expect(told([{ on: after(14), isOpen: false, isDone: false }], 300)).toEqual([])
})

test('what is overdue on a day is overdue on every later day', () => {
  assert(
    property(integer({ min: 0, max: 200 }), integer({ min: 0, max: 200 }), (days, more) => {
      const before = told(visits(14), days)
      const later = told(visits(14), days + more)
      return before.length === 0 || JSON.stringify(later) === JSON.stringify(before)
    }),
  )
  expect(told(visits(14), 36)).toHaveLength(1)
})
