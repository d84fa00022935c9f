import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { addDays, civilDate, daysBetween } from '../../../src/domain/calendar.ts'
import type { Milestone } from '../../../src/domain/child.ts'
import {
  expectedMilestone,
  type ForecastSpan,
  walkingAloneBy,
  walkingPrognosis,
} from '../../../src/domain/development/tempo-forecast.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { months } from '../../../src/domain/units.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { RULES } from '../../helpers/rules.ts'
import { TEMPO_CASES } from '../../helpers/tempo-cases.ts'

const TODAY = civilDate('2026-03-01')
const HORIZON_DAYS = 1096
const basis = (name: keyof typeof TEMPO_CASES) => ({
  observations: TEMPO_CASES[name].seen,
  priorSd: 0.4,
})
const spanFrom = (age: number, horizonDays = HORIZON_DAYS): ForecastSpan => ({
  asOf: TODAY,
  horizonDays,
  ageAfter: (days) => months(age + days / 30.4375),
})
const expected = (name: keyof typeof TEMPO_CASES, milestone: Milestone, horizonDays?: number) =>
  expectedMilestone(
    milestone,
    basis(name),
    spanFrom(TEMPO_CASES[name].age, horizonDays),
    RULES.milestones,
  )
const daysUntil = (date: string | undefined) =>
  date === undefined ? undefined : daysBetween(TODAY, civilDate(date))

/**
 * Worked out apart from this code, by summing the published model over all 3,201 points with exact
 * functions: days from the visit until a tenth, a half and nine tenths of such children have it.
 */
const EXPECTED = [
  ['A', 'walking-with-assistance', [5.04, 30.25, 87.25]],
  ['A', 'standing-alone', [24.52, 87.17, 176.46]],
  ['A', 'walking-alone', [65.36, 132.68, 212.06]],
  ['C', 'standing-alone', [7.13, 40.31, 111.56]],
  ['C', 'walking-alone', [17.47, 64.3, 129.74]],
  ['E', 'walking-with-assistance', [10.37, 64.03, 190.82]],
  ['E', 'standing-alone', [47.69, 179.48, 375.47]],
  ['E', 'walking-alone', [124.45, 270.66, 452.23]],
] as const

for (const [name, milestone, days] of EXPECTED)
  test(`case ${name}: ${milestone} is expected on the first day after ${days.join(', ')} days`, () => {
    const found = expected(name, milestone)

    expect(found?.milestone).toBe(milestone)
    expect([found?.earliest, found?.median, found?.latest].map(daysUntil)).toEqual(
      days.map(Math.ceil),
    )
  })

/** Case E: walking alone has its median on day 271 and its late end on day 453. */
test('beyond the horizon there is no latest day, and without a median nothing at all', () => {
  expect(daysUntil(expected('E', 'walking-alone', 453)?.latest)).toBe(453)
  expect(expected('E', 'walking-alone', 452)).toMatchObject({ median: addDays(TODAY, 271) })
  expect(expected('E', 'walking-alone', 452)?.latest).toBeUndefined()
  expect(daysUntil(expected('E', 'walking-alone', 271)?.median)).toBe(271)
  expect(expected('E', 'walking-alone', 270)).toBeUndefined()
})

/** Case E from 2026-03-01: 125, 271 and 453 days until walking alone. */
test('the day that is expected is told with its interval, or that its end is not foreseen', () => {
  const [within, open] = [expected('E', 'walking-alone'), expected('E', 'walking-alone', 452)]
  if (within === undefined || open === undefined) throw new Error('both are expected')
  const { therapist, family } = speaker('en')

  expect(therapist(within.because)).toBe(
    'Expected about November 27, 2026 (80 % interval July 4, 2026 to May 28, 2027) at the present pace, if not there yet today: walking alone.',
  )
  expect(family(within.because)).toBe(
    'If your child goes on at the same pace, we expect this around November 27, 2026, most likely between July 4, 2026 and May 28, 2027: walking alone. It may come earlier or later.',
  )
  expect(therapist(open.because)).toContain(
    'the 80 % interval begins on July 4, 2026 and ends beyond the forecast',
  )
  expect(speaker('es').family(within.because)).toContain('alrededor del 27 de noviembre de 2026')
  expect(faultsInVoices([within.because, open.because])).toEqual([])
})

/** Worked out the same way: probability of walking alone by 18 months. */
test('walking alone by 18 months has the probability of the model, given what was last seen', () => {
  expect(walkingAloneBy(18, basis('A'))).toBeCloseTo(0.799, 3)
  expect(walkingAloneBy(18, basis('C'))).toBeCloseTo(0.7157, 3)
  expect(walkingAloneBy(18, basis('G'))).toBeCloseTo(0.6969, 3)
})

test('when nobody looked at walking, the other milestones foretell it', () => {
  const seen = TEMPO_CASES.A.seen.filter(({ milestone }) => milestone !== 'walking-alone')

  expect(walkingAloneBy(18, { observations: seen, priorSd: 0.4 })).toBeCloseTo(0.8001, 3)
})

const walkingSeen = (from: number, to: number | null) => ({
  observations: [
    ...TEMPO_CASES.C.seen.filter(({ milestone }) => !/alone/.test(milestone)),
    { milestone: 'standing-alone' as const, from: 15, to: 20 },
    { milestone: 'walking-alone' as const, from, to },
  ],
  priorSd: 0.4,
})

test('seen walking at 18 months or before is certain', () => {
  expect(walkingAloneBy(18, walkingSeen(15, 18))).toBe(1)
  expect(walkingAloneBy(18, walkingSeen(0, 12))).toBe(1)
})

test('seen walking only after 18 months, with no look in between, is left to the model', () => {
  expect(walkingAloneBy(18, walkingSeen(16, 20))).toBeCloseTo(0.6926, 3)
})

test('seen not walking at 18 months or later is no', () => {
  expect(walkingAloneBy(18, walkingSeen(18, null))).toBe(0)
  expect(walkingAloneBy(18, walkingSeen(19, 20))).toBe(0)
  expect(walkingAloneBy(18, walkingSeen(17.99, null))).toBeGreaterThan(0)
})

test('what was seen of walking is told as a fact, whatever the probability', () => {
  const said = (from: number, to: number | null) =>
    walkingPrognosis(18, walkingSeen(from, to), 0.425)
  const all = [said(15, 18), said(18, null), said(17.99, null), said(16, 20)]

  expect(all.map(speaker('en').therapist)).toEqual([
    'Walking alone by 18 months (corrected if born before term): seen.',
    'Walking alone by 18 months (corrected if born before term): looked for at that age or later and not seen.',
    'Walking alone by 18 months (corrected if born before term): probability 42.5 %.',
    'Walking alone by 18 months (corrected if born before term): probability 42.5 %.',
  ])
  expect(faultsInVoices(all)).toEqual([])
})

test('days come in order, after today, and within the horizon', () => {
  const anyAge = fc.double({ min: 24, max: 60, noNaN: true })
  fc.assert(
    fc.property(anyAge, (age) => {
      const found = expectedMilestone('standing-alone', basis('E'), spanFrom(age), RULES.milestones)
      fc.pre(found !== undefined)
      const days = [found?.earliest, found?.median, found?.latest].flatMap((date) =>
        date === undefined ? [] : [daysBetween(TODAY, date)],
      )

      expect(days).toEqual(days.toSorted((a, b) => a - b))
      expect(days[0]).toBeGreaterThan(0)
      expect(days.at(-1)).toBeLessThanOrEqual(HORIZON_DAYS)
    }),
    { numRuns: 50 },
  )
})
