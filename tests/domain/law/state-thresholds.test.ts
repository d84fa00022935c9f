import * as fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { civilDate } from '../../../src/domain/calendar.ts'
import type { StandardisedResult } from '../../../src/domain/child.ts'
import { type DelayFacts, stateThreshold } from '../../../src/domain/law/state-thresholds.ts'
import { evidenceRef } from '../../../src/domain/facts.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { STATE_THRESHOLDS } from '../../../src/domain/tables/state-thresholds.ts'
import { months } from '../../../src/domain/units.ts'
import { fact } from '../../helpers/child.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { on } from '../../helpers/law-dates.ts'
import { RULES } from '../../helpers/rules.ts'
import { delayFacts, estimate } from '../../helpers/state-delays.ts'

const english = speaker('en')
const DAY = '2026-06-01'

const answer = (state: string, known: Partial<DelayFacts>, day = DAY) =>
  stateThreshold(state, delayFacts(known), civilDate(day), RULES)
const percent = (value: number): Partial<DelayFacts> => ({
  standardised: fact<StandardisedResult>({ kind: 'percent-delay', percent: value }),
})
const z = (value: number): Partial<DelayFacts> => ({
  standardised: fact<StandardisedResult>({ kind: 'z-score', z: value }),
})
const numberOf = (state: string, number: string, known: Partial<DelayFacts>, day = DAY) =>
  answer(state, known, day).criteria.find((one) => english.therapist(one.number) === number)

/**
 * Typed from the texts of the states, each with what misses and what reaches: the national table of
 * 2015-03-04 (AL, AK), agencies (CT, IL, NY, WA), rules (470 IAC 3.1-7-1, Iowa 281-120.21, N.J.A.C.
 * 8:17-7.1, 26 TAC 350.809), secondary pages (CA, CO, DE, PA).
 */
const PERCENT: readonly [string, number, 1 | 2][] = [
  ['AL', 25, 1],
  ['AK', 50, 1],
  ['CA', 25, 1],
  ['CO', 33, 1],
  ['DE', 25, 1],
  ['IL', 30, 1],
  ['IN', 25, 1],
  ['IN', 20, 2],
  ['IA', 25, 1],
  ['NJ', 33, 1],
  ['NJ', 25, 2],
  ['NY', 33, 1],
  ['NY', 25, 2],
  ['PA', 25, 1],
  ['TX', 25, 1],
  ['WA', 25, 1],
]
const SD: readonly [string, number, 1 | 2][] = [
  ['CT', 2, 1],
  ['CT', 1.5, 2],
  ['IN', 2, 1],
  ['IN', 1.5, 2],
  ['NJ', 2, 1],
  ['NJ', 1.5, 2],
  ['NY', 2, 1],
  ['NY', 1.5, 2],
  ['PA', 1.5, 1],
  ['WA', 1.5, 1],
]
const domains = (count: 1 | 2) => (count === 1 ? 'in one domain' : 'in two domains')

describe('each state, both sides of its number', () => {
  test.each(PERCENT)('%s: %d %% in %d', (state, value, count) => {
    const number = `${value} % delay ${domains(count)}`
    const answers = [value - 0.1, value].map((one) => numberOf(state, number, percent(one))?.holds)

    expect(answers).toEqual(['no', 'yes'])
    expect(numberOf(state, number, z(-1))?.holds).toBe('unknown')
  })

  test.each(SD)('%s: %d SD in %d', (state, value, count) => {
    const number = `${value} SD below the mean ${domains(count)}`
    const answers = [0.01 - value, -value].map((one) => numberOf(state, number, z(one))?.holds)

    expect(answers).toEqual(['no', 'yes'])
    expect(numberOf(state, number, percent(10))?.holds).toBe('unknown')
  })

  test('American Samoa: any delay', () => {
    expect([0, 0.1].map((one) => answer('AS', percent(one)).holds)).toEqual(['no', 'yes'])
  })

  test('Arizona: under half of what is expected at the age', () => {
    expect([50, 50.1].map((one) => answer('AZ', percent(one)).holds)).toEqual(['no', 'yes'])
  })

  test('New York: twelve months of delay', () => {
    const known = (developmental: number): Partial<DelayFacts> => ({
      birthDate: on('2023-07-01'),
      gestationDays: fact(280),
      developmentalAge: fact(months(developmental)),
    })
    const number = '12 months of delay in one domain'
    // 1066 days are 35.02 months.
    const answers = [23.1, 23].map((one) => numberOf('NY', number, known(one))?.holds)

    expect(answers).toEqual(['no', 'yes'])
  })

  test('the table has these numbers and no others', () => {
    const typed = PERCENT.length + SD.length + ['AS', 'AZ', 'NY months'].length
    // Besides: Texas for expressive communication alone, and four that are no longer in force.
    const count = Object.values(STATE_THRESHOLDS)
      .flatMap(({ versions }) => versions)
      .flatMap(({ anyOf }) => anyOf).length

    expect(count).toBe(typed + 1 + 4)
  })
})

describe('numbers in force', () => {
  const young = { birthDate: on('2021-01-01'), gestationDays: fact(280) }

  test('California: 33 % until 2022-06-30 under 24 months, 25 % from 2022-07-01', () => {
    const holds = (value: number, day: string) =>
      answer('CA', { ...percent(value), ...young }, day).holds

    expect([holds(30, '2022-06-30'), holds(33, '2022-06-30')]).toEqual(['no', 'yes'])
    expect([holds(24.9, '2022-07-01'), holds(25, '2022-07-01')]).toEqual(['no', 'yes'])
  })

  test('California before: 50 % from 24 months, and open where the age is', () => {
    const old = { birthDate: on('2020-01-01'), gestationDays: fact(280) }
    const holds = (value: number, born: Partial<DelayFacts>) =>
      answer('CA', { ...percent(value), ...born }, '2022-06-01').holds

    expect([holds(40, old), holds(50, old)]).toEqual(['no', 'yes'])
    expect([holds(40, {}), holds(50, {}), holds(20, {})]).toEqual(['unknown', 'yes', 'no'])
  })

  test('California before: the limit of 24 months itself belongs to the older children', () => {
    const holds = (day: string) =>
      answer('CA', { ...percent(40), birthDate: on('2020-01-01'), gestationDays: fact(280) }, day)
        .holds

    // 730 days are 23.98 months, 731 are 24.02.
    expect([holds('2021-12-31'), holds('2022-01-01')]).toEqual(['yes', 'no'])
  })

  test('California before: a child whose age may lie on either side is under both numbers', () => {
    const preterm = { birthDate: on('2020-01-01'), gestationDays: fact(224) }
    // 750 days from birth are 24.6 months, 694 from the due date 22.8.
    const holds = [30, 40, 50].map(
      (value) => answer('CA', { ...percent(value), ...preterm }, '2022-01-20').holds,
    )

    expect(holds).toEqual(['no', 'unknown', 'yes'])
  })

  test('Colorado: 25 % before 2020, either in 2020, 33 % after', () => {
    const holds = (day: string) => answer('CO', percent(30), day).holds

    expect(['2019-12-31', '2020-01-01', '2020-12-31', '2021-01-01'].map(holds)).toEqual([
      'yes',
      'unknown',
      'unknown',
      'no',
    ])
    expect(answer('CO', percent(33), '2020-06-01').holds).toBe('yes')
  })
})

describe('the whole answer', () => {
  test('a number for two domains decides nothing in one', () => {
    const found = answer('NJ', percent(30))

    expect(found.criteria.map(({ holds }) => holds)).toEqual(['no', 'yes', 'unknown', 'unknown'])
    expect(found.holds).toBe('unknown')
  })

  test('one number reached is enough; a scale that is not known keeps the rest open', () => {
    expect(answer('WA', percent(25)).holds).toBe('yes')
    expect(answer('WA', percent(24)).holds).toBe('unknown')
    expect(answer('IA', percent(24)).holds).toBe('no')
  })

  test('Texas: the number for expressive communication alone is none for motor development', () => {
    expect(answer('TX', percent(26)).criteria).toHaveLength(1)
  })

  test('with nothing known it is unknown', () => {
    expect(answer('IA', {})).toMatchObject({ holds: 'unknown', evidence: [] })
  })

  test.each([
    ['GA', 'a published number was looked for and not found for this state'],
    ['OR', 'no published number is on record for this state'],
    ['toString', 'no published number is on record for this state'],
  ])('%s has no number: unknown', (state, why) => {
    const found = answer(state, percent(80))

    expect(found).toMatchObject({ holds: 'unknown', criteria: [] })
    expect(english.therapist(found.because)).toContain(why)
    expect(found).not.toHaveProperty('read')
    expect(found).toMatchObject({
      rule: 'state-threshold',
      sources: ['idea-303-111', 'idea-303-321'],
      evidence: [],
    })
  })

  test('it names its rule, its sources, and the records of all that was looked at', () => {
    const record = (name: string) => evidenceRef(`Observation/${name}`)
    const found = answer('CA', {
      standardised: fact({ kind: 'percent-delay', percent: 30 }, DAY, record('result')),
      developmentalAge: fact(months(9), DAY, record('developmental-age')),
      birthDate: fact(civilDate('2025-06-01'), DAY, record('birth')),
      gestationDays: fact(280, DAY, record('gestation')),
      estimate: estimate({ evidence: [record('milestone')] }),
    })

    expect(found).toMatchObject({
      rule: 'state-threshold',
      sources: ['state-ca', 'idea-303-111', 'idea-303-321', 'judgement'],
      evidence: ['birth', 'developmental-age', 'gestation', 'milestone', 'result'].map(record),
    })
  })

  test('what was not worked out is absent', () => {
    const [criterion] = answer('IA', percent(30)).criteria

    expect(criterion).not.toHaveProperty('probability')
    expect(criterion).not.toHaveProperty('printedScore')
  })

  test('it never speaks of eligibility and names the other routes', () => {
    for (const state of [...Object.keys(STATE_THRESHOLDS), 'GA', 'OR'])
      for (const known of [percent(10), percent(60), z(-3), {}, { estimate: estimate() }]) {
        const { because } = answer(state, known)
        const said = english.therapist(because)

        expect(faultsInVoices([because])).toEqual([])
        expect(`${said} ${english.family(because)}`).not.toMatch(/eligib/i)
        expect(said).toMatch(/^For information: .*The law has other routes/)
        expect(english.family(because)).toMatch(/The number alone does not decide\./)
      }
  })

  test('it says of when the text is and whether it was confirmed', () => {
    expect(answer('PA', {}).read).toMatchObject({ asOf: 'undated', confirmed: false })
    expect(answer('CA', {}).read).toEqual({
      asOf: '2022-07-01',
      confirmed: false,
      note: 'before 2022-07-01 the age on the day of the first referral was used',
    })
    expect(answer('IN', {}).read).toStrictEqual({ asOf: '2024-09-18', confirmed: true })
  })
})

describe('what decides', () => {
  test('a result as given outranks the estimate, whose probability is shown', () => {
    const found = answer('IA', { ...percent(10), estimate: estimate({ percent: 60 }) })

    expect(found.criteria[0]).toMatchObject({ holds: 'no', probability: 0.6 })
  })

  test('a result on another scale leaves the estimate beside, not in its place', () => {
    const found = answer('IA', { ...z(-1), estimate: estimate({ percent: 60 }) })

    expect(found.criteria[0]).toMatchObject({ holds: 'unknown', probability: 0.6 })
  })

  test('without a result the point of the estimate decides', () => {
    const holds = (value: number) => answer('IA', { estimate: estimate({ percent: value }) }).holds

    expect([holds(24.9), holds(25)]).toEqual(['no', 'yes'])
  })

  test('a developmental age counts only where every age that the state may mean agrees', () => {
    const holds = (developmental: number) =>
      answer('IA', {
        birthDate: on('2025-06-01'),
        gestationDays: fact(224),
        developmentalAge: fact(months(developmental)),
      }).holds

    // 12.0 months from birth, 10.2 from the due date: 25 % under 9.0 and under 7.6.
    expect([holds(7.6), holds(7.7), holds(8.9), holds(9.1)]).toEqual([
      'yes',
      'unknown',
      'unknown',
      'no',
    ])
  })

  test('a developmental age without a birth date says nothing, and the estimate does not step in', () => {
    const found = answer('IA', { developmentalAge: fact(months(9)), estimate: estimate() })

    expect(found.holds).toBe('unknown')
  })

  test('a developmental age fills the scale that a result does not give', () => {
    const known: Partial<DelayFacts> = {
      ...z(-1),
      birthDate: on('2024-06-01'),
      gestationDays: fact(280),
      developmentalAge: fact(months(12)),
    }

    expect(answer('WA', known).criteria.map(({ holds }) => holds)).toEqual(['no', 'yes'])
    expect(answer('WA', { ...z(-1), developmentalAge: fact(months(12)) }).criteria).toMatchObject([
      { holds: 'no' },
      { holds: 'unknown' },
    ])
  })
})

test('a larger delay never turns a number reached into one that is not', () => {
  const anyState = fc.constantFrom(...Object.keys(STATE_THRESHOLDS))
  const rank = { no: 0, unknown: 1, yes: 2 }

  fc.assert(
    fc.property(anyState, fc.nat(100), fc.nat(100), (state, a, b) => {
      const holds = (value: number) => rank[answer(state, percent(value)).holds]

      expect(holds(Math.min(a, b))).toBeLessThanOrEqual(holds(Math.max(a, b)))
    }),
  )
})
