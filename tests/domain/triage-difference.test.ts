import { expect, test } from 'vitest'
import { civilDate } from '../../src/domain/calendar.ts'
import { GENERIC_SIZE_CHART } from '../../src/domain/tables/generic-size-chart.ts'
import { type Triage, triage } from '../../src/domain/triage.ts'
import { triageDifference } from '../../src/domain/triage-difference.ts'
import { child } from '../helpers/child.ts'
import { RULES } from '../helpers/rules.ts'

const FOUND = triage(child(), civilDate('2026-03-02'), { rules: RULES, chart: GENERIC_SIZE_CHART })
const [SMALL, LARGE] = GENERIC_SIZE_CHART.sizes
const withUrgency = (change: Partial<Triage['urgency']>): Triage => ({
  ...FOUND,
  urgency: { ...FOUND.urgency, ...change },
})
const withSuitability = (change: Partial<Triage['suitability']>): Triage => ({
  ...FOUND,
  suitability: { ...FOUND.suitability, ...change },
})
const withFoot = (side: 'left' | 'right', change: Partial<Triage['sizing']['left']>): Triage => ({
  ...FOUND,
  sizing: { ...FOUND.sizing, [side]: { ...FOUND.sizing[side], ...change } },
})

test('a triage does not differ from itself', () => {
  expect(triageDifference(FOUND, FOUND)).toBeUndefined()
})

test('another outcome and another priority are differences, each with both values', () => {
  expect(
    triageDifference(
      withSuitability({ outcome: 'suitable' }),
      withSuitability({ outcome: 'watch' }),
    ),
  ).toEqual({ suitability: { from: 'suitable', to: 'watch' }, sizes: [] })
  expect(
    triageDifference(withUrgency({ priority: 'routine' }), withUrgency({ priority: 'asap' })),
  ).toEqual({ priority: { from: 'routine', to: 'asap' }, sizes: [] })
})

test('a score differs when what is written of it does: one decimal', () => {
  const of = (from: number, to: number) =>
    triageDifference(withUrgency({ score: from }), withUrgency({ score: to }))

  expect(of(32.21, 32.24)).toBeUndefined()
  expect(of(32.24, 32.26)).toEqual({ urgency: { from: 32.24, to: 32.26 }, sizes: [] })
  expect(of(40, 39.9)).toEqual({ urgency: { from: 40, to: 39.9 }, sizes: [] })
})

test('another size differs, per foot; no size is said by its reason', () => {
  if (SMALL === undefined || LARGE === undefined) throw new Error('The chart has too few sizes')
  const small = withFoot('left', { state: 'sized', size: SMALL })

  expect(triageDifference(small, withFoot('left', { state: 'sized', size: LARGE }))).toEqual({
    sizes: [{ side: 'left', from: SMALL.code, to: LARGE.code }],
  })
  expect(triageDifference(small, withFoot('left', { state: 'custom' }))).toEqual({
    sizes: [{ side: 'left', from: SMALL.code, to: 'custom' }],
  })
  expect(triageDifference(FOUND, withFoot('right', { state: 'custom' }))).toEqual({
    sizes: [{ side: 'right', from: 'unknown', to: 'custom' }],
  })
})

test('other reasons for the same decision are no difference', () => {
  expect(triageDifference(FOUND, withUrgency({ raisedBy: ['invented'], low: 1 }))).toBeUndefined()
})
