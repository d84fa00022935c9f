import { expect, test } from 'vitest'
import { civilDate } from '../../src/domain/calendar.ts'
import { visitOfDay } from '../../src/fhir/plan-progress.ts'

const visit = (on: string, isOpen = true) => ({ on: civilDate(on), isOpen })
/** Delivery, then 2 and 4 weeks later. */
const PLANNED = ['2026-03-01', '2026-03-15', '2026-03-29']

test.each([
  ['2026-02-20', '2026-03-01'],
  ['2026-03-08', '2026-03-01'],
  ['2026-03-09', '2026-03-15'],
  ['2026-04-20', '2026-03-29'],
])('a fit check on %s is the visit planned for %s', (day, expected) => {
  const found = visitOfDay(
    PLANNED.map((on) => visit(on)),
    civilDate(day),
  )

  expect(found?.on).toBe(expected)
})

test('a second fit check beside a visit that has taken place does not use up the next', () => {
  const planned = [visit('2026-03-01', false), visit('2026-03-15')]

  expect(visitOfDay(planned, civilDate('2026-03-03'))).toBeUndefined()
})

test('without planned visits none has taken place', () => {
  expect(visitOfDay([], civilDate('2026-03-03'))).toBeUndefined()
})
