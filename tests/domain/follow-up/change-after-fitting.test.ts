import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { ages } from '../../../src/domain/development/age.ts'
import {
  changeAfterFitting,
  type ChangeAfterFitting,
  type PaceChanged,
} from '../../../src/domain/follow-up/change-after-fitting.ts'
import { type Child, type Milestone, MILESTONES } from '../../../src/domain/child.ts'
import { milestones } from '../../../src/domain/development/milestones.ts'
import { tempo } from '../../../src/domain/development/tempo.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { dayOf, look, visit } from '../../helpers/checks.ts'
import { child } from '../../helpers/child.ts'
import { RULES } from '../../helpers/rules.ts'

const en = speaker('en')

type Checks = Child['milestoneChecks']

const of = (milestoneChecks: Checks, fitted: number, asOf = 900): ChangeAfterFitting => {
  const one = child({ milestoneChecks })
  const found = milestones(one, dayOf(asOf), RULES)
  return changeAfterFitting(
    { child: one, asOf: dayOf(asOf), milestones: found },
    dayOf(fitted),
    RULES,
  )
}
const estimated = (...args: Parameters<typeof of>): PaceChanged => {
  const found = of(...args)
  if (found.state === 'estimated') return found
  throw new Error(`not estimable: ${found.reason}`)
}

const SITS: readonly Milestone[] = ['sitting-without-support']
const STANDS_HELD: readonly Milestone[] = [...SITS, 'standing-with-assistance']
const CRAWLS: readonly Milestone[] = [...STANDS_HELD, 'hands-and-knees-crawling']
/** Slow until the fitting on day 480, then all within three months. */
const QUICK = [
  ...visit(300, SITS),
  ...visit(390, STANDS_HELD),
  ...visit(480, CRAWLS),
  ...visit(570, MILESTONES),
]
/** The same until the fitting, and nothing new for five months. */
const STALLED = [
  ...visit(300, SITS),
  ...visit(390, STANDS_HELD),
  ...visit(480, CRAWLS),
  ...visit(630, CRAWLS),
]

test('both paces, what is gained a month, and the probability that it is faster', () => {
  const { before, after, ratio, probabilityFaster } = estimated(QUICK, 480)

  for (const { value, interval } of [before, after, ratio]) {
    expect(interval.low).toBeLessThan(value)
    expect(interval.high).toBeGreaterThan(value)
  }
  expect(before.value).toBeLessThan(0.75)
  expect(after.value).toBeGreaterThan(0.75)
  expect(ratio.value).toBeGreaterThan(1.2)
  expect(probabilityFaster).toBeGreaterThan(0.8)
  expect(estimated(STALLED, 480).probabilityFaster).toBeLessThan(0.2)
})

test('the sentence gives both paces, and says what else explains a gain and how uncertain it is', () => {
  const { finding, caution } = estimated(QUICK, 480)

  expect(finding).toMatchObject({ rule: 'change-after-fitting', holds: 'yes' })
  const said = en.therapist(finding.because)
  expect(said).toMatch(
    /^Pace before the fitting 0\.\d\d of the typical child \(90 % interval 0\.\d\d to \d\.\d\d\); since then \d\.\d\d/,
  )
  expect(said).toMatch(
    /developmental months a calendar month.*probability of [89]\d(\.\d)? %\. Grow/,
  )
  expect(said).toMatch(/Growing up and practice alone can explain a gain;.*low certainty\.$/)
  expect(en.family(finding.because)).toMatch(
    /chance that it goes faster now: .*cannot tell how much/,
  )
  expect(en.family(caution)).toMatch(/growing and by practising/)
  expect(speaker('es').therapist(finding.because)).toMatch(
    /antes de la adaptación: 0,\d\d del niño/,
  )
  expect(finding.evidence.length).toBe(24)
})

test('without a look before the fitting the sentence says so', () => {
  const after = [...visit(570, CRAWLS), ...visit(660, MILESTONES)]

  const said = (checks: Checks) => en.therapist(estimated(checks, 480).finding.because)

  expect(said(after)).toContain('No look before the fitting')
  expect(said(QUICK)).not.toContain('No look before')
  expect(said([...visit(480, []), ...after])).not.toContain('No look before')
  expect(said([look('sitting-without-support', 480, true), ...after])).not.toContain('No look')
  expect(said([look('sitting-without-support', 481, true), ...after])).toContain('No look')
})

test('after a skill was lost no pace is given', () => {
  const lost = [...QUICK, look('walking-alone', 600, false)]

  expect(of(lost, 480)).toMatchObject({ state: 'not-estimable', reason: 'regression' })
  expect(of(lost, 480).finding).toMatchObject({ rule: 'change-after-fitting', holds: 'unknown' })
})

test('a look on the day of the fitting is before it; the day after, it tells of the time since', () => {
  expect(of(STALLED, 630)).toMatchObject({ state: 'not-estimable', reason: 'no-look-after' })
  expect(of(STALLED, 629)).toMatchObject({ state: 'estimated' })
  expect(of(STALLED, 480, 480)).toMatchObject({ reason: 'no-look-after' })
  expect(of([], 480)).toMatchObject({ state: 'not-estimable', reason: 'no-look-after' })
})

test('with everything attained by the fitting nothing is left to tell the pace', () => {
  expect(of(QUICK, 570)).toMatchObject({ state: 'not-estimable', reason: 'nothing-left' })
  expect(of([...QUICK, ...visit(700, MILESTONES)], 600)).toMatchObject({ reason: 'nothing-left' })
  expect(of(QUICK, 569)).toMatchObject({ state: 'estimated' })
})

test('crawling that a walking child never showed is not left to attain', () => {
  const attained = MILESTONES.filter((one) => one !== 'hands-and-knees-crawling')

  expect(of([...visit(480, []), ...visit(570, attained)], 570)).toMatchObject({
    state: 'not-estimable',
    reason: 'nothing-left',
  })
})

test('all there at the first look, after the fitting: nothing can be told', () => {
  expect(of(visit(570, MILESTONES), 480)).toMatchObject({ reason: 'nothing-left' })
  expect(of([...visit(480, CRAWLS), ...visit(570, MILESTONES)], 400).state).toBe('estimated')
})

test('a fitting after the day of the answer has no look after it', () => {
  expect(of(STALLED, 700, 650)).toMatchObject({ reason: 'no-look-after' })
})

test('one milestone open and never looked at is something left', () => {
  const five = MILESTONES.filter((one) => one !== 'walking-alone').map((one) =>
    look(one, 400, true),
  )

  expect(of(five, 480)).toMatchObject({ reason: 'no-look-after' })
})

const anyVisits = fc
  .tuple(fc.nat({ max: 5 }), fc.nat({ max: 2 }), fc.nat({ max: 2 }))
  .map(([first, second, third]) => {
    const seen = (count: number) => MILESTONES.slice(0, count)
    return [
      ...visit(330, seen(first)),
      ...visit(420, seen(first + second)),
      ...visit(520, seen(first + second + third)),
    ]
  })

test('with the change held at none, the pace before and after is the plain tempo', () => {
  const rules = { ...RULES, followUp: { ...RULES.followUp, priorSdChange: 1e-6 } }
  fc.assert(
    fc.property(anyVisits, (milestoneChecks) => {
      const one = child({ milestoneChecks })
      const found = milestones(one, dayOf(520), rules)
      const plain = tempo(one, found, ages(one, dayOf(520), rules), rules)
      const seen = { child: one, asOf: dayOf(520), milestones: found }
      const changed = changeAfterFitting(seen, dayOf(430), rules)
      fc.pre(plain.state === 'estimated' && changed.state === 'estimated')
      if (plain.state !== 'estimated' || changed.state !== 'estimated') return

      for (const { value, interval } of [changed.before, changed.after]) {
        expect(Math.abs(Math.log(value / plain.tempo))).toBeLessThan(0.0025)
        expect(Math.abs(Math.log(interval.low / plain.tempoInterval.low))).toBeLessThan(0.0025)
        expect(Math.abs(Math.log(interval.high / plain.tempoInterval.high))).toBeLessThan(0.0025)
      }
    }),
    { numRuns: 25 },
  )
})

test('the same checks in any order give the same answer', () => {
  fc.assert(
    fc.property(fc.shuffledSubarray(QUICK, { minLength: QUICK.length }), (shuffled) => {
      expect(of(shuffled, 480)).toEqual(of(QUICK, 480))
    }),
    { numRuns: 5 },
  )
})

test('every outcome is said in every voice', () => {
  const outcomes = [
    of(QUICK, 480),
    of([...visit(570, CRAWLS), ...visit(660, MILESTONES)], 480),
    of([...QUICK, look('walking-alone', 600, false)], 480),
    of(QUICK, 570),
    of(STALLED, 630),
    of(visit(570, MILESTONES), 480),
  ]

  expect(faultsInVoices(outcomes.map(({ finding }) => finding.because))).toEqual([])
  expect(outcomes.slice(2).map(({ finding }) => en.therapist(finding.because))).toEqual([
    'A skill was seen and later not seen: no pace is given.',
    'Every milestone was there at the fitting: pace cannot be told.',
    'No milestone check after the fitting that tells the pace.',
    'All that was looked at was there at the first look: pace cannot be told.',
  ])
})
