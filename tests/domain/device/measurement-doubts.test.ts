import { expect, test } from 'vitest'
import {
  missing,
  questioned,
  stale,
  warning,
} from '../../../src/domain/device/measurement-doubts.ts'
import { months } from '../../../src/domain/units.ts'
import { AS_OF, footMeasure, taken } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'

test('a warning holds unless told otherwise', () => {
  expect(warning('rule', { because: 'so' })).toMatchObject({ holds: 'yes', evidence: [] })
  expect(warning('rule', { because: 'so', holds: 'unknown' }).holds).toBe('unknown')
})

test('what chooses the size is asked for when it is missing', () => {
  expect(missing('foot-length', 'left')).toMatchObject([
    { rule: 'measurement-missing.foot-length.left', holds: 'unknown' },
  ])
  expect(missing('forefoot-breadth', 'left')).toHaveLength(1)
  expect(missing('ankle-circumference', 'right')).toHaveLength(1)
  expect(missing('malleolar-breadth', 'left')).toEqual([])
})

const expected = { low: 90, high: 110, words: 'usual is 100 mm', sources: ['snyder-1977'] } as const

const LEFT_LENGTH = { dimension: 'foot-length', side: 'left' } as const

test('a doubt names the dimension, the value, the norm and its source', () => {
  const found = questioned(LEFT_LENGTH, taken(120), { doubt: 'implausible', expected })

  expect(found).toMatchObject([
    {
      rule: 'implausible-measurement.foot-length.left',
      holds: 'yes',
      sources: ['snyder-1977', 'judgement'],
    },
  ])
  expect(found[0]?.because).toMatch(/^foot length, 120 mm on .*usual is 100 mm/)
})

test('a slip of unit says that it is not used and what to send', () => {
  const found = questioned(LEFT_LENGTH, taken(10), { doubt: 'unit-slip', expected })

  expect(found[0]?.rule).toBe('unit-slip.foot-length.left')
  expect(found[0]?.because).toMatch(/not used.*send it in mm/)
})

test('what cannot be compared is unknown, what is plausible needs no word', () => {
  const unknown = questioned(LEFT_LENGTH, taken(10), {
    doubt: 'plausible',
    expected: 'unknown',
  })

  expect(unknown).toMatchObject([{ holds: 'unknown' }])
  expect(questioned(LEFT_LENGTH, taken(100), { doubt: 'plausible', expected })).toEqual([])
})

/** At 18 months the average foot grows 1.8 mm a month: 3 mm in about 50 days. */
test('a measurement is stale once the foot has probably grown by more than the 3 mm reserve', () => {
  const on = { asOf: AS_OF, age: months(18), side: 'left' } as const

  expect(stale(footMeasure(122, '2026-01-20'), on, RULES)).toEqual([])
  expect(stale(footMeasure(122, '2026-01-01'), on, RULES)).toMatchObject([
    { rule: 'stale-measurement.left', holds: 'yes' },
  ])
})

test('outside the ages of the curve nothing is said about growth since', () => {
  const on = { asOf: AS_OF, age: months(90), side: 'left' } as const

  expect(stale(footMeasure(180, '2025-01-01'), on, RULES)).toEqual([])
})
