import { expect, test } from 'vitest'
import { looksAroundFitting } from '../../../src/domain/follow-up/looks-around-fitting.ts'
import { milestones } from '../../../src/domain/development/milestones.ts'
import { dayOf, look, visit } from '../../helpers/checks.ts'
import { child, fact } from '../../helpers/child.ts'
import { RULES } from '../../helpers/rules.ts'

const CHECKS = [
  ...visit(274, ['sitting-without-support']),
  ...visit(365, ['sitting-without-support', 'standing-with-assistance']),
  ...visit(457, ['sitting-without-support', 'standing-with-assistance', 'walking-alone']),
]
const looks = (fitted: number, asOf = 500, known: Parameters<typeof child>[0] = {}) =>
  looksAroundFitting(
    child({ milestoneChecks: CHECKS, ...known }),
    { fittedOn: dayOf(fitted), asOf: dayOf(asOf) },
    RULES,
  )

/** 28 weeks: 84 days too early. */
const PRETERM = { gestationDays: fact(196) }

test('of a child whose age does not jump, the observations are those of the tempo', () => {
  for (const known of [{}, PRETERM]) {
    const one = child({ milestoneChecks: CHECKS, ...known })
    const plain = milestones(one, dayOf(500), RULES).statuses.flatMap(({ milestone, interval }) =>
      interval === undefined ? [] : [{ milestone, ...interval }],
    )

    const found = looks(400, 500, known).observations

    expect(found.map(({ milestone }) => milestone)).toEqual(plain.map((row) => row.milestone))
    for (const [index, { from, to }] of found.entries()) {
      expect(from).toBeCloseTo(plain[index]?.from ?? Number.NaN, 9)
      expect(to ?? -1).toBeCloseTo(plain[index]?.to ?? -1, 9)
    }
  }
})

test('the age at the fitting is in months of 30.4375 days, corrected for a child born early', () => {
  expect(looks(400).fittedAt).toBeCloseTo(13.142, 3)
  expect(looks(400, 500, PRETERM).fittedAt).toBeCloseTo(10.382, 3)
})

/** Corrected to 36 months: 1,096 + 84 = 1,180 days after birth. */
test('when the correction ends after the fitting, only the days count as time to develop', () => {
  const milestoneChecks = [look('walking-alone', 1170, false), look('walking-alone', 1200, true)]
  const found = looks(1170, 1200, { ...PRETERM, milestoneChecks })

  const [only] = found.observations
  expect(only?.from).toBe(found.fittedAt)
  expect(only?.to).toBeCloseTo(found.fittedAt + 0.9856, 3)
})

/** On day 1,000 corrected by 84 days: 916 / 30.4375. At the fitting the correction has ended. */
test('a look from before the correction ended keeps its corrected age', () => {
  const milestoneChecks = [look('walking-alone', 1000, false), look('walking-alone', 1310, true)]
  const found = looks(1300, 1320, { ...PRETERM, milestoneChecks })

  expect(found.fittedAt).toBeCloseTo(42.71, 2)
  expect(found.observations[0]?.from).toBeCloseTo(30.09, 2)
})

test('checks after the day are not seen; crawling never seen and looks by the due date say nothing', () => {
  expect(looks(300, 300).observations.map(({ milestone }) => milestone)).not.toContain(
    'hands-and-knees-crawling',
  )
  expect(looks(300, 300).observations.every(({ to }) => (to ?? 0) < 10)).toBe(true)
  const early = { ...PRETERM, milestoneChecks: [look('walking-alone', 84, false)] }
  expect(looks(300, 300, early).observations).toEqual([])
  const later = { ...PRETERM, milestoneChecks: [look('walking-alone', 85, false)] }
  expect(looks(300, 300, later).observations).toHaveLength(1)
})

test('a fitting before birth or by the due date is refused, one on the day after is not', () => {
  for (const refused of [() => looks(-400), () => looks(0), () => looks(84, 500, PRETERM)])
    expect(refused).toThrow(expect.objectContaining({ kind: 'business-rule' }))
  expect(() => looks(0)).toThrow('the fitting must lie after birth and the due date')
  expect(looks(85, 500, PRETERM).fittedAt).toBeGreaterThan(0)
  expect(looks(1).fittedAt).toBeGreaterThan(0)
})
