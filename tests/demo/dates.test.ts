import { readdirSync, readFileSync } from 'node:fs'
import { assert, integer, property } from 'fast-check'
import { expect, test } from 'vitest'
import { shiftDates } from '../../src/demo/dates.ts'

const SEEDS = new URL('../../seeds/', import.meta.url)
const bundles = readdirSync(SEEDS)
  .filter((file) => file.endsWith('.json') && file !== 'scenario.json')
  .map((file): unknown => JSON.parse(readFileSync(new URL(file, SEEDS), 'utf8')))

const DATE = /"(\d{4}-\d{2}-\d{2})(?:T[^"]*)?"/g
const datesIn = (value: unknown): number[] =>
  [...JSON.stringify(value).matchAll(DATE)].map(([, day = '']) => Date.parse(day) / 86_400_000)

test('every date of every seed moves by the same number of days', () => {
  assert(
    property(integer({ min: -4000, max: 4000 }), (days) => {
      for (const bundle of bundles) {
        const before = datesIn(bundle)
        const after = datesIn(shiftDates(bundle, days))
        expect(before.length).toBeGreaterThan(20)
        expect(after).toEqual(before.map((day) => day + days))
      }
    }),
    { numRuns: 20 },
  )
})

test('an age in days is kept across a leap day', () => {
  const moved = shiftDates({ birthDate: '2024-02-29', effectiveDateTime: '2026-02-28' }, 365)

  // 2024-02-29 to 2026-02-28 are 730 days, as are 2025-02-28 to 2027-02-28.
  expect(moved).toEqual({ birthDate: '2025-02-28', effectiveDateTime: '2027-02-28' })
})

test('the time of day and the zone stay', () => {
  expect(shiftDates({ authoredOn: '2026-06-12T09:00:00.5+02:00' }, 3)).toEqual({
    authoredOn: '2026-06-15T09:00:00.5+02:00',
  })
})

test('a partial date moves by its middle and stays partial', () => {
  expect(shiftDates({ start: '2026-06', end: '2026' }, 10)).toEqual({
    start: '2026-06',
    end: '2026',
  })
  expect(shiftDates({ start: '2026-06', end: '2026' }, 16)).toEqual({
    start: '2026-07',
    end: '2026',
  })
  expect(shiftDates({ start: '2026-06', end: '2026' }, 200)).toEqual({
    start: '2027-01',
    end: '2027',
  })
})

test('what is no date stays as it is', () => {
  const other = { value: '2026-06-12', text: '2026', valueInteger: 2, active: true, nothing: null }

  expect(shiftDates([other, 'x'], 5)).toEqual([other, 'x'])
})
