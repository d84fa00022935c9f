import { expect, test } from 'vitest'
import { civilDate } from '../../../src/domain/calendar.ts'
import { goals } from '../../../src/domain/plan/goals.ts'
import { NO_TEMPO, TEMPO } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'

const deliveryOn = civilDate('2026-03-29')
const all = goals({ tempo: TEMPO, deliveryOn }, RULES)

test('comfortable wear is due on day 14, alignment at the week-12 visit', () => {
  expect(all[0]).toMatchObject({ milestone: 'comfortable-wear', due: '2026-04-12' })
  expect(all[1]).toMatchObject({ milestone: 'alignment-in-standing', due: '2026-06-21' })
})

test('each milestone not yet there is due on its expected date, with its range', () => {
  expect(all[2]).toMatchObject({
    milestone: 'standing-alone',
    due: '2026-05-10',
    earliest: '2026-04-01',
    latest: '2026-07-20',
  })
  expect(all[3]).toMatchObject({ milestone: 'walking-alone', due: '2026-07-01' })
})

test('a range whose end lies beyond the horizon has no latest date', () => {
  expect(all[3]).not.toHaveProperty('latest')
})

test('without a tempo no milestone gets a date', () => {
  const own = goals({ tempo: NO_TEMPO, deliveryOn }, RULES)

  expect(own.map(({ milestone }) => milestone)).toEqual([
    'comfortable-wear',
    'alignment-in-standing',
  ])
})

test('the family is told that a date is an estimate, and promised nothing', () => {
  expect(all[3]?.wording.family).toMatch(/estimate/)
  for (const { wording } of all) expect(wording.family).not.toMatch(/\bwill (walk|stand|be able)/)
})
