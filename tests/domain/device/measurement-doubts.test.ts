import { expect, test } from 'vitest'
import type { Dimension } from '../../../src/domain/child.ts'
import {
  contradicting,
  missing,
  questioned,
  stale,
  warning,
} from '../../../src/domain/device/measurement-doubts.ts'
import { say } from '../../../src/domain/messages/message.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { months } from '../../../src/domain/units.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { AS_OF, footMeasure, SOMETHING_SAID, taken } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'

test('a warning holds unless told otherwise', () => {
  expect(warning('rule', { because: SOMETHING_SAID })).toEqual({
    rule: 'rule',
    holds: 'yes',
    because: SOMETHING_SAID,
    sources: ['judgement'],
    evidence: [],
  })
  expect(warning('rule', { because: SOMETHING_SAID, holds: 'unknown' }).holds).toBe('unknown')
})

test('what chooses the size is asked for when it is missing', () => {
  expect(missing('foot-length', 'left')).toMatchObject([
    {
      rule: 'measurement-missing.foot-length.left',
      holds: 'unknown',
      sources: ['common-practice'],
      evidence: [],
    },
  ])
  expect(missing('forefoot-breadth', 'left')).toHaveLength(1)
  expect(missing('ankle-circumference', 'right')).toHaveLength(1)
  expect(missing('malleolar-breadth', 'left')).toEqual([])
})

const expected = {
  low: 90,
  high: 110,
  words: say('device-expected.for-age', { fromMonths: 9, toMonths: 12, mean: 100, sd: 5 }),
  sources: ['snyder-1977'],
} as const

const en = speaker('en')

const LEFT_LENGTH = { dimension: 'foot-length', side: 'left' } as const

test('a doubt names the dimension, the value, the norm and its source', () => {
  const found = questioned(LEFT_LENGTH, taken(120), { doubt: 'implausible', expected })

  expect(found).toMatchObject([
    {
      rule: 'implausible-measurement.foot-length.left',
      holds: 'yes',
      sources: ['snyder-1977', 'judgement'],
      evidence: [taken(120).evidence],
    },
  ])
  expect(found.map(({ because }) => en.therapist(because))).toEqual([
    'Far from what is usual, measure again: foot length, 120 mm on March 1, 2026. Children of 9 to 12 months have 100 mm (SD 5).',
  ])
  expect(found.map(({ because }) => en.family(because))).toEqual([
    'This is an unusual number: foot length, 120 mm. It may just be a slip, so it should be measured again. On average, children of 9 to 12 months have 100 mm.',
  ])
})

test('a slip of unit says that it is not used and what to send', () => {
  const found = questioned(LEFT_LENGTH, taken(10), { doubt: 'unit-slip', expected })

  expect(found[0]?.rule).toBe('unit-slip.foot-length.left')
  expect(found.map(({ because }) => en.therapist(because)).join('')).toMatch(
    /not used; send it in mm: foot length, 10 mm/,
  )
  expect(found.map(({ because }) => speaker('es').family(because)).join('')).toMatch(
    /confundieron centímetros y milímetros.*no usamos este número: largo del pie, 10 mm/,
  )
})

test('what cannot be compared is unknown, what is plausible needs no word', () => {
  const unknown = questioned(LEFT_LENGTH, taken(10), {
    doubt: 'plausible',
    expected: 'unknown',
  })

  expect(unknown).toMatchObject([{ holds: 'unknown', evidence: [taken(10).evidence] }])
  expect(questioned(LEFT_LENGTH, taken(100), { doubt: 'plausible', expected })).toEqual([])
})

/** At 18 months the average foot grows 1.8 mm a month: 3 mm in about 50 days. */
test('a measurement is stale once the foot has probably grown by more than the 3 mm reserve', () => {
  const on = { asOf: AS_OF, age: months(18), side: 'left' } as const

  expect(stale(footMeasure(122, '2026-01-20'), on, RULES)).toEqual([])
  expect(stale(footMeasure(122, '2026-01-01'), on, RULES)).toMatchObject([
    {
      rule: 'stale-measurement.left',
      holds: 'yes',
      sources: ['foot-length-curve', 'judgement'],
      evidence: [footMeasure(122, '2026-01-01').evidence],
    },
  ])
})

test('of a foot measured before the first month of the curve nothing is said about growth', () => {
  const on = { asOf: AS_OF, age: months(3), side: 'left' } as const

  // 75 days before: at half a month of age. 50 days before: at 1.4 months.
  expect(stale(footMeasure(80, '2025-12-16'), on, RULES)).toEqual([])
  expect(stale(footMeasure(80, '2026-01-10'), on, RULES)).toHaveLength(1)
})

test('outside the ages of the curve nothing is said about growth since', () => {
  const on = { asOf: AS_OF, age: months(90), side: 'left' } as const

  expect(stale(footMeasure(180, '2025-01-01'), on, RULES)).toEqual([])
})

test('every doubt is said in both languages to both readers', () => {
  const asked: Dimension[] = ['foot-length', 'forefoot-breadth', 'ankle-circumference']
  const on = { asOf: AS_OF, age: months(18), side: 'left' } as const

  const doubts = [
    ...asked.flatMap((dimension) => missing(dimension, 'left')),
    contradicting(LEFT_LENGTH, AS_OF, []),
    ...questioned(LEFT_LENGTH, taken(10), { doubt: 'plausible', expected: 'unknown' }),
    ...questioned(LEFT_LENGTH, taken(10), { doubt: 'unit-slip', expected }),
    ...questioned(LEFT_LENGTH, taken(120), { doubt: 'implausible', expected }),
    ...stale(footMeasure(122, '2026-01-01'), on, RULES),
  ]

  expect(doubts).toHaveLength(8)
  expect(faultsInVoices(doubts.map(({ because }) => because))).toEqual([])
})
