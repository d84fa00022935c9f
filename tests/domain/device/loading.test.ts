import { expect, test } from 'vitest'
import type { Dimension, Measurement } from '../../../src/domain/child.ts'
import { asLoaded } from '../../../src/domain/device/loading.ts'
import { CHENG_1997 } from '../../../src/domain/tables/cheng-1997.ts'
import { taken } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'

const loaded = (dimension: Dimension, loading: Measurement['loading'], mm = 100) =>
  asLoaded(`${dimension}.left`, dimension, taken(mm, '2026-03-01', loading), RULES)

test('the table holds the gain of 3.1 to 4.8 %, as published', () => {
  expect(CHENG_1997.gainPercent).toEqual({ low: 3.1, high: 4.8 })
  expect(CHENG_1997.gainMm).toEqual({ low: 2.1, high: 4.4 })
})

for (const dimension of ['foot-length', 'forefoot-breadth'] as const) {
  test(`an unloaded ${dimension} of 100 mm counts as 103.95 mm, with a warning`, () => {
    const { measure, warnings } = loaded(dimension, 'unloaded')

    expect(Number(measure.mm)).toBeCloseTo(103.95, 6)
    expect(warnings).toMatchObject([
      { rule: `unloaded-correction.${dimension}.left`, holds: 'yes', sources: ['cheng-1997'] },
    ])
  })
}

test('a loaded measurement is used as it is, without a word', () => {
  expect(loaded('foot-length', 'loaded').measure.mm).toBe(100)
  expect(loaded('foot-length', 'loaded').warnings).toEqual([])
})

test('a loading that is not on record is not taken for loaded', () => {
  const { measure, warnings } = loaded('foot-length', 'unknown')

  expect(measure.mm).toBe(100)
  expect(warnings).toMatchObject([{ rule: 'loading-unknown.foot-length.left', holds: 'unknown' }])
})

test('nothing is published for the landmarks: used as they are, with a warning', () => {
  const { measure, warnings } = loaded('heel-to-first-metatarsal-head', 'unloaded')

  expect(measure.mm).toBe(100)
  expect(warnings[0]?.rule).toBe('unloaded-uncorrected.heel-to-first-metatarsal-head.left')
})

test('loading does not matter to the ankle', () => {
  expect(loaded('ankle-circumference', 'unloaded').warnings).toEqual([])
  expect(loaded('ankle-circumference', 'unknown').warnings).toEqual([])
})

test('a value at the end of the unit is still answered', () => {
  expect(loaded('foot-length', 'unloaded', 1000).measure.mm).toBe(1000)
})
