import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import type { Dimension, Measurement } from '../../../src/domain/child.ts'
import { footDimensions } from '../../../src/domain/device/dimensions.ts'
import type { Fact } from '../../../src/domain/facts.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { months } from '../../../src/domain/units.ts'
import { foot } from '../../helpers/child.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { AS_OF, taken } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'

type Records = Partial<Record<Dimension, readonly Fact<Measurement>[]>>

const dimensions = (records: Records, age = 18) => {
  const own = foot({ measurements: { ...foot().measurements, ...records } })
  return footDimensions({ foot: own, side: 'left', asOf: AS_OF, age: months(age) }, RULES)
}
const lengthOf = (records: readonly Fact<Measurement>[], age = 18) =>
  dimensions({ 'foot-length': records }, age).used['foot-length']?.mm
const rulesOf = (records: Records, age = 18) =>
  dimensions(records, age).warnings.map(({ rule }) => rule)

test('the newest day counts', () => {
  expect(lengthOf([taken(120, '2026-01-10'), taken(122, '2026-02-10')])).toBe(122)
})

test('the order of the records does not matter', () => {
  const records = [
    taken(120, '2026-01-10'),
    taken(122, '2026-02-10'),
    taken(118, '2026-02-10', 'unloaded'),
    taken(110, '2025-10-10', 'unknown'),
  ]
  const ordered = dimensions({ 'foot-length': records })
  fc.assert(
    fc.property(fc.shuffledSubarray(records, { minLength: records.length }), (shuffled) => {
      const found = dimensions({ 'foot-length': shuffled })

      expect(found.used).toEqual(ordered.used)
      expect(found.warnings).toEqual(ordered.warnings)
    }),
  )
})

test('on one day the loaded measurement goes before the unloaded one', () => {
  expect(lengthOf([taken(118, AS_OF, 'unloaded'), taken(122)])).toBe(122)
  expect(
    Number(lengthOf([taken(100, AS_OF, 'unloaded'), taken(101, AS_OF, 'unknown')])),
  ).toBeCloseTo(103.95)
})

test('a measurement after the day is not yet known', () => {
  expect(lengthOf([taken(122), taken(125, '2026-03-02')])).toBe(122)
})

test('two measurements of one day that disagree are reported, and an older one does not step in', () => {
  const records = [taken(120, '2026-01-10'), taken(122), taken(124)]
  const { used, warnings } = dimensions({ 'foot-length': records })

  expect(used['foot-length']).toBeUndefined()
  const found = warnings.find(({ rule }) => rule === 'contradicting-measurements.foot-length.left')
  expect(found?.evidence).toHaveLength(2)
})

test('12 mm for 120 mm is a slip of unit and is not used', () => {
  expect(lengthOf([taken(12)])).toBeUndefined()
  expect(rulesOf({ 'foot-length': [taken(12)] })).toContain('unit-slip.foot-length.left')
  expect(rulesOf({ 'forefoot-breadth': [taken(500)] })).toContain('unit-slip.forefoot-breadth.left')
})

/** Snyder et al. 1977, 16-19 months: 119 mm (SD 10); four deviations are 159 mm. */
test('beyond four standard deviations a value is questioned with the norm, and still used', () => {
  const far = dimensions({ 'foot-length': [taken(160)] })
  const near = rulesOf({ 'foot-length': [taken(159)] })
  const doubt = far.warnings.find(({ rule }) => rule === 'implausible-measurement.foot-length.left')

  expect(far.used['foot-length']?.mm).toBe(160)
  expect(doubt && speaker('en').therapist(doubt.because)).toContain('119 mm (SD 10)')
  expect(near).not.toContain('implausible-measurement.foot-length.left')
})

test('the norm is that of the age on the day of the measurement', () => {
  const atSixMonths = [taken(65, '2025-03-01')]

  expect(rulesOf({ 'foot-length': atSixMonths })).toContain(
    'implausible-measurement.foot-length.left',
  )
  expect(rulesOf({ 'foot-length': [taken(75, '2025-03-01')] })).not.toContain(
    'implausible-measurement.foot-length.left',
  )
})

test('a landmark beyond the toes is questioned', () => {
  const records = { 'foot-length': [taken(120)], 'heel-to-first-metatarsal-head': [taken(121)] }

  const doubts = dimensions(records).warnings.filter(({ rule }) => rule.startsWith('implausible'))

  expect(doubts).toMatchObject([
    { rule: 'implausible-measurement.heel-to-first-metatarsal-head.left', holds: 'yes' },
  ])
  expect(doubts.map(({ because }) => speaker('en').therapist(because)).join()).toContain(
    'Beside a foot of 120 mm it should be 60 to 120 mm.',
  )
})

test('a landmark is compared with the length, and with nothing while that is not known', () => {
  const landmark = { 'heel-to-first-metatarsal-head': [taken(90)] }
  const doubts = (records: Records) =>
    dimensions(records).warnings.filter(({ rule }) => rule.startsWith('implausible'))

  expect(doubts({ ...landmark, 'foot-length': [taken(120)] })).toEqual([])
  expect(doubts(landmark)).toMatchObject([
    { rule: 'implausible-measurement.heel-to-first-metatarsal-head.left', holds: 'unknown' },
  ])
})

test('breadth is compared with the age, whether the length is known or not', () => {
  const breadth = { 'forefoot-breadth': [taken(52)] }

  expect(rulesOf({ ...breadth, 'foot-length': [taken(122)] })).toEqual([
    'measurement-missing.ankle-circumference.left',
  ])
  expect(rulesOf(breadth)).toEqual([
    'measurement-missing.foot-length.left',
    'measurement-missing.ankle-circumference.left',
  ])
})

test('at an age without a norm the comparison is unknown and the value is used', () => {
  const { used, warnings } = dimensions({ 'foot-length': [taken(195)] }, 80)

  expect(used['foot-length']?.mm).toBe(195)
  expect(warnings).toContainEqual(
    expect.objectContaining({ rule: 'implausible-measurement.foot-length.left', holds: 'unknown' }),
  )
})

test('unloaded length and breadth are corrected', () => {
  const { used } = dimensions({ 'forefoot-breadth': [taken(50, AS_OF, 'unloaded')] })

  expect(Number(used['forefoot-breadth']?.mm)).toBeCloseTo(51.975, 6)
  expect(rulesOf({ 'forefoot-breadth': [taken(50, AS_OF, 'unloaded')] })).toContain(
    'unloaded-correction.forefoot-breadth.left',
  )
})

test('every usable length is kept for the rate of growth, a slip is not', () => {
  const records = [taken(110, '2025-10-10'), taken(12, '2025-12-10'), taken(122)]

  expect(dimensions({ 'foot-length': records }).lengths.map(({ mm }) => mm)).toEqual([110, 122])
})

test('an old measurement is called stale', () => {
  expect(rulesOf({ 'foot-length': [taken(112, '2025-11-01')] })).toContain('stale-measurement.left')
})

test('nothing on record: nothing used, and what to measure', () => {
  const { used, warnings } = dimensions({})

  expect(used).toStrictEqual({})
  expect(warnings.map(({ holds }) => holds)).toEqual(['unknown', 'unknown', 'unknown'])
})

test('every warning is said in both languages to both readers', () => {
  const records: Records[] = [
    {},
    { 'foot-length': [taken(122), taken(124)] },
    { 'foot-length': [taken(12)], 'forefoot-breadth': [taken(50, AS_OF, 'unloaded')] },
    { 'foot-length': [taken(112, '2025-11-01', 'unknown')] },
    { 'foot-length': [taken(120)], 'heel-to-first-metatarsal-head': [taken(121)] },
  ]

  const warnings = records.flatMap((record) => dimensions(record).warnings)

  expect(faultsInVoices(warnings.map(({ because }) => because))).toEqual([])
})
