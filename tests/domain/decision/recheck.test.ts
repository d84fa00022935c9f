import { expect, test } from 'vitest'
import { civilDate } from '../../../src/domain/calendar.ts'
import { recheckOn } from '../../../src/domain/decision/recheck.ts'
import { say } from '../../../src/domain/messages/message.ts'
import type { Tempo } from '../../../src/domain/development/tempo.ts'
import { agesAt, noTempo, tempoWith, TODAY } from '../../helpers/findings.ts'
import { RULES } from '../../helpers/rules.ts'

const expecting = (...medians: string[]) =>
  tempoWith({
    expected: medians.map((median) => ({
      milestone: 'walking-alone',
      median: civilDate(median),
      earliest: civilDate(median),
      because: say('caution.decision-support'),
    })),
  })
const recheck = (tempo: Tempo, age = 20) =>
  recheckOn({ asOf: TODAY, ages: agesAt(age), tempo }, RULES)

test('the next milestone that is expected sets the day', () => {
  expect(recheck(expecting('2026-06-15', '2026-05-10'))).toBe('2026-05-10')
})

test('not sooner than 28 days and not later than 182', () => {
  expect(recheck(expecting('2026-03-28'))).toBe('2026-03-29')
  expect(recheck(expecting('2026-03-30'))).toBe('2026-03-30')
  expect(recheck(expecting('2026-08-29'))).toBe('2026-08-29')
  expect(recheck(expecting('2026-12-01'))).toBe('2026-08-30')
})

test('without an expected milestone growth sets it: 3 months under 3 years, then 6 at most', () => {
  expect(recheck(noTempo('no-observations'))).toBe('2026-06-01')
  expect(recheck(expecting(), 35.9)).toBe('2026-06-01')
  expect(recheck(expecting(), 36)).toBe('2026-08-30')
})

test('a child below the age is looked at on the first day within it', () => {
  // One month is 30.4375 days, so the 31st day is the first.
  expect(recheck(expecting('2026-05-10'), 5)).toBe('2026-04-01')
  expect(recheck(noTempo('no-observations'), 5.99)).toBe('2026-03-02')
  expect(recheck(expecting('2026-05-10'), 6)).toBe('2026-05-10')
})

test('a child above the age gets no re-check here', () => {
  expect(recheck(expecting('2026-05-10'), 72)).toBe('2026-05-10')
  expect(recheck(expecting('2026-05-10'), 72.1)).toBeUndefined()
})
