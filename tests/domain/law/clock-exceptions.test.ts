import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { addDays, civilDate, daysBetween } from '../../../src/domain/calendar.ts'
import { type ClockException, excludedDays } from '../../../src/domain/law/clock-exceptions.ts'
import { exception } from '../../helpers/law-dates.ts'

const RECEIVED = civilDate('2026-06-01')
const BASE = civilDate('2026-07-16')

const excluded = (...exceptions: readonly ClockException[]) =>
  excludedDays(exceptions, RECEIVED, BASE)

test('no exception moves nothing', () => {
  expect(excluded()).toStrictEqual({ days: 0, until: BASE })
})

test('the day of receipt does not count, the day after it does', () => {
  expect(excluded(exception('2026-05-20', '2026-06-01'))).toEqual({ days: 0, until: BASE })
  expect(excluded(exception('2026-05-20', '2026-06-02'))).toEqual({
    days: 1,
    until: '2026-07-17',
    lastEnd: '2026-06-02',
  })
})

test('a period that begins on the deadline counts, one that begins the day after does not', () => {
  expect(excluded(exception('2026-07-16', '2026-07-20'))).toMatchObject({ days: 5 })
  expect(excluded(exception('2026-07-17', '2026-07-20'))).toEqual({ days: 0, until: BASE })
})

test('a deadline that has moved reaches a period that it did not reach before', () => {
  const both = [exception('2026-06-20', '2026-07-04'), exception('2026-07-28', '2026-07-29')]

  expect(excluded(...both)).toEqual({ days: 17, until: '2026-08-02', lastEnd: '2026-07-29' })
})

test('a day in two periods counts once', () => {
  const both = [exception('2026-06-20', '2026-06-25'), exception('2026-06-23', '2026-06-27')]

  expect(excluded(...both)).toMatchObject({ days: 8 })
})

test('a period within another adds nothing', () => {
  const both = [exception('2026-06-20', '2026-06-30'), exception('2026-06-22', '2026-06-23')]

  expect(excluded(...both)).toMatchObject({ days: 11, lastEnd: '2026-06-30' })
})

test('what the text does not name is no exception, documented or not', () => {
  const relatives = exception('2026-06-20', '2026-07-04', { kind: 'other' })

  expect(excluded(relatives)).toEqual({ days: 0, until: BASE })
})

test.each([
  ['not known to be documented', exception('2026-06-20', '2026-07-04', { documented: 'unknown' })],
  ['without a known end', exception('2026-06-20', '2026-07-04', { end: 'unknown' })],
  ['that ends before it begins', exception('2026-07-04', '2026-06-20')],
])('a period %s leaves the days unknown', (_title, one) => {
  expect(excluded(one)).toBe('unknown')
})

test.each([
  ['before the receipt', exception('2026-05-01', '2026-05-20', { documented: 'unknown' })],
  ['after the deadline', exception('2026-07-17', '2026-07-20', { documented: 'unknown' })],
  ['open, after the deadline', exception('2026-07-17', '2026-07-20', { end: 'unknown' })],
  ['reversed, after the deadline', exception('2026-07-20', '2026-07-17')],
])('a doubtful period %s changes nothing', (_title, one) => {
  expect(excluded(one)).toEqual({ days: 0, until: BASE })
})

test('a doubtful period on the day of receipt changes nothing, on the day after it does', () => {
  const doubtful = (end: string) => exception('2026-06-01', end, { documented: 'unknown' })

  expect(excluded(doubtful('2026-06-01'))).toEqual({ days: 0, until: BASE })
  expect(excluded(doubtful('2026-06-02'))).toBe('unknown')
  expect(excluded(exception('2026-07-16', '2026-07-20', { end: 'unknown' }))).toBe('unknown')
})

test('a doubtful period on the deadline, or reversed and reaching the clock, leaves it open', () => {
  const doubtful = exception('2026-07-16', '2026-07-20', { documented: 'unknown' })

  expect(excluded(doubtful)).toBe('unknown')
  expect(excluded(exception('2026-07-20', '2026-07-10'))).toBe('unknown')
  expect(excluded(exception('2026-06-10', '2026-05-20'))).toBe('unknown')
})

const anyException = fc
  .record({ start: fc.integer({ min: -30, max: 90 }), length: fc.integer({ min: 0, max: 40 }) })
  .map(({ start, length }) =>
    exception(addDays(RECEIVED, start), addDays(RECEIVED, start + length)),
  )
const anyExceptions = fc.array(anyException, { maxLength: 5 })

test('the excluded days are those between receipt and deadline that lie in a period, one by one', () => {
  fc.assert(
    fc.property(anyExceptions, (exceptions) => {
      const answer = excludedDays(exceptions, RECEIVED, BASE)
      if (answer === 'unknown') throw new Error('every period is known')
      const days = Array.from({ length: daysBetween(RECEIVED, answer.until) }, (_, index) =>
        addDays(RECEIVED, index + 1),
      )
      const within = days.filter((day) =>
        exceptions.some(({ start, end }) => start <= day && day <= end),
      )

      expect(answer.days).toBe(within.length)
      expect(answer.until).toBe(addDays(BASE, within.length))
    }),
  )
})

test('the order of the periods does not matter', () => {
  fc.assert(
    fc.property(anyExceptions, (exceptions) => {
      expect(excludedDays(exceptions.toReversed(), RECEIVED, BASE)).toEqual(
        excludedDays(exceptions, RECEIVED, BASE),
      )
    }),
  )
})

test('one more documented period never brings a deadline forward', () => {
  fc.assert(
    fc.property(anyExceptions, anyException, (exceptions, one) => {
      const before = excludedDays(exceptions, RECEIVED, BASE)
      const after = excludedDays([...exceptions, one], RECEIVED, BASE)

      expect(before !== 'unknown' && after !== 'unknown' && after.until >= before.until).toBe(true)
    }),
  )
})
