import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { addDays, civilDate } from '../../../src/domain/calendar.ts'
import {
  clockNotRunning,
  evaluationClock,
  referralDue,
} from '../../../src/domain/law/part-c-clock.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { fact } from '../../helpers/child.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { finding } from '../../helpers/findings.ts'
import { exception, noExceptions, on, printed, SETTINGS } from '../../helpers/law-dates.ts'

const english = speaker('en')
const dayOne = { ...SETTINGS, countingConvention: 'receipt-is-day-one' } as const

test('without the day of identification there is no day to refer by', () => {
  expect(referralDue('unknown', SETTINGS)).toMatchObject({ holds: 'unknown', evidence: [] })
})

const RECORD = ['Observation/a/_history/1']

test('the referral names its rule, its sections and the record of its day', () => {
  const named = { rule: 'part-c.referral-due', sources: ['idea-303-303', 'idea-303-9'] }

  expect(referralDue(on('2026-06-01'), SETTINGS)).toMatchObject({ ...named, evidence: RECORD })
  expect(referralDue('unknown', SETTINGS)).toMatchObject({ ...named, evidence: [] })
})

test('clock and tolling name their rules, their sections and their records', () => {
  const receivedOn = on('2026-06-01')
  const stay = fact([exception('2026-06-20', '2026-07-04')], '2026-03-01', 'Observation/b')
  const clocks = [
    evaluationClock({ receivedOn, exceptions: stay }, SETTINGS),
    evaluationClock({ receivedOn, exceptions: 'unknown' }, SETTINGS),
    evaluationClock({ receivedOn: 'unknown', exceptions: stay }, SETTINGS),
  ]

  for (const { due, tolled } of clocks)
    expect([due.rule, due.sources, tolled.rule, tolled.sources]).toEqual([
      'part-c.evaluation-due',
      ['idea-303-310', 'idea-303-9'],
      'part-c.evaluation-tolled',
      ['idea-303-310', 'dc-5-a3107'],
    ])
  expect(clocks.map(({ due }) => due.evidence)).toEqual([RECORD, RECORD, []])
  expect(clocks.map(({ tolled }) => tolled.evidence)).toEqual([
    [...RECORD, 'Observation/b'].toSorted(),
    RECORD,
    ['Observation/b'],
  ])
})

test('without the day of receipt the clock is unknown, all of it', () => {
  const clock = evaluationClock({ receivedOn: 'unknown', exceptions: noExceptions }, SETTINGS)

  expect([clock.due.holds, clock.tolled.holds, clock.excludedDays, clock.interimPlan]).toEqual([
    'unknown',
    'unknown',
    'unknown',
    'unknown',
  ])
})

test('exceptions of which nothing is known leave the duty and open the tolling', () => {
  const clock = evaluationClock({ receivedOn: on('2026-06-01'), exceptions: 'unknown' }, SETTINGS)

  expect([printed(clock.due), clock.tolled.holds]).toEqual(['2026-07-16 Thu', 'unknown'])
  expect([clock.excludedDays, clock.interimPlan]).toEqual(['unknown', 'unknown'])
})

test('a doubtful exception opens the tolling', () => {
  const exceptions = fact([exception('2026-06-20', '2026-07-04', { documented: 'unknown' })])
  const clock = evaluationClock({ receivedOn: on('2026-06-01'), exceptions }, SETTINGS)

  expect([printed(clock.due), clock.tolled.holds]).toEqual(['2026-07-16 Thu', 'unknown'])
})

test('no exception stops nothing and calls for no interim plan', () => {
  const clock = evaluationClock(
    { receivedOn: on('2026-06-01'), exceptions: noExceptions },
    SETTINGS,
  )

  expect([clock.tolled.holds, clock.excludedDays, clock.interimPlan]).toEqual(['no', 0, 'no'])
  expect(clock).not.toHaveProperty('asSoonAsPossibleAfter')
})

test('the sentence names the convention, the days and the section', () => {
  const exceptions = fact([exception('2026-06-20', '2026-07-04')])
  const clock = evaluationClock({ receivedOn: on('2026-06-01'), exceptions }, SETTINGS)

  expect(english.therapist(clock.due.because)).toBe(
    'For information: evaluation and first plan meeting within 45 calendar days of the receipt, the day of receipt not counted (34 CFR 303.310(a)): Thursday, July 16, 2026.',
  )
  expect(english.therapist(clock.tolled.because)).toMatch(
    /15 documented days do not count .* as soon as possible after July 4, 2026, .* Friday, July 31, 2026\.$/,
  )
  const { due } = evaluationClock({ receivedOn: on('2026-06-01'), exceptions }, dayOne)
  expect(english.therapist(due.because)).toContain('the day of receipt being day 1')
  expect(due).toMatchObject({
    on: '2026-07-15',
    sources: ['idea-303-310', 'idea-303-9', 'virginia-day-one-2013'],
  })
})

test('where no evaluation is asked for, nothing is due, with the reason', () => {
  const running = evaluationClock(
    { receivedOn: on('2026-06-01'), exceptions: noExceptions },
    SETTINGS,
  )
  const why = finding('part-c.late-referral', 'yes')
  const clock = clockNotRunning(running, why)

  expect(clock.due).toEqual({
    ...why,
    rule: 'part-c.evaluation-due',
    holds: 'no',
    evidence: running.due.evidence,
  })
  expect([clock.tolled.holds, clock.excludedDays, clock.interimPlan]).toEqual(['no', 0, 'no'])
})

test('every state of the clock can be said in every voice', () => {
  const receivedOn = on('2026-06-01')
  const oneDay = fact([exception('2026-06-20', '2026-06-20')])
  const clocks = [
    evaluationClock({ receivedOn: 'unknown', exceptions: noExceptions }, SETTINGS),
    evaluationClock({ receivedOn, exceptions: noExceptions }, SETTINGS),
    evaluationClock({ receivedOn, exceptions: oneDay }, dayOne),
    evaluationClock({ receivedOn, exceptions: 'unknown' }, SETTINGS),
  ]
  const referrals = [referralDue('unknown', SETTINGS), referralDue(receivedOn, SETTINGS)]

  expect(
    faultsInVoices([
      ...referrals.map(({ because }) => because),
      ...clocks.flatMap(({ due, tolled }) => [due.because, tolled.because]),
    ]),
  ).toEqual([])
})

const anyDay = fc.integer({ min: 0, max: 4000 }).map((n) => addDays(civilDate('2024-01-01'), n))
const anyShift = fc.integer({ min: 0, max: 400 })
const anySettings = fc.constantFrom(SETTINGS, dayOne)

test('a later identification or receipt never gives an earlier day, the tolled one included', () => {
  const stay = exception('2025-03-01', '2025-03-20')

  fc.assert(
    fc.property(anyDay, anyShift, anySettings, (day, shift, settings) => {
      const days = (text: string) => {
        const clock = evaluationClock({ receivedOn: on(text), exceptions: fact([stay]) }, settings)
        const tolled = clock.tolled.holds === 'yes' ? clock.tolled : clock.due
        return [referralDue(on(text), settings), clock.due, tolled].map((one) =>
          one.holds === 'yes' ? one.on : '',
        )
      }
      const [earlier, later] = [days(day), days(addDays(day, shift))]

      expect(earlier.every((one, index) => one <= (later[index] ?? ''))).toBe(true)
    }),
  )
})

test('counting the day of receipt brings the date forward by one day, always', () => {
  fc.assert(
    fc.property(anyDay, (day) => {
      const facts = { receivedOn: on(day), exceptions: noExceptions }
      const [plain, first] = [SETTINGS, dayOne].map((one) => evaluationClock(facts, one).due)

      expect(first?.holds === 'yes' && addDays(first.on, 1)).toBe(
        plain?.holds === 'yes' && plain.on,
      )
    }),
  )
})
