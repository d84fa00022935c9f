import { expect, test } from 'vitest'
import { civilDate } from '../../../src/domain/calendar.ts'
import { goals } from '../../../src/domain/plan/goals.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { NO_TEMPO, TEMPO } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'

const en = speaker('en')
const deliveryOn = civilDate('2026-03-29')
const all = () => goals({ tempo: TEMPO, deliveryOn }, RULES)

test('comfortable wear is due on day 14, alignment at the week-12 visit', () => {
  expect(all()[0]).toMatchObject({ milestone: 'comfortable-wear', due: '2026-04-12' })
  expect(all()[1]).toMatchObject({ milestone: 'alignment-in-standing', due: '2026-06-21' })
})

test('each milestone not yet there is due on its expected date, with its range', () => {
  expect(all()[2]).toMatchObject({
    milestone: 'standing-alone',
    due: '2026-05-10',
    earliest: '2026-04-01',
    latest: '2026-07-20',
  })
  expect(all()[3]).toMatchObject({ milestone: 'walking-alone', due: '2026-07-01' })
})

test('a range whose end lies beyond the horizon has no latest date', () => {
  expect(all()[3]).not.toHaveProperty('latest')
})

test('without a tempo no milestone gets a date', () => {
  const own = goals({ tempo: NO_TEMPO, deliveryOn }, RULES)

  expect(own.map(({ milestone }) => milestone)).toEqual([
    'comfortable-wear',
    'alignment-in-standing',
  ])
})

test('the family is told that a date is an estimate, and promised nothing', () => {
  const said = all().map(({ wording }) => en.family(wording))

  expect(said[3]).toMatch(
    /walking alone, around July 1, 2026, with or without the supports\..*estimate/,
  )
  for (const family of said) expect(family).not.toMatch(/\bwill (walk|stand|be able)/)
})

test('the therapist reads hours, minutes and the expected day; every goal is said in every voice', () => {
  const said = all().map(({ wording }) => en.therapist(wording))

  expect(said[0]).toBe('Worn about 6 hours a day without protest, redness gone within 20 minutes.')
  expect(said[2]).toBe(
    'Expected about May 10, 2026 at the present tempo, with or without orthoses: standing alone.',
  )
  expect(faultsInVoices(all().map(({ wording }) => wording))).toEqual([])
})

test('in Spanish the day is written out', () => {
  expect(all().map(({ wording }) => speaker('es').therapist(wording))[3]).toBe(
    'Se espera alrededor del 1 de julio de 2026 al ritmo actual, con o sin ortesis: marcha independiente.',
  )
})
