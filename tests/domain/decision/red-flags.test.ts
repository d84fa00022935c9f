import { expect, test } from 'vitest'
import type { AssessedChild } from '../../../src/domain/assessed-child.ts'
import { civilDate } from '../../../src/domain/calendar.ts'
import type { Child, RedFlagSign } from '../../../src/domain/child.ts'
import { evidenceRef } from '../../../src/domain/facts.ts'
import { redFlags } from '../../../src/domain/decision/red-flags.ts'
import { degrees } from '../../../src/domain/units.ts'
import { child, fact, foot } from '../../helpers/child.ts'
import { agesAt, assess, knownChild, milestonesWith } from '../../helpers/findings.ts'
import { RULES } from '../../helpers/rules.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'

const english = speaker('en')
const spanish = speaker('es')

type Known = Partial<Pick<AssessedChild, 'ages' | 'milestones'>>
const flag = (rule: string, of: Child, known: Known = {}) =>
  redFlags(assess(of, known), RULES).find((found) => found.rule === rule)
const holds = (rule: string, of: Child, known: Known = {}) => flag(rule, of, known)?.holds

const signs = (
  seen: Partial<Record<RedFlagSign, boolean>>,
  on = '2026-03-01',
): Pick<Child, 'redFlags'> => {
  const facts = Object.entries(seen).map(([sign, value]) => [sign, fact(value, on)] as const)
  return { redFlags: { ...child().redFlags, ...Object.fromEntries(facts) } }
}

test('every red flag is reported, in one order', () => {
  expect(redFlags(assess(child()), RULES).map(({ rule }) => rule)).toEqual([
    'regression',
    'one-sided-weakness',
    'early-hand-preference',
    'pain-or-swelling',
    'gowers-sign',
    'weakness-with-absent-reflexes',
    'rising-tone-or-clonus',
    'late-walking-without-review',
    'stiff-hindfoot',
    'knee-angle',
    'fever-or-new-limp',
  ])
})

test('a red flag nobody mentioned is unknown and said to be not recorded', () => {
  const found = redFlags(assess(child(), { ages: agesAt(48) }), RULES)
  const asked = found.filter(({ rule }) => rule !== 'late-walking-without-review')

  expect(asked.filter(({ holds }) => holds !== 'unknown')).toEqual([])
  expect(
    asked.filter(({ because }) => !english.therapist(because).includes('not recorded')),
  ).toEqual([])
})

test('no red flag holds for a child in whom each was looked for', () => {
  const found = redFlags(
    assess(knownChild({ birthDate: fact(civilDate('2022-03-01')) }), { ages: agesAt(48) }),
    RULES,
  )

  expect(found.map((one) => one.holds)).toEqual(Array<string>(11).fill('no'))
})

const REPORTED: [string, RedFlagSign][] = [
  ['one-sided-weakness', 'one-sided-weakness'],
  ['pain-or-swelling', 'pain-or-swelling'],
  ['gowers-sign', 'gowers-sign'],
  ['rising-tone-or-clonus', 'rising-tone-or-clonus'],
  ['fever-or-new-limp', 'fever-or-new-limp'],
]
for (const [rule, sign] of REPORTED)
  test(`${rule} holds as it was reported`, () => {
    expect(holds(rule, child(signs({ [sign]: true })))).toBe('yes')
    expect(holds(rule, child(signs({ [sign]: false })))).toBe('no')
    expect(holds(rule, child())).toBe('unknown')
  })

test('regression holds when it is reported or when dated checks show it', () => {
  const shown = { milestones: milestonesWith({ regression: 'yes' }) }

  expect(holds('regression', child(signs({ 'loss-of-skills': true })))).toBe('yes')
  expect(holds('regression', child(signs({ 'loss-of-skills': false })), shown)).toBe('yes')
  expect(holds('regression', child(signs({ 'loss-of-skills': false })))).toBe('no')
  expect(holds('regression', child())).toBe('unknown')
})

test('a loss that only dated checks show is not told to the family as never seen', () => {
  const shown = { milestones: milestonesWith({ regression: 'yes' }) }
  const found = flag('regression', child(signs({ 'loss-of-skills': false })), shown)

  expect(found && english.therapist(found.because)).toMatch(
    /^Loss of skills: looked for and not there\. /,
  )
  expect(found && english.family(found.because)).toMatch(/^Your child has lost a skill/)
})

const handPreference = (on: string, known: Partial<Child> = {}) =>
  holds('early-hand-preference', child({ ...signs({ 'hand-preference': true }, on), ...known }))

test('a hand preference counts before 12 months of age on the day it was seen', () => {
  // Born on 2024-09-01; 12 months of 30.4375 days are 365.25 days.
  expect(handPreference('2025-09-01')).toBe('yes')
  expect(handPreference('2025-09-02')).toBe('unknown')
  expect(handPreference('2026-03-01')).toBe('unknown')
  expect(holds('early-hand-preference', child(signs({ 'hand-preference': false })))).toBe('no')
})

test('the age at which a hand preference was seen is corrected for prematurity', () => {
  // 28 weeks are 84 days early: 449 days after birth are 365 corrected.
  const preterm = { gestationDays: fact(196) }

  expect(handPreference('2025-11-24', preterm)).toBe('yes')
  expect(handPreference('2025-11-25', preterm)).toBe('unknown')
})

test('absent reflexes count only with marked weakness', () => {
  const both = (weakness?: boolean, reflexes?: boolean) =>
    holds(
      'weakness-with-absent-reflexes',
      child(
        signs({
          ...(weakness !== undefined && { 'marked-weakness': weakness }),
          ...(reflexes !== undefined && { 'absent-reflexes': reflexes }),
        }),
      ),
    )

  expect(both(true, true)).toBe('yes')
  expect(both(true, false)).toBe('no')
  expect(both(false)).toBe('no')
  expect(both(true)).toBe('unknown')
  expect(both(undefined, true)).toBe('unknown')
})

const late = (age: number, walksAlone: 'yes' | 'no' | 'unknown', reviewed?: boolean) =>
  holds(
    'late-walking-without-review',
    child(reviewed === undefined ? {} : { medicalReview: fact(reviewed) }),
    { ages: agesAt(age), milestones: milestonesWith({ walksAlone }) },
  )

test('not walking alone from 18 months needs a medical review on record', () => {
  expect(late(17.9, 'no')).toBe('no')
  expect(late(18, 'no')).toBe('yes')
  expect(late(18, 'no', false)).toBe('yes')
  expect(late(18, 'no', true)).toBe('no')
  expect(late(18, 'yes')).toBe('no')
  expect(late(18, 'unknown')).toBe('unknown')
})

test('a stiff hindfoot on either side is a red flag', () => {
  const feet = (left?: boolean, right?: boolean) => {
    const of = (stiff?: boolean) =>
      foot(stiff === undefined ? {} : { rockerBottomOrStiffHindfoot: fact(stiff) })
    return holds('stiff-hindfoot', child({ feet: { left: of(left), right: of(right) } }))
  }

  expect(feet(true)).toBe('yes')
  expect(feet(false, true)).toBe('yes')
  expect(feet(false, false)).toBe('no')
  expect(feet(false)).toBe('unknown')
})

/** Born on 2023-03-01: 36 months of 30.4375 days are reached on 2026-03-01, not the day before. */
const knees = (left: number, right: number | undefined, age = 36, on = '2026-03-01') => {
  const of = (angle?: number) =>
    foot(angle === undefined ? {} : { kneeAngle: fact(degrees(angle), on) })
  const birthDate = fact(civilDate('2023-03-01'))
  return holds('knee-angle', child({ birthDate, feet: { left: of(left), right: of(right) } }), {
    ages: agesAt(age),
  })
}

test('knees in varus or above 11 degrees of valgus are a red flag from 3 years', () => {
  expect(knees(11, 0)).toBe('no')
  expect(knees(11.1, 0)).toBe('yes')
  expect(knees(4, -0.1)).toBe('yes')
  expect(knees(12, undefined)).toBe('yes')
  expect(knees(4, undefined)).toBe('unknown')
  expect(knees(12, 12, 35.9)).toBe('no')
})

test('an angle measured before 3 years says nothing after', () => {
  expect(knees(12, 12, 36, '2026-02-28')).toBe('unknown')
  expect(knees(4, 4, 36, '2026-02-28')).toBe('unknown')
})

/** A child in whom the flag holds, and what the family is told to do. */
const HELD: [string, Child, Known, RegExp][] = [
  ['regression', child(signs({ 'loss-of-skills': true })), {}, /doctor.* right away/],
  ['one-sided-weakness', child(signs({ 'one-sided-weakness': true })), {}, /doctor/],
  ['early-hand-preference', child(signs({ 'hand-preference': true }, '2025-03-01')), {}, /doctor/],
  ['pain-or-swelling', child(signs({ 'pain-or-swelling': true })), {}, /doctor/],
  ['gowers-sign', child(signs({ 'gowers-sign': true })), {}, /doctor/],
  [
    'weakness-with-absent-reflexes',
    child(signs({ 'marked-weakness': true, 'absent-reflexes': true })),
    {},
    /doctor/,
  ],
  ['rising-tone-or-clonus', child(signs({ 'rising-tone-or-clonus': true })), {}, /nerve doctor/],
  [
    'late-walking-without-review',
    child(),
    { milestones: milestonesWith({ walksAlone: 'no' }) },
    /Please ask your child's doctor for a check/,
  ],
  [
    'stiff-hindfoot',
    child({ feet: { left: foot({ rockerBottomOrStiffHindfoot: fact(true) }), right: foot() } }),
    {},
    /bone and joint doctor/,
  ],
  [
    'knee-angle',
    child({
      birthDate: fact(civilDate('2022-03-01')),
      feet: { left: foot({ kneeAngle: fact(degrees(-3)) }), right: foot() },
    }),
    { ages: agesAt(48) },
    /bone and joint doctor/,
  ],
  ['fever-or-new-limp', child(signs({ 'fever-or-new-limp': true })), {}, /doctor right away/],
]
for (const [rule, of, known, advice] of HELD)
  test(`${rule}: the family is told calmly whom to see`, () => {
    const found = flag(rule, of, known)

    expect(found?.holds).toBe('yes')
    expect(found && english.family(found.because)).toMatch(advice)
    expect(found && spanish.family(found.because)).toMatch(/médico|neurólogo|ortopedista/)
  })

test('a red flag that nobody recorded is not told to the family as absent', () => {
  const open = redFlags(assess(child(), { ages: agesAt(48) }), RULES)
    .filter(({ holds: answer }) => answer === 'unknown')
    .map(({ because }) => english.family(because))

  expect(open).toHaveLength(10)
  for (const said of open) expect(said).toMatch(/do not know|have no note/)
})

test('the sentence of a hand preference tells the age, or that it was first seen later', () => {
  const said = (on: string) => {
    const found = flag('early-hand-preference', child(signs({ 'hand-preference': true }, on)))
    return found && english.therapist(found.because)
  }

  // Born on 2024-09-01: 181 days are 5.9 months of 30.4375 days.
  expect(said('2025-03-01')).toBe('Hand preference at 5.9 months, before 12 months.')
  expect(said('2026-03-01')).toBe(
    'Hand preference, first recorded after 12 months; before: not recorded.',
  )
})

test('why late walking needs no review is told as it is: walking, reviewed, or young', () => {
  const said = (age: number, walksAlone: 'yes' | 'no', reviewed: boolean) => {
    const found = flag('late-walking-without-review', child({ medicalReview: fact(reviewed) }), {
      ages: agesAt(age),
      milestones: milestonesWith({ walksAlone }),
    })
    return found && english.family(found.because)
  }

  expect(said(20, 'yes', false)).toMatch(/walks alone/)
  expect(said(20, 'no', true)).toMatch(/A doctor has already looked/)
  expect(said(17, 'no', false)).toMatch(/younger than 18 months/)
})

test('every red flag can be said, whatever was found, in each language and voice', () => {
  const known: Known = { milestones: milestonesWith({ walksAlone: 'unknown' }) }
  const grown = knownChild({ birthDate: fact(civilDate('2022-03-01')) })
  expect(
    faultsInVoices(
      [
        ...HELD.map(([rule, of, with_]) => flag(rule, of, with_)),
        ...redFlags(assess(child(), known), RULES),
        ...redFlags(assess(child(), { ages: agesAt(48) }), RULES),
        ...redFlags(assess(grown, { ages: agesAt(48) }), RULES),
        flag('early-hand-preference', child(signs({ 'hand-preference': true }, '2026-03-01'))),
      ].flatMap((found) => (found === undefined ? [] : [found.because])),
    ),
  ).toEqual([])
})

const at = (name: string) => `Observation/${name}/_history/1`
const flagged = (sign: RedFlagSign) => ({ [sign]: fact(true, '2025-03-01', at(sign)) })

/** Of each rule: a record in which it holds, on what it rests, on whose authority. */
const RESTS: [string, Child, Known, string[], string[]][] = [
  ...(
    [
      ['regression', 'loss-of-skills'],
      ['one-sided-weakness', 'one-sided-weakness'],
      ['early-hand-preference', 'hand-preference'],
      ['fever-or-new-limp', 'fever-or-new-limp'],
    ] as const
  ).map(([rule, sign]): (typeof RESTS)[number] => [
    rule,
    child({ redFlags: { ...child().redFlags, ...flagged(sign) } }),
    {},
    [at(sign)],
    ['common-practice'],
  ]),
  [
    'weakness-with-absent-reflexes',
    child({
      redFlags: {
        ...child().redFlags,
        ...flagged('marked-weakness'),
        ...flagged('absent-reflexes'),
      },
    }),
    {},
    [at('absent-reflexes'), at('marked-weakness')],
    ['common-practice'],
  ],
  [
    'late-walking-without-review',
    child({ medicalReview: fact(false, '2026-03-01', at('review')) }),
    { milestones: milestonesWith({ walksAlone: 'no' }) },
    [at('review')],
    ['late-walking-1984'],
  ],
  [
    'stiff-hindfoot',
    child({
      feet: {
        left: foot({ rockerBottomOrStiffHindfoot: fact(true, '2026-03-01', at('left')) }),
        right: foot({ rockerBottomOrStiffHindfoot: fact(false, '2026-03-01', at('right')) }),
      },
    }),
    {},
    [at('left'), at('right')],
    ['flexibility-tests'],
  ],
  [
    'knee-angle',
    child({
      birthDate: fact(civilDate('2022-03-01')),
      feet: {
        left: foot({ kneeAngle: fact(degrees(12), '2026-03-01', at('left')) }),
        right: foot({ kneeAngle: fact(degrees(4), '2026-03-01', at('right')) }),
      },
    }),
    { ages: agesAt(48) },
    [at('left'), at('right')],
    ['knee-angle-turkey'],
  ],
]
for (const [rule, of, known, evidence, sources] of RESTS)
  test(`${rule} names the records on which it rests and its source`, () => {
    expect(flag(rule, of, known)).toMatchObject({ holds: 'yes', evidence, sources })
    expect(flag(rule, child(), known)?.evidence).toEqual([])
  })

test('a loss of skills and late walking rest on the looks of the milestones, too', () => {
  const { regression, walksAlone, ...others } = milestonesWith({
    regression: 'yes',
    walksAlone: 'no',
  })
  const milestones = {
    ...others,
    regression: { ...regression, evidence: [evidenceRef(at('looks'))] },
    walksAlone: { ...walksAlone, evidence: [evidenceRef(at('walks'))] },
  }

  expect(flag('regression', child(), { milestones })?.evidence).toEqual([at('looks')])
  expect(flag('late-walking-without-review', child(), { milestones })?.evidence).toEqual([
    at('walks'),
  ])
})
