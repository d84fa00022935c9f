import { expect, test } from 'vitest'
import type { Child } from '../../../src/domain/child.ts'
import { ageInRange, bearsWeight, lowTone } from '../../../src/domain/decision/criteria.ts'
import { child, fact } from '../../helpers/child.ts'
import { agesAt, milestonesWith } from '../../helpers/findings.ts'
import { RULES } from '../../helpers/rules.ts'

test('the age is in range from 6 to 72 months, both included', () => {
  const at = (age: number) => ageInRange({ child: child(), ages: agesAt(age) }, RULES.age).holds

  expect([5.9, 6, 72, 72.1].map(at)).toEqual(['no', 'yes', 'yes', 'no'])
})

test('the age that counts is the age in use', () => {
  const ages = { ...agesAt(7), months: agesAt(5).months, used: 'corrected' } as const

  expect(ageInRange({ child: child(), ages }, RULES.age)).toMatchObject({
    rule: 'age-in-range',
    holds: 'no',
    because: '5 months (corrected age); the clinic sees 6 to 72 months',
    evidence: ['Patient/a/_history/1'],
  })
})

for (const holds of ['yes', 'no', 'unknown'] as const)
  test(`bearing weight is what the milestones tell: ${holds}`, () => {
    const milestones = milestonesWith({ bearsWeight: holds })

    expect(bearsWeight({ milestones })).toMatchObject({ rule: 'bears-weight', holds })
  })

const tone = (known: Partial<Child>) => lowTone({ child: child(known) }).holds
const lax = (laxity?: boolean, concern?: boolean): Partial<Child> => ({
  signs: {
    ...child().signs,
    ...(laxity !== undefined && { 'generalised-laxity': fact(laxity) }),
    ...(concern !== undefined && { 'motor-concern': fact(concern) }),
  },
})

test('low tone is met by a coded condition, whatever tone was observed', () => {
  expect(tone({ diagnoses: { hypotonia: fact(true) } })).toBe('yes')
  expect(tone({ diagnoses: { hypotonia: fact(true) }, tone: fact('normal') })).toBe('yes')
})

test('low tone is met by the observation', () => {
  expect(tone({ tone: fact('low') })).toBe('yes')
})

test('low tone is met by generalised laxity with motor concern, not by one of them', () => {
  expect(tone({ ...lax(true, true), tone: fact('normal') })).toBe('yes')
  expect(tone({ ...lax(true, false), tone: fact('normal') })).toBe('no')
  expect(tone({ ...lax(false, true), tone: fact('raised') })).toBe('no')
})

test('low tone is unknown while anything that could show it is unknown', () => {
  expect(tone({})).toBe('unknown')
  expect(tone({ tone: fact('normal') })).toBe('unknown')
  expect(tone({ ...lax(true), tone: fact('normal') })).toBe('unknown')
  expect(tone(lax(false, false))).toBe('unknown')
})

test('Down syndrome alone does not document low tone, and a Beighton score is no laxity sign', () => {
  expect(tone({ diagnoses: { 'down-syndrome': fact(true) }, beighton: fact(9) })).toBe('unknown')
})

test('coded hypotonia beside a tone observed as raised leaves low tone open', () => {
  const diagnoses = { hypotonia: fact(true as const) }

  expect(lowTone({ child: child({ diagnoses }) }).holds).toBe('yes')
  expect(lowTone({ child: child({ diagnoses, tone: fact('raised' as const) }) }).holds).toBe(
    'unknown',
  )
})
