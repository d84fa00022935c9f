import { expect, test } from 'vitest'
import { civilDate } from '../../../src/domain/calendar.ts'
import { agesOfState, percentDelay } from '../../../src/domain/law/state-age.ts'
import { months } from '../../../src/domain/units.ts'
import { fact } from '../../helpers/child.ts'
import { on } from '../../helpers/law-dates.ts'
import { RULES } from '../../helpers/rules.ts'

const NJ = 'corrected-to-24-months-if-born-by-38-weeks'
type Rule = Parameters<typeof agesOfState>[2]

/** Ages in days of a child born on 2025-01-01, by gestation in days. */
const agesInDays = (rule: Rule, gestation: number | 'unknown', day = '2026-01-01') =>
  agesOfState(
    {
      birthDate: on('2025-01-01'),
      gestationDays: gestation === 'unknown' ? gestation : fact(gestation),
    },
    civilDate(day),
    rule,
    RULES,
  ).map((age) => Math.round(age * 30.4375))

test.each([
  ['not-seen', 280, [365]],
  ['not-seen', 279, [365, 364]],
  ['not-seen', 224, [365, 309]],
  ['not-seen', 'unknown', [365, 239]],
  ['corrected', 280, [365]],
  ['corrected', 259, [365, 344]],
  ['corrected', 258, [343]],
  ['corrected', 'unknown', [365, 239]],
  // N.J.A.C. 8:17-7.1: 38 weeks 0 days is 266 days, and the text says both.
  [NJ, 265, [350]],
  [NJ, 266, [365, 351]],
  [NJ, 267, [365]],
  [NJ, 'unknown', [365, 239]],
] as const)('%s, born after %s days: the state may mean %j days', (rule, gestation, expected) => {
  expect(agesInDays(rule, gestation)).toEqual(expected)
})

test('New Jersey stops correcting at 24 months', () => {
  expect(agesInDays(NJ, 224, '2026-12-31')).toEqual([673])
  expect(agesInDays(NJ, 224, '2027-01-01')).toEqual([730])
})

test('a child born after 40 weeks is not made older', () => {
  expect(agesInDays('corrected', 290)).toEqual([365])
})

test('before the due date there is no age that a state could mean, after it there is', () => {
  expect(agesInDays('corrected', 224, '2025-02-26')).toEqual([])
  expect(agesInDays('corrected', 224, '2025-02-27')).toEqual([1])
  expect(agesInDays('not-seen', 224, '2025-02-26')).toEqual([])
  expect(agesInDays('not-seen', 224, '2025-02-27')).toEqual([57, 1])
})

test('without a birth date, or before birth, there is no age', () => {
  const none = { birthDate: 'unknown', gestationDays: 'unknown' } as const

  expect(agesOfState(none, civilDate('2026-01-01'), 'not-seen', RULES)).toEqual([])
  expect(agesInDays('not-seen', 280, '2024-12-31')).toEqual([])
  expect(agesInDays('not-seen', 280, '2025-01-01')).toEqual([])
  expect(agesInDays('not-seen', 280, '2025-01-02')).toEqual([1])
})

test('the delay is what development lacks of the age, negative when ahead', () => {
  expect(percentDelay(months(20), months(15))).toBe(25)
  expect(percentDelay(months(20), months(22))).toBe(-10)
})
