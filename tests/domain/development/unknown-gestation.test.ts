import { expect, test } from 'vitest'
import { civilDate } from '../../../src/domain/calendar.ts'
import type { Child, MilestoneCheck } from '../../../src/domain/child.ts'
import { ageInRange } from '../../../src/domain/decision/criteria.ts'
import { functionalConcern } from '../../../src/domain/decision/functional-concern.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { GENERIC_SIZE_CHART } from '../../../src/domain/tables/generic-size-chart.ts'
import { triage } from '../../../src/domain/triage.ts'
import type { Finding } from '../../../src/domain/truth.ts'
import { ifPreterm } from '../../../src/domain/development/unknown-gestation.ts'
import { child, fact } from '../../helpers/child.ts'
import { RULES } from '../../helpers/rules.ts'

const AS_OF = civilDate('2026-06-15')
const look = (milestone: MilestoneCheck['milestone'], attained: boolean) =>
  fact<MilestoneCheck>({ milestone, attained, reportedBy: 'professional' }, AS_OF, milestone)

/** Invented: 14 months old; walks held, does not stand or walk alone. Late if born at term, not if born early. */
const OF_14_MONTHS = {
  birthDate: fact(civilDate('2025-04-15')),
  milestoneChecks: [
    look('sitting-without-support', true),
    look('standing-with-assistance', true),
    look('walking-with-assistance', true),
    look('standing-alone', false),
    look('walking-alone', false),
  ],
}
const found = (known: Partial<Child>) =>
  triage(child({ ...OF_14_MONTHS, ...known }), AS_OF, { rules: RULES, chart: GENERIC_SIZE_CHART })
const told = ({ because }: Finding) => speaker('en').therapist(because)
const concern = (known: Partial<Child>) => functionalConcern(found(known), RULES.suitability)

test('where the delay turns on gestation, it is unknown and gestation is asked for', () => {
  const open = concern({})

  expect(concern({ gestationDays: fact(280) }).holds).toBe('yes')
  expect(concern({ gestationDays: fact(196) }).holds).not.toBe('yes')
  expect(open.holds).toBe('unknown')
  expect(told(open)).toMatch(/gestation/i)
})

test('where both give one answer, gestation is not asked for', () => {
  const stands = [...OF_14_MONTHS.milestoneChecks.slice(0, 2), look('walking-alone', true)]
  const early = { milestoneChecks: stands }

  expect(told(concern(early))).not.toMatch(/gestation/i)
})

test('the points of the delay range over both', () => {
  const delay = (known: Partial<Child>) =>
    found(known).urgency.contributions.find(({ id }) => id === 'motor-delay')
  const [term, early, open] = [{ gestationDays: fact(280) }, { gestationDays: fact(196) }, {}].map(
    delay,
  )

  expect(open?.low).toBe(early?.low)
  expect(open?.high).toBe(term?.high)
  expect(open?.points).toBe(open?.low)
})

test('an age that is in range only if born at term is not known to be', () => {
  const at = (known: Partial<Child>) =>
    ageInRange(found({ birthDate: fact(civilDate('2025-11-01')), milestoneChecks: [], ...known }), {
      ...RULES.age,
    }).holds

  expect(at({})).toBe('unknown')
  expect(at({ gestationDays: fact(280) })).toBe('yes')
  expect(at({ gestationDays: fact(196) })).toBe('no')
})

test('nothing is supposed when gestation is recorded, or the child is past the correction', () => {
  const old = child({ birthDate: fact(civilDate('2022-06-15')) })

  expect(ifPreterm(child({ gestationDays: fact(280) }), AS_OF, RULES)).toBeUndefined()
  expect(ifPreterm(old, AS_OF, RULES)).toBeUndefined()
  expect(ifPreterm(child(), AS_OF, RULES)?.ages.used).toBe('corrected')
})

test('a fault of the rule set is not taken for a record that cannot be', () => {
  const rules = { ...RULES, age: { ...RULES.age, correctUntilMonths: 601 } }

  expect(() => ifPreterm(child(), AS_OF, rules)).toThrow(RangeError)
})

test('a record that cannot be of a child born early supposes nothing', () => {
  const born = civilDate('2026-04-01')
  const sits = fact<MilestoneCheck>(
    { milestone: 'sitting-without-support', attained: true, reportedBy: 'professional' },
    '2026-06-01',
  )

  expect(
    ifPreterm(child({ birthDate: fact(born), milestoneChecks: [sits] }), AS_OF, RULES),
  ).toBeUndefined()
})
