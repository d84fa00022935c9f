import * as fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { addDays, civilDate } from '../../../src/domain/calendar.ts'
import { deadlines } from '../../../src/domain/law/deadlines.ts'
import {
  REFERRAL_STATES,
  type ReferralState,
} from '../../../src/domain/referral/referral-states.ts'
import {
  legalDates,
  type ReferralCourse,
  remindersDue,
  TIMERS,
} from '../../../src/domain/referral/timers.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { on } from '../../helpers/law-dates.ts'
import { RULES } from '../../helpers/rules.ts'
import { say } from '../../../src/domain/messages/message.ts'

// Which timers there are: no receipt, no triage, no date, no reply, information not sent, overdue visit, legal
// dates. Their lengths are ours (judgement): no published figure for referrals to orthotics is known.

const DAY = civilDate('2026-03-02')
const after = (days: number) => addDays(DAY, days)

const course = (known: Partial<ReferralCourse> = {}): ReferralCourse => ({
  state: 'on-hold',
  since: DAY,
  receivedOn: DAY,
  seeBy: 'unknown',
  informationAskedOn: [],
  visitsOn: [],
  legalDates: [],
  ...known,
})
const told = (known: Partial<ReferralCourse>, days: number) =>
  remindersDue(course(known), after(days), RULES).map(({ timer, due }) => [timer, due])

describe('a limit has passed on the day after its last one', () => {
  test.each([
    ['no-receipt', 1, { state: 'sent' }],
    ['no-triage', 3, { state: 'in-triage' }],
    ['no-decision', 3, { state: 'cancellation-requested' }],
    ['no-date', 7, { state: 'accepted' }],
    ['no-date', 7, { state: 'missed' }],
    ['no-date', 7, { state: 'visit-cancelled' }],
    ['no-reply', 7, { state: 'visit-done' }],
    ['information-not-sent', 7, { state: 'awaiting-information' }],
    [
      'information-not-sent',
      7,
      { state: 'visit-done', informationAskedOn: [DAY], since: after(5) },
    ],
    ['overdue-visit', 20, { state: 'scheduled', seeBy: after(20) }],
    ['overdue-visit', 12, { state: 'scheduled', seeBy: after(20), visitsOn: [after(12)] }],
  ] as const)('%s after %d days', (timer, days, known) => {
    expect(told(known, days)).toEqual([])
    expect(told(known, days + 1)).toEqual([[timer, after(days)]])
  })

  test('a legal date is told 14 days before the day to work towards', () => {
    const date = {
      rule: 'r',
      on: after(32),
      workingTarget: after(30),
      because: say('reminder.settled'),
    }
    expect(told({ legalDates: [date] }, 15)).toEqual([])
    expect(told({ legalDates: [date] }, 16)).toEqual([['legal-date', after(30)]])
  })
})

describe('what is nobody’s task', () => {
  test('a date for a visit ends the search for one, until it has passed', () => {
    const known: Partial<ReferralCourse> = { state: 'accepted', visitsOn: [after(3), after(10)] }
    expect(told(known, 10)).toEqual([])
    expect(told(known, 11)).toEqual([['no-date', after(7)]])
  })

  test('a legal date that had passed when the referral came', () => {
    const date = {
      rule: 'r',
      on: after(-1),
      workingTarget: after(-1),
      because: say('reminder.settled'),
    }
    expect(told({ legalDates: [date] }, 0)).toEqual([])
    expect(told({ legalDates: [{ ...date, on: DAY }] }, 0)).toEqual([['legal-date', after(-1)]])
  })

  test('what waits on purpose is not late, and of what is to be given up only the decision, whatever else is open', () => {
    const open = { seeBy: after(1), informationAskedOn: [DAY] }
    expect(told({ state: 'on-hold', ...open }, 300)).toEqual([])
    expect(told({ state: 'cancellation-requested', ...open }, 300)).toEqual([
      ['no-decision', after(3)],
    ])
  })

  test('a child who was seen is not overdue', () => {
    expect(told({ state: 'visit-done', seeBy: after(1) }, 5)).toEqual([])
  })

  test.each([
    'drafted',
    'completed',
    'loop-closed',
    'rejected',
    'failed',
    'cancelled',
    'entered-in-error',
  ] as const)('a referral that is %s', (state) => {
    const date = {
      rule: 'r',
      on: after(9),
      workingTarget: after(9),
      because: say('reminder.settled'),
    }
    const open = { seeBy: after(1), informationAskedOn: [DAY], legalDates: [date] }
    expect(told({ state, ...open }, 300)).toEqual([])
  })
})

test('of several requests for information the first counts', () => {
  expect(told({ state: 'accepted', informationAskedOn: [after(5), DAY] }, 8)).toContainEqual([
    'information-not-sent',
    after(7),
  ])
})

test('the same cause has the same occasion on every day, another one another', () => {
  const occasions = (known: Partial<ReferralCourse>, days: number) =>
    remindersDue(course({ state: 'missed', ...known }), after(days), RULES).map(
      ({ timer, occasion }) => `${timer} ${occasion}`,
    )
  expect(occasions({}, 9)).toEqual(occasions({}, 40))
  expect(occasions({ since: after(2) }, 40)).not.toEqual(occasions({}, 40))
})

describe('legal dates', () => {
  const none = { receivedOn: 'unknown', determination: 'unknown', exceptions: 'unknown' } as const
  interface Known {
    readonly referredOn?: string
    readonly planOn?: string
    readonly askedOn?: string
  }
  const found = (known: Known) => {
    const done = {
      referredOn: known.referredOn === undefined ? ('unknown' as const) : on(known.referredOn),
      planOn: known.planOn === undefined ? ('unknown' as const) : on(known.planOn),
    }
    const inspectionAskedOn = known.askedOn === undefined ? ('unknown' as const) : on(known.askedOn)
    const facts = {
      ...none,
      ...done,
      inspectionAskedOn,
      birthDate: on('2024-09-01'),
      identifiedOn: on('2026-02-02'),
    }
    return legalDates(deadlines(facts, DAY, RULES), done).map(({ rule, on: day }) => [rule, day])
  }

  // 34 CFR 303.303: seven days after identification. 303.209: 90 days before the third birthday.
  test('a child that was identified is to be referred, and its transition prepared', () => {
    expect(found({})).toEqual([
      ['part-c.referral-due', '2026-02-09'],
      ['part-c.transition-due', '2027-06-03'],
    ])
  })

  // 34 CFR 303.409: within ten days. 6 March 2026 is a Friday.
  test('a parent who asked to inspect the record is answered', () => {
    expect(found({ askedOn: '2026-02-24' }).at(-1)).toEqual([
      'records.inspection-due',
      '2026-03-06',
    ])
  })

  // 34 CFR 303.342: the plan is reviewed every six months and evaluated every year.
  test('who was referred and has a plan is not to be referred; the plan is reviewed', () => {
    expect(found({ referredOn: '2026-02-05', planOn: '2026-02-20' }).map(([, day]) => day)).toEqual(
      ['2027-06-03', '2026-08-20', '2027-02-20'],
    )
  })
})

const someDay = fc.integer({ min: -40, max: 60 }).map(after)
const someCourse: fc.Arbitrary<ReferralCourse> = fc.record({
  state: fc.constantFrom<ReferralState>(...REFERRAL_STATES),
  since: someDay,
  receivedOn: someDay,
  seeBy: fc.oneof(someDay, fc.constant('unknown' as const)),
  informationAskedOn: fc.array(someDay, { maxLength: 3 }),
  visitsOn: fc.array(someDay, { maxLength: 3 }),
  legalDates: fc.array(
    someDay.map((day) => ({
      rule: 'r',
      on: day,
      workingTarget: day,
      because: say('reminder.settled'),
    })),
    { maxLength: 2 },
  ),
})

test('what is due on a day stays due, in whatever order the facts are told', () => {
  fc.assert(
    fc.property(someCourse, someDay, fc.nat(90), (known, day, more) => {
      const reversed = {
        ...known,
        informationAskedOn: known.informationAskedOn.toReversed(),
        visitsOn: known.visitsOn.toReversed(),
        legalDates: known.legalDates.toReversed(),
      }
      const now = remindersDue(known, day, RULES)
      const names = (all: typeof now) => all.map(({ timer, occasion }) => `${timer} ${occasion}`)
      const later = names(remindersDue(known, addDays(day, more), RULES))

      expect(later).toEqual(expect.arrayContaining(names(now)))
      expect(names(remindersDue(reversed, day, RULES)).toSorted()).toEqual(names(now).toSorted())
      expect(now.filter(({ timer }) => !TIMERS.includes(timer))).toEqual([])
    }),
  )
})

test('every reminder is a sentence in each voice and language', () => {
  const states = ['sent', 'in-triage', 'accepted', 'visit-done', 'awaiting-information'] as const
  const all = [
    ...states.map((state) => course({ state, seeBy: after(3) })),
    course({ state: 'scheduled', visitsOn: [after(2)] }),
  ].flatMap((one) => remindersDue(one, after(30), RULES))
  expect(new Set(all.map(({ timer }) => timer)).size).toBe(6)
  expect(faultsInVoices([...all.map(({ because }) => because), say('reminder.settled')])).toEqual(
    [],
  )
})
