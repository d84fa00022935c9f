import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import {
  type Child,
  type Milestone,
  type MilestoneCheck,
  MILESTONES,
} from '../../../src/domain/child.ts'
import type { Fact } from '../../../src/domain/facts.ts'
import { milestones } from '../../../src/domain/development/milestones.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { dayOf, look, skillLook, visit } from '../../helpers/checks.ts'
import { child, fact } from '../../helpers/child.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { RULES } from '../../helpers/rules.ts'

const en = speaker('en')
const of = (
  checks: readonly Fact<MilestoneCheck>[],
  asOf = dayOf(600),
  known: Partial<Child> = {},
) => milestones(child({ milestoneChecks: checks, ...known }), asOf, RULES)
const statusOf = (found: ReturnType<typeof of>, milestone: Milestone) => {
  const status = found.statuses.find((one) => one.milestone === milestone)
  if (status === undefined) throw new Error('every milestone has a status')
  return status
}

test('nothing on record: all unknown, crawling left out, and no number anywhere', () => {
  const found = of([])

  expect(found.statuses.map(({ milestone }) => milestone)).toEqual(MILESTONES)
  expect(found.statuses.map(({ state }) => state)).toEqual([
    'unknown',
    'unknown',
    'left-out',
    'unknown',
    'unknown',
    'unknown',
  ])
  expect(found.statuses.map(({ finding }) => finding.holds)).toEqual(Array(6).fill('unknown'))
  expect([found.regression, found.bearsWeight, found.walksAlone].map(({ holds }) => holds)).toEqual(
    ['unknown', 'unknown', 'unknown'],
  )
  expect(found).not.toHaveProperty('walkingOnset')
  expect(found).not.toHaveProperty('lastAttainedOn')
  expect(found).not.toHaveProperty('simpleAgeEquivalent')
})

/** 487 days are 16 months. Walking alone at 16 months: 96.99th percentile; at 12 months: the 50th. */
test('attained between two looks: both ages and the range of percentiles', () => {
  const found = statusOf(
    of([look('walking-alone', 365, false), look('walking-alone', 487, true)]),
    'walking-alone',
  )

  expect(found).toMatchObject({ state: 'attained', finding: { holds: 'yes' } })
  expect(found.interval?.from).toBeCloseTo(11.99, 2)
  expect(found.interval?.to).toBe(16)
  expect(found.percentile?.low).toBeCloseTo(49.79, 1)
  expect(found.percentile?.high).toBeCloseTo(96.99, 2)
  expect(en.therapist(found.finding.because)).toBe(
    'Attained between 12.0 and 16.0 months, 50th-97th percentile of reference children: walking alone.',
  )
  expect(found.evidence).toHaveLength(2)
})

test('attained at the first look: from 0 to that age', () => {
  const found = statusOf(of([look('standing-alone', 487, true)]), 'standing-alone')

  expect(found.interval).toEqual({ from: 0, to: 16 })
  expect(en.therapist(found.finding.because)).toBe(
    'Attained by 16.0 months, <1 to 98th percentile of reference children: standing alone.',
  )
})

/** Walking alone at 16 months: 3.006 % of reference children are not there either. */
test('not yet: the age at the latest look, and the share of children also not there', () => {
  const found = statusOf(of([look('walking-alone', 487, false)]), 'walking-alone')

  expect(found).toMatchObject({ state: 'not-yet', interval: { from: 16, to: null } })
  expect(found.percentile?.low).toBeCloseTo(3.006, 3)
  expect(en.therapist(found.finding.because)).toBe(
    'Not yet at 16.0 months, like 3 % of reference children: walking alone.',
  )
  expect(found.finding.holds).toBe('no')
})

test('ages are rounded in the sentence only', () => {
  const { interval, finding } = statusOf(of([look('walking-alone', 400, false)]), 'walking-alone')

  expect(interval?.from).toBeCloseTo(13.14168, 5)
  expect(en.therapist(finding.because)).toContain('13.1 months')
})

test('crawling counts when it was seen and is left out otherwise', () => {
  const crawling = 'hands-and-knees-crawling'
  const missing = statusOf(of([look(crawling, 400, false)]), crawling)

  expect(statusOf(of([look(crawling, 400, true)]), crawling).state).toBe('attained')
  expect(missing).toMatchObject({ state: 'left-out', finding: { holds: 'no' } })
  expect(missing.interval).toBeUndefined()
  expect(missing.percentile).toBeUndefined()
})

test('a later milestone does not prove an earlier one', () => {
  const found = of([look('walking-alone', 400, true)])

  expect(statusOf(found, 'standing-alone').state).toBe('unknown')
  expect(statusOf(found, 'sitting-without-support').state).toBe('unknown')
})

/** Born at 28 weeks: 84 days are taken off. 571 - 84 = 487 days, 16 months. */
test('the ages of a child born before term are corrected', () => {
  const found = of([look('walking-alone', 571, false)], dayOf(600), { gestationDays: fact(196) })

  expect(statusOf(found, 'walking-alone').interval?.from).toBe(16)
})

test('a look before the due date says only "not at birth"', () => {
  const preterm = { gestationDays: fact(196) }
  const sitting = 'sitting-without-support'

  const found = statusOf(of([look(sitting, 60, false)], dayOf(600), preterm), sitting)

  expect(found.interval).toEqual({ from: 0, to: null })
  expect(en.therapist(found.finding.because)).toContain('>99 % of reference children')
})

test('attained by the due date is refused; the day after it is taken', () => {
  const preterm = { gestationDays: fact(196) }
  const attainedOn = (days: number) => () =>
    of([look('sitting-without-support', days, true)], dayOf(600), preterm)

  expect(attainedOn(84)).toThrow(
    expect.objectContaining({
      element: 'milestoneChecks',
      message: 'a milestone was attained by the due date',
    }),
  )
  expect(attainedOn(85)).not.toThrow()
})

test('a day asked for before birth is refused', () => {
  expect(() => of([], dayOf(-1))).toThrow(expect.objectContaining({ element: 'asOf' }))
})

test('a check after the day asked for changes nothing', () => {
  const before = [look('walking-alone', 400, false)]
  const after = [look('walking-alone', 501, true), look('standing-alone', 501, false)]

  expect(of([...before, ...after], dayOf(500))).toEqual(of(before, dayOf(500)))
  expect(of([...before, ...after], dayOf(501)).walksAlone.holds).toBe('yes')
})

test('seen and later not seen is a regression with its evidence, and has no interval', () => {
  const checks = [look('standing-alone', 400, true), look('standing-alone', 500, false)]
  const found = of([...checks, look('walking-alone', 500, false)])

  expect(found.regression.holds).toBe('yes')
  expect(en.therapist(found.regression.because)).toBe(
    'Seen and later not seen: standing alone. Look again and ask a physician first.',
  )
  expect(en.family(found.regression.because)).toContain('doctor about this first')
  expect(found.regression.evidence).toEqual(checks.map(({ evidence }) => evidence))
  expect(statusOf(found, 'standing-alone')).toMatchObject({ state: 'not-yet' })
  expect(statusOf(found, 'standing-alone').interval).toBeUndefined()
  expect(found.simpleAgeEquivalent).toBeUndefined()
})

test('a skill seen again after it was lost stays a regression', () => {
  const found = of([
    look('standing-alone', 400, true),
    look('standing-alone', 450, false),
    look('standing-alone', 500, true),
  ])

  expect(found.regression.holds).toBe('yes')
  expect(statusOf(found, 'standing-alone').state).toBe('attained')
  expect(found.lastAttainedOn).toBeUndefined()
})

test('never lost is no regression; dates that disagree leave it open', () => {
  const remembered = look('walking-alone', 500, true, {
    attainedOn: dayOf(400),
    reportedBy: 'caregiver',
  })

  expect(of([look('walking-alone', 400, false)]).regression.holds).toBe('no')
  expect(of([remembered, look('walking-alone', 450, false)]).regression).toMatchObject({
    holds: 'unknown',
  })
})

test('walking alone is what the latest look says', () => {
  const without = look('walking-alone', 400, false)

  expect(of([without]).walksAlone.holds).toBe('no')
  expect(of([without, look('walking-alone', 450, true)]).walksAlone.holds).toBe('yes')
  expect(of([look('standing-alone', 450, true)]).walksAlone.holds).toBe('unknown')
})

test('walking began between the last look without it and the first with it', () => {
  expect(
    of([look('walking-alone', 400, false), look('walking-alone', 450, true)]).walkingOnset,
  ).toEqual({ notBefore: dayOf(400), notAfter: dayOf(450) })
  expect(of([look('walking-alone', 450, true)]).walkingOnset).toEqual({ notAfter: dayOf(450) })
  expect(of([look('walking-alone', 450, false)]).walkingOnset).toBeUndefined()
})

test('the newest milestone was attained by the latest of the first sightings', () => {
  const found = of([
    look('sitting-without-support', 200, true),
    look('sitting-without-support', 450, true),
    look('standing-with-assistance', 300, true),
    look('walking-alone', 500, false),
  ])

  expect(found.lastAttainedOn).toBe(dayOf(300))
})

test('checks of one day that disagree are left out and said so', () => {
  const found = statusOf(
    of([
      look('walking-alone', 400, false),
      look('walking-alone', 450, true),
      look('walking-alone', 450, false, { reportedBy: 'caregiver' }),
    ]),
    'walking-alone',
  )

  expect(found.state).toBe('not-yet')
  expect(en.therapist(found.finding.because)).toContain('Checks of one day disagree')
})

/** By hand: highest is crawling, median 8.3 months; 365.25 days would be 12 months. */
test('the simple age equivalent stands against the age at the latest look, not today', () => {
  const seen = ['sitting-without-support', 'hands-and-knees-crawling'] as const
  const found = of(visit(365, seen), dayOf(600)).simpleAgeEquivalent

  expect(found?.months).toBe(8.3)
  expect(found?.delayPercent).toBeCloseTo(30.8, 1)
})

test('the simple age equivalent knows the looks up to the day, and no later one', () => {
  const seen = ['sitting-without-support', 'hands-and-knees-crawling'] as const
  const later = look('standing-alone', 601, false)
  const onTheDay = of(visit(365, seen), dayOf(365)).simpleAgeEquivalent

  expect(onTheDay?.delayPercent).toBeCloseTo(30.8, 1)
  expect(of([...visit(365, seen), later], dayOf(600)).simpleAgeEquivalent).toEqual(onTheDay)
})

test('after a loss there is no simple age equivalent, whatever else is attained', () => {
  const sits = look('sitting-without-support', 300, true)
  const lost = [look('standing-alone', 400, true), look('standing-alone', 500, false)]

  expect(of([sits])).toHaveProperty('simpleAgeEquivalent')
  expect(of([sits, ...lost])).not.toHaveProperty('simpleAgeEquivalent')
})

test('described skills come with words and without numbers', () => {
  const found = of([], dayOf(600), { skillChecks: [skillLook('cruising', 400, true)] })
  const cruising = found.skills.find(({ skill }) => skill === 'cruising')

  expect(cruising?.finding).toMatchObject({ rule: 'skill.cruising', holds: 'yes' })
  expect(cruising && en.therapist(cruising.finding.because)).not.toMatch(/\d/)
})

test('regression and walking alone can be told whatever they are, in every language', () => {
  const remembered = look('walking-alone', 500, true, {
    attainedOn: dayOf(400),
    reportedBy: 'caregiver',
  })
  const all = [
    of([]),
    of([look('walking-alone', 400, false)]),
    of([look('walking-alone', 400, true), look('walking-alone', 500, false)]),
    of([remembered, look('walking-alone', 450, false)]),
  ]
  const told = all.map(({ regression }) => en.therapist(regression.because))

  expect(told).toEqual([
    'No milestone check on record, so a loss is neither known nor ruled out.',
    'No milestone on record was seen and later not seen.',
    'Seen and later not seen: walking alone. Look again and ask a physician first.',
    'Dates disagree, so a loss cannot be ruled out: walking alone.',
  ])
  expect(
    faultsInVoices(
      all.flatMap(({ regression, walksAlone }) => [regression.because, walksAlone.because]),
    ),
  ).toEqual([])
})

test('what nobody knows is not told to the family as a loss or as none', () => {
  const { regression, walksAlone, bearsWeight } = of([])
  const told = [regression, walksAlone, bearsWeight].map(({ because }) => en.family(because))

  expect(told.filter((text) => !/not know/.test(text))).toEqual([])
})

const anyCheck = fc
  .tuple(fc.constantFrom(...MILESTONES), fc.integer({ min: 10, max: 80 }), fc.boolean())
  .map(([milestone, weeks, attained]) => look(milestone, weeks * 7, attained))

test('the order of the checks does not matter', () => {
  fc.assert(
    fc.property(fc.array(anyCheck, { maxLength: 15 }), fc.nat(14), (checks, cut) => {
      const rotated = [...checks.slice(cut), ...checks.slice(0, cut)].toReversed()

      expect(of(rotated)).toEqual(of(checks))
    }),
  )
})

test('a milestone without a check is never called not there', () => {
  fc.assert(
    fc.property(fc.array(anyCheck, { maxLength: 8 }), (checks) => {
      const untouched = of(checks).statuses.filter(({ evidence }) => evidence.length === 0)

      expect(untouched.map(({ finding }) => finding.holds)).toEqual(untouched.map(() => 'unknown'))
    }),
  )
})
