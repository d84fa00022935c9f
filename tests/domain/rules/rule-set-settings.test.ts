import { expect, test } from 'vitest'
import { z } from 'zod'
import {
  choice,
  days,
  estimatedDelay,
  setting,
} from '../../../src/domain/rules/rule-set-settings.ts'

const written = (value: unknown, unit: string, change: object = {}): unknown => ({
  value,
  unit,
  mark: 'judgement',
  source: 'an invented source',
  ...change,
})

test('a setting is its value; unit, mark and source stand beside it in the file alone', () => {
  expect(setting('mm', z.number()).parse(written(4.5, 'mm'))).toBe(4.5)
})

test.each([
  ['no unit', { unit: undefined }],
  ['another unit', { unit: 'cm' }],
  ['no mark', { mark: undefined }],
  ['an unknown mark', { mark: 'guess' }],
  ['no source', { source: undefined }],
  ['an empty source', { source: '' }],
  ['anything more', { comment: 'invented' }],
  ['no value', { value: undefined }],
])('a setting with %s is refused', (_what, change) => {
  expect(setting('mm', z.number()).safeParse(written(4, 'mm', change)).success).toBe(false)
})

test('a choice is one of its words', () => {
  expect(choice(['feb28', 'mar1']).parse(written('mar1', '1'))).toBe('mar1')
  expect(choice(['feb28', 'mar1']).safeParse(written('feb29', '1')).success).toBe(false)
})

test('days are whole, at least one, at most twenty years', () => {
  for (const good of [1, 7_320]) expect(days.parse(written(good, 'd'))).toBe(good)
  for (const bad of [0, 7_321, 1.5, Number.NaN])
    expect(days.safeParse(written(bad, 'd')).success).toBe(false)
})

test('a delay is one that the pace is estimated for', () => {
  for (const good of [25, 33, 50]) expect(estimatedDelay.parse(written(good, '%'))).toBe(good)
  for (const bad of [24, 26, 100])
    expect(estimatedDelay.safeParse(written(bad, '%')).success).toBe(false)
})
