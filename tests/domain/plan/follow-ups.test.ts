import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { addDays, civilDate, daysBetween } from '../../../src/domain/calendar.ts'
import { followUps, type VisitPlan } from '../../../src/domain/plan/follow-ups.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { millimetres } from '../../../src/domain/units.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { sizedFoot, SOMETHING_SAID } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'

const en = speaker('en')

const plan = (known: Partial<VisitPlan> = {}) =>
  followUps(
    {
      deliveryOn: civilDate('2026-03-29'),
      birthDate: civilDate('2024-09-01'),
      walksAlone: 'yes',
      devices: [],
      ...known,
    },
    RULES,
  )
const said = (known: Partial<VisitPlan>, id: string, say = en.therapist) =>
  plan(known)
    .filter((visit) => visit.id === id)
    .map(({ wording }) => say(wording))
    .join()
const dates = (known: Partial<VisitPlan> = {}) => plan(known).map(({ id, on }) => [id, on])

const device = (side: 'left' | 'right', median: string | undefined) => ({
  side,
  materials: [],
  shoe: [],
  sizing: sizedFoot({
    side,
    ...(median !== undefined && {
      refit: {
        median: civilDate(median),
        ratePerMonthMm: 1.5,
        rateFrom: 'age-curve' as const,
        limitMm: millimetres(130),
        because: SOMETHING_SAID,
        evidence: [],
      },
    }),
  }),
})

test('under 3 years: delivery, 2, 4, 6 and 12 weeks, then every 3 months within the year', () => {
  expect(dates()).toEqual([
    ['delivery', '2026-03-29'],
    ['week-2', '2026-04-12'],
    ['week-4', '2026-04-26'],
    ['week-6', '2026-05-10'],
    ['week-12', '2026-06-21'],
    ['review-1', '2026-09-21'],
    ['review-2', '2026-12-21'],
    ['review-3', '2027-03-21'],
  ])
})

test('from 3 years the next review comes after 6 months, and says every 4-6', () => {
  const born = { birthDate: civilDate('2023-06-21') }
  const three = plan(born)
  const dayBefore = plan({ birthDate: civilDate('2023-06-22') })

  expect(three.find(({ id }) => id === 'review-1')?.on).toBe('2026-12-21')
  expect(said(born, 'review-1')).toContain('every 4-6 months from 3 years')
  expect(said({}, 'review-1')).toContain('every 3 months under 3 years')
  expect(dayBefore.find(({ id }) => id === 'review-1')?.on).toBe('2026-09-21')
  expect(dayBefore.find(({ id }) => id === 'review-2')?.on).toBe('2027-03-21')
})

test('a review on the last day of the plan still takes place', () => {
  const fitting = { ...RULES.fitting, followUpWeeks: [0] }
  const visits = followUps(
    {
      deliveryOn: civilDate('2026-03-29'),
      birthDate: civilDate('2024-09-01'),
      walksAlone: 'yes',
      devices: [],
    },
    { ...RULES, fitting },
  )

  expect(visits.at(-1)).toMatchObject({ id: 'review-4', on: '2027-03-29' })
})

const trialWeeks = (walksAlone: VisitPlan['walksAlone']) =>
  plan({ walksAlone })
    .filter(({ wording }) => en.therapist(wording).includes('Trial review before walking'))
    .map(({ id }) => id)

test('a child who does not walk yet is on trial: the visits of weeks 4 and 6 say so', () => {
  expect(trialWeeks('no')).toEqual(['week-4', 'week-6'])
  expect(trialWeeks('yes')).toEqual([])
})

test('the first and the last week of the trial are in it', () => {
  const suitability = { ...RULES.suitability, trialReviewWeeksFrom: 2, trialReviewWeeksTo: 6 }
  const visits = followUps(
    {
      deliveryOn: civilDate('2026-03-29'),
      birthDate: civilDate('2024-09-01'),
      walksAlone: 'no',
      devices: [],
    },
    { ...RULES, suitability },
  )

  expect(
    visits.filter(({ wording }) => en.therapist(wording).includes('Trial')).map(({ id }) => id),
  ).toEqual(['week-2', 'week-4', 'week-6'])
})

test('of a child who is known not to walk yet, nobody says that it is not on record', () => {
  expect(said({ walksAlone: 'no' }, 'week-4')).not.toContain('not on record')
})

test('walking that is not on record is not taken for walking', () => {
  expect(trialWeeks('unknown')).toEqual(['week-4', 'week-6'])
  expect(said({ walksAlone: 'unknown' }, 'week-4')).toContain('not on record')
  expect(said({ walksAlone: 'unknown' }, 'week-2')).not.toContain('not on record')
})

test('the refit visit is on the earlier date of the two feet and names the foot', () => {
  const devices = [device('left', '2026-09-01'), device('right', '2026-08-01')]

  expect(plan({ devices }).find(({ id }) => id === 'refit')?.on).toBe('2026-08-01')
  expect(said({ devices }, 'refit')).toContain('the right foot')
  expect(said({ devices }, 'refit', speaker('es').family)).toContain('pie derecho')
})

test('the refit stands between the visits before and after it', () => {
  const devices = [device('left', '2026-05-01')]

  expect(
    plan({ devices })
      .map(({ id }) => id)
      .slice(0, 6),
  ).toEqual(['delivery', 'week-2', 'week-4', 'refit', 'week-6', 'week-12'])
})

test('feet with one refit date are named together', () => {
  const devices = [device('left', '2026-08-01'), device('right', '2026-08-01')]

  expect(said({ devices }, 'refit', en.family)).toContain('supports for both feet')
})

test('a refit due before delivery is seen at delivery, measured again before ordering', () => {
  const devices = [device('left', '2026-03-28')]
  const onTheDay = [device('left', '2026-03-29')]

  expect(plan({ devices }).find(({ id }) => id === 'refit')?.on).toBe('2026-03-29')
  expect(said({ devices }, 'refit')).toContain('measure again before ordering')
  expect(said({ devices: onTheDay }, 'refit')).toMatch(/^Refit: the left foot probably outgrown/)
})

test('without a refit date there is no refit visit', () => {
  expect(plan({ devices: [device('left', undefined)] }).some(({ id }) => id === 'refit')).toBe(
    false,
  )
})

test('visits are in order, none before delivery, reviews within the year', () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 3000 }), fc.integer({ min: 0, max: 900 }), (age, day) => {
      const deliveryOn = addDays(civilDate('2026-03-29'), day)
      const visits = plan({ deliveryOn, birthDate: addDays(deliveryOn, -age) })
      const offsets = visits.map(({ on }) => daysBetween(deliveryOn, on))

      expect(offsets.toSorted((a, b) => a - b)).toEqual(offsets)
      expect(offsets[0]).toBe(0)
      expect(Math.max(...offsets)).toBeLessThanOrEqual(366)
    }),
  )
})

test('every visit is told in every voice, whatever is known of walking, age and refit', () => {
  const refits = ['2026-03-28', '2026-08-01'].map((on) => [
    [device('left', on)],
    [device('right', on)],
    [device('left', on), device('right', on)],
  ])
  const visits = [
    ...(['yes', 'no', 'unknown'] as const).flatMap((walksAlone) => plan({ walksAlone })),
    ...plan({ birthDate: civilDate('2020-01-01') }),
    ...refits.flat().flatMap((devices) => plan({ devices })),
  ]

  expect(faultsInVoices(visits.map(({ wording }) => wording))).toEqual([])
})
