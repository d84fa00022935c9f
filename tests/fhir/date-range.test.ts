import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { instantRange, periodRange } from '../../src/fhir/date-range.ts'

// R4 3.1.1.4.7: a date is the interval of its precision, seconds may be missing in a search value.

test.each([
  ['2024', '2024-01-01T00:00:00Z', '2025-01-01T00:00:00Z'],
  ['2024-02', '2024-02-01T00:00:00Z', '2024-03-01T00:00:00Z'],
  ['2024-12', '2024-12-01T00:00:00Z', '2025-01-01T00:00:00Z'],
  ['2024-02-29', '2024-02-29T00:00:00Z', '2024-03-01T00:00:00Z'],
  ['2024-02-29T10:00', '2024-02-29T10:00:00Z', '2024-02-29T10:01:00Z'],
  ['2024-02-29T10:00:30Z', '2024-02-29T10:00:30Z', '2024-02-29T10:00:31Z'],
  ['2024-02-29T10:00:30.5Z', '2024-02-29T10:00:30.5Z', '2024-02-29T10:00:30.501Z'],
  ['2024-02-29T23:59:59-05:00', '2024-03-01T04:59:59Z', '2024-03-01T05:00:00Z'],
  ['2016-12-31T23:59:60Z', '2016-12-31T23:59:59Z', '2017-01-01T00:00:00Z'],
])('%s spans %s to %s', (text, from, to) => {
  expect(instantRange(text)).toEqual({ from, to })
})

test.each([
  ['0001-01-01T00:00:00+14:00', '0001-01-01T00:00:00Z', '0001-01-01T00:00:00Z'],
  ['9999-12-31', '9999-12-31T00:00:00Z', '9999-12-31T23:59:59Z'],
  ['9999-12-31T23:59:59-12:00', '9999-12-31T23:59:59Z', '9999-12-31T23:59:59Z'],
])('%s stays within the years that FHIR knows', (text, from, to) => {
  expect(instantRange(text)).toEqual({ from, to })
})

test.each([
  '',
  '24',
  '0000',
  '2024-03-01T10:00+15:00',
  '2024-13',
  '2024-02-30',
  '2023-02-29',
  '2024-1-1',
  '2024-02-29T10',
  'today',
])('%j is no date', (text) => {
  expect(instantRange(text)).toBeUndefined()
})

test('a period without an end is open, and one without both is none', () => {
  expect(periodRange('2024', undefined)).toEqual({
    from: '2024-01-01T00:00:00Z',
    to: '9999-12-31T23:59:59Z',
  })
  expect(periodRange(undefined, '2024-05')).toEqual({
    from: '0001-01-01T00:00:00Z',
    to: '2024-06-01T00:00:00Z',
  })
  expect(periodRange(undefined, undefined)).toBeUndefined()
})

test('a day lies within its month and the month within its year', () => {
  const day = fc.date({
    min: new Date('0002-01-01T00:00:00Z'),
    max: new Date('9998-12-31T00:00:00Z'),
    noInvalidDate: true,
  })
  fc.assert(
    fc.property(day, (date) => {
      const text = date.toISOString().slice(0, 10)
      const ranges = [text, text.slice(0, 7), text.slice(0, 4)].map((part) => instantRange(part))

      for (const [index, outer] of ranges.slice(1).entries()) {
        const inner = ranges[index]
        expect((outer?.from ?? '') <= (inner?.from ?? '-')).toBe(true)
        expect((outer?.to ?? '') >= (inner?.to ?? '~')).toBe(true)
      }
    }),
  )
})
