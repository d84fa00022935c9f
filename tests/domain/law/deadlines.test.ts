import { describe, expect, test } from 'vitest'
import { ages } from '../../../src/domain/development/age.ts'
import { addDays, civilDate } from '../../../src/domain/calendar.ts'
import { type DeadlineFacts, deadlines } from '../../../src/domain/law/deadlines.ts'
import {
  accountingFrom,
  encountersForOrder,
  keepDocumentation,
  keepProofOfDelivery,
} from '../../../src/domain/law/record-duties.ts'
import type { RuleSet } from '../../../src/domain/rules/rule-set.ts'
import { standardised } from '../../../src/domain/development/standardised.ts'
import { percentDelay } from '../../../src/domain/law/state-age.ts'
import { stateThreshold } from '../../../src/domain/law/state-thresholds.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { months } from '../../../src/domain/units.ts'
import { child, fact } from '../../helpers/child.ts'
import {
  determinedOn,
  exception,
  lawFacts,
  noExceptions,
  notDetermined,
  on,
  printed,
  SETTINGS,
  target,
} from '../../helpers/law-dates.ts'
import { RULES } from '../../helpers/rules.ts'
import { delayFacts } from '../../helpers/state-delays.ts'

/*
 * Worked dates D01 to D35, computed from 34 CFR Part 303, 45 CFR Part 164 and 42 CFR Parts 410 and 424
 * and typed in by hand; each names its section. The day of the answer is long after all of them.
 */
const LATER = civilDate('2035-01-01')

const withSettings = (settings: Partial<RuleSet['deadlines']>): RuleSet => ({
  ...RULES,
  deadlines: { ...RULES.deadlines, ...settings },
})

const of = (known: Partial<DeadlineFacts>, rules: RuleSet = RULES) =>
  deadlines(lawFacts({ exceptions: noExceptions, ...known }), LATER, rules)

describe('34 CFR 303.303(a)(2)(i): seven calendar days to refer', () => {
  test('D01 a child identified on 2026-01-30 is referred by 2026-02-06', () => {
    const { referralDue } = of({ identifiedOn: on('2026-01-30') })

    expect([printed(referralDue), target(referralDue)]).toEqual(['2026-02-06 Fri', '2026-02-06'])
  })

  test('D02 over the year end the limit is a Saturday; the working target is the Friday', () => {
    const { referralDue } = of({ identifiedOn: on('2026-12-26') })

    expect([printed(referralDue), target(referralDue)]).toEqual(['2027-01-02 Sat', '2027-01-01'])
  })
})

describe('34 CFR 303.310(a): 45 calendar days from receipt', () => {
  test.each([
    ['D03', 'plain', '2026-02-02', '2026-03-19 Thu', '2026-03-19'],
    ['D04', 'ends on a Saturday and does not roll', '2026-04-15', '2026-05-30 Sat', '2026-05-29'],
    ['D05', 'across 29 February', '2028-01-20', '2028-03-05 Sun', '2028-03-03'],
    ['D06', 'same start in a common year', '2027-01-20', '2027-03-06 Sat', '2027-03-05'],
  ])('%s %s: received %s, due %s', (_id, _title, received, due, working) => {
    const { clock } = of({ receivedOn: on(received) })

    expect([printed(clock.due), target(clock.due)]).toEqual([due, working])
  })

  test('D07 with the day of receipt as day 1 the date is a day earlier', () => {
    const rules = withSettings({ countingConvention: 'receipt-is-day-one' })
    const { clock } = of({ receivedOn: on('2026-02-02') }, rules)

    expect(printed(clock.due)).toBe('2026-03-18 Wed')
    expect(clock.due).toMatchObject({ counted: { countingConvention: 'receipt-is-day-one' } })
  })
})

describe('34 CFR 303.310(b)-(c): documented exceptions', () => {
  test('D08 a documented hospital stay of 15 days is told and moves no duty', () => {
    const stay = exception('2026-06-20', '2026-07-04')
    const { clock } = of({ receivedOn: on('2026-06-01'), exceptions: fact([stay]) })

    expect([printed(clock.due), clock.excludedDays]).toEqual(['2026-07-16 Thu', 15])
    expect([printed(clock.tolled), clock.asSoonAsPossibleAfter, clock.interimPlan]).toEqual([
      '2026-07-31 Fri',
      '2026-07-04',
      'yes',
    ])
  })

  test('D09 consent withheld from the day of receipt: that day itself is not counted', () => {
    const withheld = exception('2026-09-08', '2026-10-02', { kind: 'consent-not-given' })
    const { clock } = of({ receivedOn: on('2026-09-08'), exceptions: fact([withheld]) })

    expect([printed(clock.due), clock.excludedDays]).toEqual(['2026-10-23 Fri', 24])
    expect([printed(clock.tolled), clock.asSoonAsPossibleAfter]).toEqual([
      '2026-11-16 Mon',
      '2026-10-02',
    ])
  })

  test('D10 an absence that nobody documented is ignored', () => {
    const absence = exception('2026-06-20', '2026-07-04', { documented: 'no' })
    const { clock } = of({ receivedOn: on('2026-06-01'), exceptions: fact([absence]) })

    expect([printed(clock.due), clock.excludedDays]).toEqual(['2026-07-16 Thu', 0])
    expect(clock.tolled.holds).toBe('no')
  })
})

describe('34 CFR 303.209(b)-(d): transition window', () => {
  test.each([
    ['D11', '2024-05-31', 'feb28', '2027-05-31 Mon', '2026-08-31 Mon', '2027-03-02 Tue'],
    ['D12', '2023-11-30', 'feb28', '2026-11-30 Mon', '2026-02-28 Sat', '2026-09-01 Tue'],
    ['D13', '2024-02-29', 'feb28', '2027-02-28 Sun', '2026-05-28 Thu', '2026-11-30 Mon'],
    ['D14', '2024-02-29', 'mar1', '2027-03-01 Mon', '2026-06-01 Mon', '2026-12-01 Tue'],
  ] as const)('%s born %s under %s turns three on %s', (_id, born, leapBirthday, ...expected) => {
    const { transition } = of({ birthDate: on(born) }, withSettings({ leapBirthday }))

    expect([transition.thirdBirthday, transition.opens, transition.due].map(printed)).toEqual(
      expected,
    )
  })
})

/** The examples give one date for referral and receipt; days left at the 45-day date are counted. */
interface LateExample {
  readonly referred: string
  readonly determined?: string
  readonly is: string
  readonly left: number
  readonly leftAtDetermination?: number
  readonly due?: string
  readonly leftAtDue?: number
}

const LATE: Readonly<Record<string, LateExample>> = {
  'D15 well before three: ordinary duties': {
    referred: '2026-07-15',
    determined: '2026-08-20',
    is: 'standard',
    left: 148,
    leftAtDetermination: 112,
    due: '2026-08-29 Sat',
    leftAtDue: 103,
  },
  'D16 122 days before three: both clocks collide': {
    referred: '2026-08-10',
    is: 'standard-compressed',
    left: 122,
    due: '2026-09-24 Thu',
    leftAtDue: 77,
  },
  'D17 determined eligible 86 days before three': {
    referred: '2026-08-10',
    determined: '2026-09-15',
    is: 'late-45-to-90',
    left: 122,
    leftAtDetermination: 86,
    due: '2026-09-24 Thu',
    leftAtDue: 77,
  },
  'D18 referred 70, determined 51 days before three': {
    referred: '2026-10-01',
    determined: '2026-10-20',
    is: 'late-45-to-90',
    left: 70,
    leftAtDetermination: 51,
    due: '2026-11-15 Sun',
    leftAtDue: 25,
  },
  'D19 referred exactly 90 days before three': {
    referred: '2026-09-11',
    is: 'standard-compressed',
    left: 90,
    due: '2026-10-26 Mon',
    leftAtDue: 45,
  },
  'D20 referred exactly 45 days before three: first gap': {
    referred: '2026-10-26',
    is: 'gap-review',
    left: 45,
    due: '2026-12-10 Thu',
    leftAtDue: 0,
  },
  'D21 referred 44 days before three: no evaluation is due': {
    referred: '2026-10-27',
    is: 'late-under-45',
    left: 44,
  },
  'D22 referred 76, determined 35 days before three: second gap': {
    referred: '2026-09-25',
    determined: '2026-11-05',
    is: 'gap-review',
    left: 76,
    leftAtDetermination: 35,
    due: '2026-11-09 Mon',
    leftAtDue: 31,
  },
  'D34 referred 60 days before three, not yet determined': {
    referred: '2026-10-11',
    is: 'late-45-to-90-pending',
    left: 60,
    due: '2026-11-25 Wed',
    leftAtDue: 15,
  },
  'D35 referred on the third birthday': { referred: '2026-12-10', is: 'aged-out', left: 0 },
}

describe('34 CFR 303.209(b)(1): late referral of a child born on 2023-12-10', () => {
  test.each(Object.entries(LATE))('%s', (_title, example) => {
    const { lateReferral, clock, transition } = of({
      birthDate: on('2023-12-10'),
      referredOn: on(example.referred),
      receivedOn: on(example.referred),
      determination:
        example.determined === undefined ? notDetermined : determinedOn(example.determined),
    })

    expect(printed(transition.thirdBirthday)).toBe('2026-12-10 Thu')
    expect([lateReferral.class, lateReferral.daysLeftAtReferral]).toEqual([
      example.is,
      example.left,
    ])
    expect(lateReferral.daysLeftAtDetermination).toBe(example.leftAtDetermination)
    expect(printed(clock.due)).toBe(example.due ?? 'no')
    if (clock.due.holds === 'yes' && example.leftAtDue !== undefined)
      expect(addDays(clock.due.on, example.leftAtDue)).toBe('2026-12-10')
  })
})

describe('34 CFR 303.342(b)-(c): reviews of the plan', () => {
  test.each([
    ['D23', '2026-08-31', '2027-02-28 Sun', '2027-08-31 Tue'],
    ['D24', '2027-08-31', '2028-02-29 Tue', '2028-08-31 Thu'],
  ])('%s a plan of %s is reviewed by %s and evaluated by %s', (_id, plan, next, annual) => {
    const { planReviews } = of({ planOn: on(plan) })

    expect([printed(planReviews.next), printed(planReviews.annual)]).toEqual([next, annual])
  })
})

describe('records: 34 CFR 303.409, 45 CFR 164.316, 164.528, 42 CFR 410.38, 424.57', () => {
  test('D25 a parent who asks on Christmas Eve is answered within ten calendar days', () => {
    const due = of({ inspectionAskedOn: on('2026-12-24') }).inspection
    if (due === undefined) throw new Error('no day')

    expect([printed(due), target(due)]).toEqual(['2027-01-03 Sun', '2027-01-01'])
    expect(of({}).inspection).toBeUndefined()
  })

  test('D26 an encounter counts from six months before the order', () => {
    const encounters = ['2026-02-09', '2026-02-10'].map(civilDate)

    expect(encountersForOrder(civilDate('2026-08-10'), encounters)).toEqual({
      from: '2026-02-10',
      valid: ['2026-02-10'],
    })
  })

  test.each([
    ['D27', '2030-02-28', '2024-02-28', true],
    ['D28', '2030-03-01', '2024-03-01', false],
  ])('%s an accounting asked on %s looks back to %s: leap day %s', (_id, asked, from, included) => {
    expect(accountingFrom(civilDate(asked))).toBe(from)
    expect(civilDate('2024-02-29') >= accountingFrom(civilDate(asked))).toBe(included)
  })

  test('D29 documentation is kept six years from when it was last in effect', () => {
    const kept = { createdOn: on('2024-01-10'), lastInEffectOn: on('2026-02-28') }

    expect(keepDocumentation(kept, SETTINGS)).toMatchObject({ on: '2032-02-28' })
  })

  test('D30 proof of delivery is kept seven years', () => {
    expect(keepProofOfDelivery(on('2026-03-04'), SETTINGS)).toMatchObject({ on: '2033-03-04' })
  })
})

describe('34 CFR 303.111: numbers of the states', () => {
  test('D31 N.J.A.C. 8:17-7.1: the corrected age decides', () => {
    const born = child({ birthDate: on('2025-06-01'), gestationDays: fact(224) })
    const day = civilDate('2026-06-01')
    const age = ages(born, day, RULES)
    const developmental = months(8)
    const answer = (gestationDays: number) =>
      stateThreshold(
        'NJ',
        delayFacts({
          birthDate: on('2025-06-01'),
          gestationDays: fact(gestationDays),
          developmentalAge: fact(developmental),
        }),
        day,
        RULES,
      ).criteria.map(({ holds }) => holds)

    expect(addDays(day, -(age.correctedDays ?? 0))).toBe('2025-07-27')
    expect([age.chronologicalDays, age.correctedDays]).toEqual([365, 309])
    expect(age.chronologicalMonths).toBeCloseTo(11.99, 2)
    expect(age.correctedMonths).toBeCloseTo(10.15, 2)
    expect(percentDelay(age.chronologicalMonths, developmental)).toBeCloseTo(33.3, 1)
    expect(percentDelay(age.months, developmental)).toBeCloseTo(21.2, 1)
    // In the order of the state: 33 %, 25 % in two domains, 2.0 SD, 1.5 SD in two domains.
    expect(answer(224)).toEqual(['no', 'no', 'unknown', 'unknown'])
    expect(answer(280)).toEqual(['yes', 'yes', 'unknown', 'unknown'])
  })

  test('D32 Washington: exactly 25 % reaches the published number', () => {
    expect(percentDelay(months(24), months(18))).toBe(25)
    const quarter = fact({ kind: 'percent-delay', percent: 25 } as const)

    expect(
      stateThreshold('WA', delayFacts({ standardised: quarter }), civilDate('2026-06-01'), RULES),
    ).toMatchObject({ holds: 'yes' })
  })

  test('D33 Pennsylvania: a standard score of 78 is 1.47 SD, and a county page prints 78', () => {
    const result = { kind: 'standard-score', score: 78, mean: 100, sd: 15 } as const
    const { criteria } = stateThreshold(
      'PA',
      delayFacts({ standardised: fact(result) }),
      civilDate('2026-06-01'),
      RULES,
    )

    expect(standardised(result).z).toBeCloseTo(-1.47, 2)
    expect(criteria[1]).toMatchObject({
      number: { key: 'state-criterion.sd-below-mean', values: { sd: 1.5, domains: 1 } },
      holds: 'no',
      printedScore: 'yes',
    })
  })
})

test('every date and class is for information, with a source', () => {
  const { findings } = of({})

  expect(findings).toHaveLength(9)
  for (const { because } of findings) {
    expect(speaker('en').therapist(because)).toMatch(/^For information: /)
    expect(speaker('en').family(because)).toMatch(/^For your information: /)
    expect(speaker('es').therapist(because)).toMatch(/^A título informativo: /)
    expect(speaker('es').family(because)).toMatch(/^Para su información: /)
  }
  expect(findings.map(({ sources }) => sources.length > 0)).not.toContain(false)
})

test('with nothing on record every date is unknown', () => {
  const { findings } = deadlines(lawFacts(), LATER, RULES)

  expect(new Set(findings.map(({ holds }) => holds))).toEqual(new Set(['unknown']))
})
