import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { outgrown } from '../../../src/domain/follow-up/outgrown.ts'
import type { DeviceSize } from '../../../src/domain/device/sizing.ts'
import { child, foot } from '../../helpers/child.ts'
import { agesAt, AS_OF, chartOf, size, taken, THREE_SIZES } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'
import { daysBefore, DELIVERED, sign, worn } from '../../helpers/visits.ts'

type Chart = typeof THREE_SIZES
type Known = Partial<{ daysAgo: number; size: DeviceSize | 'unknown'; chart: Chart }> & {
  signs?: Parameters<typeof worn>[0]
}

/** A left foot of so many mm, in an invented size B that ends at 130 mm: with the reserve, at 127. */
const of = (mm: number | undefined, { daysAgo = 0, signs = {}, ...known }: Known = {}) => {
  const lengths = mm === undefined ? [] : [taken(mm, daysBefore(daysAgo))]
  const left = foot({ measurements: { ...foot().measurements, 'foot-length': lengths } })
  const on = { child: child({ feet: { left, right: foot() } }), asOf: AS_OF, ages: agesAt(17.9) }
  const device = worn(signs, { size: known.size ?? size() })
  return outgrown({ on, deliveredOn: DELIVERED, device }, known.chart ?? THREE_SIZES, RULES)
}

test('at the limit of the size less the reserve it is outgrown, just under it is not', () => {
  expect(of(127).finding).toMatchObject({ rule: 'outgrown.left', holds: 'yes' })
  expect(of(126.9).finding).toMatchObject({ holds: 'no' })
  expect(of(135).finding.holds).toBe('yes')
})

test('outgrown proposes a larger size, never the one that is worn', () => {
  expect(of(127).proposal).toMatchObject({ side: 'left', state: 'sized', size: { code: 'C' } })
  expect(of(127).finding.wording?.therapist).toMatch(
    /Left: foot 127 mm on 2026-03-01; size B ends at 130 mm, less the reserve of 3 mm at 127; outgrown, next size C/,
  )
  expect(of(127).finding.wording?.family).toMatch(/grown out of the support for the left foot/)
})

test('without a larger size that fits, it says so', () => {
  const small = chartOf(size())

  expect(of(127, { chart: small }).proposal).toMatchObject({ state: 'custom' })
  expect(of(127, { chart: small }).finding.wording?.therapist).toContain('no next size')
})

test('not outgrown proposes nothing and asks nobody', () => {
  expect(of(124)).not.toHaveProperty('proposal')
  expect(of(124).finding).not.toHaveProperty('wording')
})

for (const name of ['toes-at-front-edge', 'marks-in-new-place'] as const) {
  test(`${name}: outgrown, whatever the length`, () => {
    const found = of(124, { signs: { [name]: sign(true) } })

    expect(found.finding.holds).toBe('yes')
    expect(found.finding.because).toBe(`left: ${name.replaceAll('-', ' ')}: seen`)
    expect(found.proposal).toBeDefined()
  })

  test(`${name} not looked for: unknown, unless the length decides`, () => {
    expect(of(124, { signs: { [name]: 'unknown' } }).finding.holds).toBe('unknown')
    expect(of(124, { signs: { [name]: sign(false, 15) } }).finding.holds).toBe('unknown')
    expect(of(124, { signs: { [name]: sign(false, 14) } }).finding.holds).toBe('no')
    expect(of(127, { signs: { [name]: 'unknown' } }).finding.holds).toBe('yes')
  })
}

test('without a foot length it is unknown and measured, and a sign still proposes to size again', () => {
  const signs = { 'toes-at-front-edge': sign(true) }

  expect(of(undefined).finding).toMatchObject({ holds: 'unknown' })
  expect(of(undefined).finding.wording?.family).toContain('measure the left foot')
  expect(of(undefined, { signs })).toMatchObject({
    finding: { holds: 'yes' },
    proposal: { state: 'unknown' },
  })
})

test('without the size that is worn it is unknown; a sign then proposes from the whole chart', () => {
  const signs = { 'marks-in-new-place': sign(true) }

  expect(of(124, { size: 'unknown' }).finding).toMatchObject({
    holds: 'unknown',
    because: 'left: the size worn is not on record',
  })
  expect(of(124, { size: 'unknown', signs }).proposal?.size?.code).toBe('B')
})

test('a length of 14 days ago shows that it still fits, an older one only that it does not', () => {
  expect(of(124, { daysAgo: 14 }).finding.holds).toBe('no')
  expect(of(124, { daysAgo: 15 }).finding).toMatchObject({ holds: 'unknown' })
  expect(of(124, { daysAgo: 15 }).finding.because).toContain('measure again')
  expect(of(127, { daysAgo: 80 }).finding.holds).toBe('yes')
})

test('a measurement after the visit is not seen', () => {
  expect(of(127, { daysAgo: -1 }).finding.holds).toBe('unknown')
})

test('the evidence is that of the length and of the signs', () => {
  expect(of(124).finding.evidence).toEqual([
    'Observation/2026-03-01-124-loaded/_history/1',
    'Observation/sign-false-0/_history/1',
  ])
})

test('a longer foot never fits again', () => {
  const mm = fc.double({ min: 110, max: 140, noNaN: true })
  fc.assert(
    fc.property(mm, mm, (one, other) => {
      const fits = (length: number) => of(length).finding.holds === 'no'

      expect(fits(Math.max(one, other)) && !fits(Math.min(one, other))).toBe(false)
    }),
    { numRuns: 40 },
  )
})
