import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { addDays, civilDate } from '../../../src/domain/calendar.ts'
import {
  classOf,
  LATE_REFERRAL_CLASSES,
  type LateReferralFacts,
  lateReferral,
} from '../../../src/domain/law/late-referral.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { determinedOn, notDetermined, on, SETTINGS } from '../../helpers/law-dates.ts'

const english = speaker('en')

const BIRTHDAY = civilDate('2026-12-10')
const before = (days: number) => addDays(BIRTHDAY, -days)
const LATER = civilDate('2035-01-01')

const facts = (known: Partial<LateReferralFacts>): LateReferralFacts => ({
  birthDate: on('2023-12-10'),
  referredOn: on(before(122)),
  determination: notDetermined,
  ...known,
})
const answer = (known: Partial<LateReferralFacts>, asOf = LATER) =>
  lateReferral(facts(known), asOf, SETTINGS)

/** Both sides of every limit: 34 CFR 303.209(b)(1)(ii)-(iii), its preamble, 303.21(a). */
test.each([
  [136, 'standard'],
  [135, 'standard-compressed'],
  [90, 'standard-compressed'],
  [89, 'late-45-to-90-pending'],
  [46, 'late-45-to-90-pending'],
  [45, 'gap-review'],
  [44, 'late-under-45'],
  [1, 'late-under-45'],
  [0, 'aged-out'],
  [-1, 'aged-out'],
])('referred with %d days left and not determined: %s', (left, expected) => {
  expect(answer({ referredOn: on(before(left)) }).class).toBe(expected)
})

test.each([
  [200, 90, 'standard'],
  [200, 89, 'late-45-to-90'],
  [122, 90, 'standard'],
  [122, 89, 'late-45-to-90'],
  [122, 46, 'late-45-to-90'],
  [122, 45, 'gap-review'],
  [46, 46, 'late-45-to-90'],
  [46, 0, 'gap-review'],
  [46, -5, 'gap-review'],
  [45, 45, 'gap-review'],
  [44, 44, 'late-under-45'],
  [0, -3, 'aged-out'],
])('referred with %d and determined with %d days left: %s', (referred, determined, expected) => {
  const found = answer({
    referredOn: on(before(referred)),
    determination: determinedOn(before(determined)),
  })

  expect([found.class, found.daysLeftAtReferral, found.daysLeftAtDetermination]).toEqual([
    expected,
    referred,
    determined,
  ])
})

test('a determination of which nothing is known leaves what it may be', () => {
  const found = answer({ determination: 'unknown' }, before(80))

  expect(found).toMatchObject({
    holds: 'unknown',
    class: 'unknown',
    possible: ['standard', 'standard-compressed', 'late-45-to-90'],
    daysLeftAtReferral: 122,
  })
  expect(english.therapist(found.because)).toBe(
    'For information: 122 days before the third birthday at referral; whether and when eligibility was determined is not on record: the class of a late referral is unknown. It may be: standard, standard, compressed, and late with 45 to 90 days left.',
  )
  expect(english.family(found.because)).toContain('time enough, time enough but short, and late')
})

test('an unknown determination may be of any day between referral and answer, and of no other', () => {
  const possible = (referred: number, today: number) =>
    answer({ referredOn: on(before(referred)), determination: 'unknown' }, before(today)).possible

  expect(possible(100, 30)).toEqual([
    'standard',
    'standard-compressed',
    'late-45-to-90',
    'gap-review',
  ])
  expect(possible(50, 40)).toEqual(['late-45-to-90-pending', 'late-45-to-90', 'gap-review'])
  expect(possible(46, 46)).toEqual(['late-45-to-90-pending', 'late-45-to-90'])
})

test('a class that is known holds; rule, sources and evidence are given with it and without', () => {
  const known = answer({ determination: determinedOn(before(100)) })
  const sources = [
    'idea-303-209',
    'idea-303-209-preamble',
    'idea-303-21',
    'late-referral-charts',
    'judgement',
  ]
  const record = ['Observation/a/_history/1']

  expect(known).toMatchObject({ holds: 'yes', rule: 'part-c.late-referral', sources })
  expect(known.evidence).toEqual(record)
  expect(answer({ birthDate: 'unknown' })).toMatchObject({
    rule: 'part-c.late-referral',
    sources,
    evidence: record,
  })
})

test('where it does not matter whether eligibility was determined, the class is known', () => {
  const open = { determination: 'unknown' } as const

  expect(answer({ ...open, referredOn: on(before(44)) }).class).toBe('late-under-45')
  expect(answer({ ...open, referredOn: on(before(45)) }).class).toBe('gap-review')
  expect(answer({ ...open, referredOn: on(before(0)) }).class).toBe('aged-out')
  expect(answer({ ...open, referredOn: on(before(200)) }, before(90)).class).toBe('standard')
  expect(answer({ ...open, referredOn: on(before(200)) }, before(89)).class).toBe('unknown')
})

test('without a birth date or a day of referral every class is possible', () => {
  for (const known of [{ birthDate: 'unknown' }, { referredOn: 'unknown' }] as const)
    expect(answer(known)).toMatchObject({ class: 'unknown', possible: LATE_REFERRAL_CLASSES })
})

test.each([
  ['a referral before birth', { referredOn: on('2023-12-09') }, before(0)],
  ['a referral after the day of the answer', { referredOn: on(before(99)) }, before(100)],
  ['a determination before the referral', { determination: determinedOn(before(123)) }, LATER],
  ['a determination after the answer', { determination: determinedOn(before(99)) }, before(100)],
])('%s contradicts itself and gives no class', (_title, known, asOf) => {
  expect(answer(known, asOf)).toMatchObject({ holds: 'unknown', class: 'unknown' })
})

test('a referral and a determination on the day of birth or of the answer are taken', () => {
  const born = answer({ referredOn: on('2023-12-10') })
  const today = answer({ determination: determinedOn(before(100)) }, before(100))

  expect([born.class, today.class]).toEqual(['standard', 'standard'])
  expect(answer({ referredOn: on(before(100)) }, before(100)).class).toBe('standard-compressed')
})

test('29 February: the day on which the child turns three moves the class', () => {
  const known = facts({
    birthDate: on('2024-02-29'),
    referredOn: on('2027-01-15'),
  })

  expect(lateReferral(known, LATER, SETTINGS).class).toBe('late-under-45')
  expect(lateReferral(known, LATER, { ...SETTINGS, leapBirthday: 'mar1' }).class).toBe('gap-review')
})

test('a gap asks for a person and keeps the duty', () => {
  const { because } = answer({ referredOn: on(before(45)) })

  expect(english.therapist(because)).toBe(
    'For information: 45 days before the third birthday at referral: neither 34 CFR 303.209(b)(1)(ii) nor (iii) covers this; a person must look. Until then keep the 45-day duty and notify at once.',
  )
  expect(speaker('es').therapist(because)).toMatch(
    /^A título informativo: 45 días antes del tercer/,
  )
})

test('the days at the determination are told, also after the third birthday', () => {
  const words = (left: number) =>
    english.therapist(
      answer({ referredOn: on(before(46)), determination: determinedOn(before(left)) }).because,
    )

  expect(words(46)).toContain('at referral, 46 days when eligibility was determined: notify')
  expect(words(1)).toContain('at referral, 1 day when eligibility was determined: neither')
  expect(words(0)).toContain('at referral, 0 days when eligibility was determined: neither')
  expect(words(-5)).toContain('at referral, eligibility determined 5 days after it: neither')
})

test('every class, and every way not to know it, can be said in every voice', () => {
  const referred = [136, 135, 89, 45, 44, 0].map((left) => answer({ referredOn: on(before(left)) }))
  const others = [
    answer({ determination: determinedOn(before(80)) }),
    answer({ determination: determinedOn(before(-1)) }),
    answer({ determination: 'unknown' }, before(80)),
    answer({ birthDate: 'unknown' }),
    answer({ referredOn: 'unknown' }),
    answer({ referredOn: on('2023-12-09') }),
    answer({ determination: determinedOn(before(123)) }),
  ]

  expect(faultsInVoices([...referred, ...others].map(({ because }) => because))).toEqual([])
})

const LATENESS = ['standard', 'late-45-to-90', 'gap-review'] as const

test('a later determination never makes the class less late', () => {
  fc.assert(
    fc.property(fc.nat(1000), fc.nat(1000), fc.nat(1000), (referral, a, b) => {
      const [early, late] = [Math.min(a, b), Math.max(a, b)]
      const rank = (days: number) =>
        LATENESS.findIndex(
          (one) =>
            one === classOf({ atReferral: referral + 46, atDetermination: referral + 46 - days }),
        )

      expect(rank(early)).toBeGreaterThanOrEqual(0)
      expect(rank(early)).toBeLessThanOrEqual(rank(late))
    }),
  )
})

test('what an unknown determination may be holds every class that a known one gives', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: -10, max: 400 }),
      fc.nat(400),
      fc.nat(400),
      (referral, first, second) => {
        const [sooner, later] = [Math.min(first, second), Math.max(first, second)]
        const asOf = before(referral - later)
        const referredOn = on(before(referral))
        const open = answer({ referredOn, determination: 'unknown' }, asOf)
        const known = answer(
          { referredOn, determination: determinedOn(before(referral - sooner)) },
          asOf,
        )

        expect(open.possible).toContain(known.class)
        expect(open.possible).toContain(answer({ referredOn }, asOf).class)
      },
    ),
  )
})
