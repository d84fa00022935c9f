import * as fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import { addDays, civilDate, daysBetween } from '../../../src/domain/calendar.ts'
import { reached, refit } from '../../../src/domain/device/growth.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { millimetres, months } from '../../../src/domain/units.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { AS_OF, footMeasure } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'

const growing = (mm: number, age: number, limit: number) => ({
  lengths: [footMeasure(mm)],
  asOf: AS_OF,
  age: months(age),
  limit: millimetres(limit),
})
const daysUntil = (date: string | undefined) => daysBetween(AS_OF, civilDate(date ?? ''))
const known = (forecast: ReturnType<typeof refit>) => {
  if (forecast === 'unknown') throw new Error('the test expects a forecast')
  return forecast
}

test('six mm of room at 18 months last 2.9 to 4.3 months, as worked from Gould 1990', () => {
  const forecast = known(refit(growing(122.7, 18, 131.7), RULES))

  expect(Math.abs(daysUntil(forecast.earliest) - 86)).toBeLessThanOrEqual(2)
  expect(Math.abs(daysUntil(forecast.latest) - 130)).toBeLessThanOrEqual(2)
  expect(forecast.rateFrom).toBe('age-curve')
})

test('the median follows the curve: from 122.7 mm at 18 months to 132.6 mm at 24 months', () => {
  const forecast = known(refit(growing(122.7, 18, 135.6), RULES))

  expect(Math.abs(daysUntil(forecast.median) - 183)).toBeLessThanOrEqual(2)
})

test('a child whose feet are a tenth longer grows a tenth faster', () => {
  const forecast = known(refit(growing(122.7 * 1.1, 18, 150), RULES))

  expect(forecast.ratePerMonthMm).toBeCloseTo(1.79 * 1.1, 2)
})

test('a foot that has reached the limit less the reserve is refitted today, not earlier', () => {
  const reached = known(refit(growing(129, 18, 132), RULES))
  const below = known(refit(growing(128.9, 18, 132), RULES))
  const old = { ...growing(129, 18, 132), lengths: [footMeasure(129, '2025-12-01')] }

  expect(reached).toMatchObject({ median: AS_OF, earliest: AS_OF, latest: AS_OF })
  expect(below.median).not.toBe(AS_OF)
  expect(known(refit(old, RULES)).median).toBe(AS_OF)
})

const twice = (days: number, first = 120, second = 124) => ({
  ...growing(second, 18, 134),
  lengths: [footMeasure(first, addDays(AS_OF, -days)), footMeasure(second)],
})

test('two measures at least 42 days apart give the own rate', () => {
  expect(known(refit(twice(42), RULES)).rateFrom).toBe('own-measurements')
  expect(known(refit(twice(42), RULES)).ratePerMonthMm).toBeCloseTo(2.9, 1)
  expect(known(refit(twice(41), RULES)).rateFrom).toBe('age-curve')
})

test('measures that shrink, or differ in loading, give no own rate', () => {
  const unloaded = footMeasure(120, '2025-12-01', 'unloaded')
  const mixed = { ...twice(90), lengths: [unloaded, footMeasure(124)] }

  expect(known(refit(twice(90, 124, 124), RULES)).rateFrom).toBe('age-curve')
  expect(known(refit(mixed, RULES)).rateFrom).toBe('age-curve')
})

test('the forecast names the measurements that it rests on', () => {
  expect(known(refit(twice(90), RULES)).evidence).toHaveLength(2)
  expect(known(refit(growing(124, 18, 134), RULES)).evidence).toHaveLength(1)
})

test('beyond 24 months, or beyond the end of the curve, there is no date', () => {
  const far = known(refit(growing(122.7, 18, 200), RULES))
  const atTheEnd = known(refit(growing(186, 81, 200), RULES))

  expect(far).not.toHaveProperty('earliest')
  expect(far).not.toHaveProperty('median')
  expect(far).not.toHaveProperty('latest')
  expect(atTheEnd).not.toHaveProperty('median')
})

test('without a length, with one only after the day, or outside the ages there is no forecast', () => {
  const later = { ...growing(124, 18, 134), lengths: [footMeasure(124, '2026-03-02')] }

  expect(refit({ ...growing(124, 18, 134), lengths: [] }, RULES)).toBe('unknown')
  expect(refit(later, RULES)).toBe('unknown')
  expect(refit(growing(190, 83, 200), RULES)).toBe('unknown')
})

/** One millimetre a day. */
const daily = { start: { age: 18, latest: footMeasure(120, '2026-02-20') }, rateAt: () => 30.4375 }

test('the day is the first on which the foot has grown enough, the last day included', () => {
  const on = (room: number, lastDay: number) => reached({ ...daily, room, lastDay }, AS_OF)

  expect(on(15, 30)).toBe('2026-03-07')
  expect(on(15, 15)).toBe('2026-03-07')
  expect(on(15, 14)).toBeUndefined()
  expect(on(9, 30)).toBe('2026-03-01')
  expect(on(0, 0)).toBe('2026-03-01')
})

test('a foot that leaves the curve before it has grown enough has no day', () => {
  const rateAt = (age: number) => (age > 18.1 ? ('unknown' as const) : 30.4375)

  expect(reached({ ...daily, rateAt, room: 3, lastDay: 30 }, AS_OF)).toBe(AS_OF)
  expect(reached({ ...daily, rateAt, room: 12, lastDay: 30 }, AS_OF)).toBeUndefined()
})

const anyGrowth = fc.record({
  mm: fc.integer({ min: 80, max: 200 }),
  age: fc.double({ min: 2, max: 82, noNaN: true }),
  room: fc.integer({ min: 0, max: 30 }),
  before: fc.integer({ min: 0, max: 300 }),
  gained: fc.integer({ min: -3, max: 12 }),
})

test('never before the day, and the median lies between the earliest and the latest', () => {
  fc.assert(
    fc.property(anyGrowth, ({ mm, age, room, before, gained }) => {
      const lengths = [footMeasure(mm - gained, addDays(AS_OF, -before)), footMeasure(mm)]
      const forecast = refit({ ...growing(mm, age, mm + room), lengths }, RULES)
      fc.pre(forecast !== 'unknown')
      const { earliest, median, latest } = known(forecast)

      const never = '9999-12-31'
      const dates = [AS_OF, earliest ?? never, median ?? never, latest ?? never]

      expect(dates.toSorted()).toEqual(dates)
    }),
  )
})

test('the order of the measurements does not matter', () => {
  const some = [footMeasure(118, '2025-10-01'), footMeasure(121, '2025-12-15'), footMeasure(124)]
  fc.assert(
    fc.property(fc.shuffledSubarray(some, { minLength: 3 }), (lengths) => {
      const ordered = refit({ ...growing(124, 18, 134), lengths: some }, RULES)

      expect(refit({ ...growing(124, 18, 134), lengths }, RULES)).toEqual(ordered)
    }),
  )
})

const en = speaker('en')
const said = (forecast: ReturnType<typeof refit>) => en.therapist(known(forecast).because)

test('the date is said with its range, the room and the rate', () => {
  const forecast = known(refit(growing(122.7, 18, 131.7), RULES))
  const [earliest, median, latest] = [forecast.earliest, forecast.median, forecast.latest].map(
    (date) => Temporal.PlainDate.from(date ?? '').toLocaleString('en', { dateStyle: 'long' }),
  )

  expect(new Set([earliest, median, latest]).size).toBe(3)
  expect(said(forecast)).toContain(
    `Outgrown about ${median} (80 % range ${earliest} to ${latest}). `,
  )
  expect(said(forecast)).toContain(
    "Foot length 122.7 mm on March 1, 2026; the size ends at 131.7 mm, and less the reserve of 3 mm the foot may grow 6 mm. Rate 1.8 mm a month, that of the age in the child's own proportion.",
  )
})

test('an own rate is said with the days between which it was measured', () => {
  // 4 mm in 61 days, 2.0 months of 30.4375 days.
  expect(said(refit(twice(61), RULES))).toContain(
    "Rate 2 mm a month, the child's own, measured between December 30, 2025 and March 1, 2026.",
  )
  expect(speaker('es').family(known(refit(twice(61), RULES)).because)).toContain(
    'El pie de su hijo o hija creció unos 2 mm al mes entre el 30 de diciembre de 2025 y el 1 de marzo de 2026.',
  )
})

test('room that is used up, an open end and no date at all have their own sentence', () => {
  expect(said(refit(growing(129, 18, 132), RULES))).toMatch(
    /^The foot has probably reached the end of the size, less the reserve, by March 1, 2026\./,
  )
  expect(said(refit(growing(122.7, 18, 156), RULES))).toMatch(
    /^Outgrown about .*; the 80 % range begins on .* and ends beyond the forecast\./,
  )
  expect(said(refit(growing(122.7, 18, 160), RULES))).toMatch(
    /^Not outgrown within 24 months .* at the likeliest rate; at the fastest about /,
  )
  expect(said(refit(growing(122.7, 18, 200), RULES))).toMatch(
    /^Not outgrown within 24 months .*, so there is no date\./,
  )
})

test('every forecast is said in both languages to both readers', () => {
  const limits = [125, 131.7, 156, 160, 200].map((limit) => growing(122.7, 18, limit))

  const forecasts = [...limits, twice(90)].map((growth) => known(refit(growth, RULES)).because)

  expect(faultsInVoices(forecasts)).toEqual([])
})
