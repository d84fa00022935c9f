import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { outgrown } from '../../../src/domain/follow-up/outgrown.ts'
import type { DeviceSize } from '../../../src/domain/device/sizing.ts'
import { together } from '../../../src/domain/messages/message.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { child, foot } from '../../helpers/child.ts'
import { agesAt, AS_OF, chartOf, size, taken, THREE_SIZES } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'
import { daysBefore, DELIVERED, sign, worn } from '../../helpers/visits.ts'

const en = speaker('en')
const NOTHING = together([])

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

const action = (...known: Parameters<typeof of>) =>
  en.therapist(of(...known).finding.wording ?? NOTHING)

test('at the limit of the size less the reserve it is outgrown, just under it is not', () => {
  expect(of(127).finding).toMatchObject({ rule: 'outgrown.left', holds: 'yes' })
  expect(of(126.9).finding).toMatchObject({ holds: 'no' })
  expect(of(135).finding.holds).toBe('yes')
})

test('outgrown proposes a larger size, never the one that is worn', () => {
  expect(of(127).proposal).toMatchObject({ side: 'left', state: 'sized', size: { code: 'C' } })
  expect(en.therapist(of(127).finding.because)).toBe(
    'Left: foot 127 mm on March 1, 2026; size B ends at 130 mm, less the reserve of 3 mm at 127 mm; reached.',
  )
  expect(action(127)).toMatch(/^Left: outgrown; next size C\. ./)
  expect(en.family(of(127).finding.wording ?? NOTHING)).toMatch(
    /grown out of the support for the left foot/,
  )
})

test('without a larger size that fits, it says so', () => {
  const small = chartOf(size())

  expect(of(127, { chart: small }).proposal).toMatchObject({ state: 'custom' })
  expect(action(127, { chart: small })).toContain('no next size')
})

test('not outgrown says by which length and which signs', () => {
  expect(en.therapist(of(124).finding.because)).toBe(
    'Left: foot 124 mm on March 1, 2026; size B ends at 130 mm, less the reserve of 3 mm at 127 mm; not reached. Left: not seen: toes at front edge. Left: not seen: marks in new place.',
  )
})

test('not outgrown proposes nothing and asks nobody', () => {
  expect(of(124)).not.toHaveProperty('proposal')
  expect(of(124).finding).not.toHaveProperty('wording')
})

for (const name of ['toes-at-front-edge', 'marks-in-new-place'] as const) {
  test(`${name}: outgrown, whatever the length`, () => {
    const found = of(124, { signs: { [name]: sign(true) } })

    expect(found.finding.holds).toBe('yes')
    expect(en.therapist(found.finding.because)).toBe(`Left: seen: ${name.replaceAll('-', ' ')}.`)
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
  expect(en.family(of(undefined).finding.wording ?? NOTHING)).toContain('measure the left foot')
  expect(of(undefined, { signs })).toMatchObject({
    finding: { holds: 'yes' },
    proposal: { state: 'unknown' },
  })
})

test('without the size that is worn it is unknown; a sign then proposes from the whole chart', () => {
  const signs = { 'marks-in-new-place': sign(true) }

  const { finding } = of(124, { size: 'unknown' })

  expect(finding.holds).toBe('unknown')
  expect(en.therapist(finding.because)).toBe('Left: the size worn is not on record.')
  expect(of(124, { size: 'unknown', signs }).proposal?.size?.code).toBe('B')
})

test('a length of 14 days ago shows that it still fits, an older one only that it does not', () => {
  expect(of(124, { daysAgo: 14 }).finding.holds).toBe('no')
  expect(of(124, { daysAgo: 15 }).finding).toMatchObject({ holds: 'unknown' })
  expect(en.therapist(of(124, { daysAgo: 15 }).finding.because)).toContain('measure again')
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
  expect(of(undefined).finding.evidence).toEqual(['Observation/sign-false-0/_history/1'])
  expect(of(124, { signs: { 'toes-at-front-edge': 'unknown' } }).finding.evidence).toEqual([
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

test('every outcome is said in every voice', () => {
  const name = 'toes-at-front-edge'
  const found = [
    of(127),
    of(124),
    of(124, { daysAgo: 15 }),
    of(undefined),
    of(124, { size: 'unknown' }),
    of(124, { signs: { [name]: 'unknown' } }),
    of(124, { signs: { [name]: sign(true) } }),
    of(127, { chart: chartOf(size()) }),
  ].map(({ finding }) => finding)

  expect(faultsInVoices(found.map(({ because }) => because))).toEqual([])
  expect(faultsInVoices(found.flatMap(({ wording }) => wording ?? []))).toEqual([])
})

test('in Spanish lengths and day are written its way', () => {
  expect(speaker('es').therapist(of(127.5).finding.because)).toBe(
    'Pie izquierdo: 127,5 mm el 1 de marzo de 2026; la talla B termina en 130 mm; menos la reserva de 3 mm, en 127 mm; alcanzado.',
  )
})
