import { expect, test } from 'vitest'
import { attainment } from '../../../src/domain/development/attainment.ts'
import type { Milestone, MilestoneCheck } from '../../../src/domain/child.ts'
import { ageRule } from '../../../src/domain/development/age.ts'
import { milestoneStatus } from '../../../src/domain/development/milestone-status.ts'
import { daysBetween } from '../../../src/domain/calendar.ts'
import type { Fact } from '../../../src/domain/facts.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { BORN, dayOf, look } from '../../helpers/checks.ts'
import { child } from '../../helpers/child.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { RULES } from '../../helpers/rules.ts'

const en = speaker('en')
const es = speaker('es')
const WALKING = 'walking-alone'
const CRAWLING = 'hands-and-knees-crawling'

const of = (checks: readonly Fact<MilestoneCheck>[], milestone: Milestone = WALKING) => {
  const one = child({ milestoneChecks: checks })
  return milestoneStatus(attainment(one, milestone, dayOf(900), RULES), (on) =>
    ageRule(one, RULES)(daysBetween(BORN, on)),
  )
}
const seen = (days: number) => look(WALKING, days, true)
const missing = (days: number) => look(WALKING, days, false)
const disagreeing = (days: number) => [
  seen(days),
  look(WALKING, days, false, { reportedBy: 'caregiver' }),
]

/** What is recorded, the state, whether it holds, and what both readers are told. 487 days are 16 months. */
const CASES = {
  between: {
    checks: [missing(365), seen(487)],
    state: 'attained',
    holds: 'yes',
    therapist:
      'Attained between 12.0 and 16.0 months, 50th-97th percentile of reference children: walking alone.',
    family:
      'Your child learned this between 12 and 16 months of age: walking alone. By that age between 50 and 97 of 100 children can do it.',
  },
  'dated to the day': {
    checks: [missing(486), seen(487)],
    state: 'attained',
    holds: 'yes',
    therapist: 'Attained at 16.0 months, 97th percentile of reference children: walking alone.',
    family:
      'Your child learned this at about 16 months of age: walking alone. By that age about 97 of 100 children can do it.',
  },
  'by the first look': {
    checks: [seen(487)],
    state: 'attained',
    holds: 'yes',
    therapist:
      'Attained by 16.0 months, <1 to 97th percentile of reference children: walking alone.',
    family:
      'Your child could do this by 16 months of age or earlier: walking alone. By that age up to 97 of 100 children can do it.',
  },
  'not yet': {
    checks: [missing(487)],
    state: 'not-yet',
    holds: 'no',
    therapist: 'Not yet at 16.0 months, like 3 % of reference children: walking alone.',
    family:
      'At 16 months of age your child was not doing this yet: walking alone. At that age, about 3 of 100 children are not doing it yet either.',
  },
  'at birth': {
    checks: [missing(0)],
    state: 'not-yet',
    holds: 'no',
    therapist:
      'Not yet at birth or before the due date, like >99 % of reference children, which tells nothing of the pace: walking alone.',
    family:
      'This look was at birth or before the day the birth was due. No child does this so early: walking alone.',
  },
  lost: {
    checks: [seen(420), missing(487)],
    state: 'not-yet',
    holds: 'no',
    therapist: 'Seen before and not seen at the latest look, so no age is given: walking alone.',
    family:
      "Your child could do this before and was not doing it at the last look: walking alone. Please see your child's doctor about this first.",
  },
  'lost and there again': {
    checks: [seen(420), missing(450), seen(487)],
    state: 'attained',
    holds: 'yes',
    therapist: 'Seen, later not seen and seen again, so no age is given: walking alone.',
    family:
      "Your child could do this, then was not doing it, and now does it again: walking alone. Please see your child's doctor about this first.",
  },
  'no check': {
    checks: [],
    state: 'unknown',
    holds: 'unknown',
    therapist: 'No check on record: walking alone.',
    family:
      'We do not know yet whether your child does this: walking alone. Please tell us what you have seen.',
  },
  'only checks that disagree': {
    checks: disagreeing(487),
    state: 'unknown',
    holds: 'unknown',
    therapist:
      'No check on record that decides it: walking alone. Checks of one day disagree and are left out.',
    family:
      'We cannot tell yet whether your child does this: walking alone. Two reports of the same day do not agree, so we left them out. Please tell us what you have seen.',
  },
} as const

for (const [name, { checks, state, holds, therapist, family }] of Object.entries(CASES))
  test(`${name}: ${state}, and both readers are told so`, () => {
    const { finding, ...found } = of(checks)

    expect([found.state, finding.holds]).toEqual([state, holds])
    expect(en.therapist(finding.because)).toBe(therapist)
    expect(en.family(finding.because)).toBe(family)
  })

test('lost, and the looks of the latest day disagree: neither there nor not there', () => {
  const { state, finding, interval } = of([seen(400), missing(450), ...disagreeing(487)])

  expect([state, finding.holds, interval]).toEqual(['unknown', 'unknown', undefined])
  expect(en.therapist(finding.because)).toContain('the checks of the latest day disagree')
  expect(en.family(finding.because)).toContain('doctor about this first')
})

/** Of 816 reference children 4.3 % never crawled on hands and knees (WHO 2006, abstract). */
test('crawling that was never seen is told to count for nothing, with the published share', () => {
  const never = of([look(CRAWLING, 400, false)], CRAWLING)
  const open = of([], CRAWLING)

  expect([never.state, never.finding.holds]).toEqual(['left-out', 'no'])
  expect([open.state, open.finding.holds]).toEqual(['left-out', 'unknown'])
  expect(en.therapist(never.finding.because)).toBe(
    'Left out, looked for and not seen: hands-and-knees crawling. It counts only when seen, since 4.3 % of reference children never did it.',
  )
  expect(en.therapist(open.finding.because)).toMatch(/^Left out, no check on record/)
  expect(en.family(never.finding.because)).toContain('does not count against your child')
  expect(es.family(open.finding.because)).toMatch(
    /^No sabemos si su hijo o hija lo ha hecho: gatear/,
  )
})

test('numbers and words follow the language', () => {
  const { finding } = of([missing(400)])

  expect(es.therapist(finding.because)).toBe(
    'Todavía no a los 13,1 meses, como el 25 % de los niños de referencia: marcha independiente.',
  )
  expect(es.family(finding.because)).toBe(
    'A los 13,1 meses de edad su hijo o hija todavía no lo hacía: caminar sin ayuda. A esa edad tampoco lo hacen unos 25 de cada 100 niños.',
  )
})

test('each state can be told to both readers in every language', () => {
  const all = [
    ...Object.values(CASES).map(({ checks }) => of(checks)),
    of([seen(400), missing(450), ...disagreeing(487)]),
    of([missing(400), ...disagreeing(487)]),
    of([look(CRAWLING, 400, false)], CRAWLING),
    of([], CRAWLING),
  ]

  expect(faultsInVoices(all.map(({ finding }) => finding.because))).toEqual([])
})
