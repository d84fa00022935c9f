import { expect, test } from 'vitest'
import type { Child } from '../../../src/domain/child.ts'
import { ageInRange, bearsWeight, lowTone } from '../../../src/domain/decision/criteria.ts'
import { child, fact } from '../../helpers/child.ts'
import { agesAt, milestonesWith, tempoWith } from '../../helpers/findings.ts'
import { RULES } from '../../helpers/rules.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'

const english = speaker('en')
const spanish = speaker('es')

test('the age is in range from 6 to 72 months, both included', () => {
  const at = (age: number) => ageInRange({ child: child(), ages: agesAt(age) }, RULES.age).holds

  expect([5.9, 6, 72, 72.1].map(at)).toEqual(['no', 'yes', 'yes', 'no'])
})

test('the age that counts is the age in use', () => {
  const ages = { ...agesAt(7), months: agesAt(5).months, used: 'corrected' } as const

  const found = ageInRange({ child: child(), ages }, RULES.age)

  expect(found).toMatchObject({
    rule: 'age-in-range',
    holds: 'no',
    evidence: ['Patient/a/_history/1'],
  })
  expect(english.therapist(found.because)).toBe(
    '5 months (corrected age); the clinic sees 6 to 72 months.',
  )
})

test('the family is told whether the child is too young, too old, or of an age not known well enough', () => {
  const ifPreterm = { ages: agesAt(5), milestones: milestonesWith(), tempo: tempoWith() }
  const young = ageInRange({ child: child(), ages: agesAt(5) }, RULES.age)
  const seen = ageInRange({ child: child(), ages: agesAt(6.25) }, RULES.age)
  const old = ageInRange({ child: child(), ages: agesAt(72.1) }, RULES.age)
  const open = ageInRange({ child: child(), ages: agesAt(7), ifPreterm }, RULES.age)

  expect(english.family(young.because)).toMatch(/younger than the children we see/)
  expect(english.family(seen.because)).toBe('Your child is at an age that we see here.')
  expect(english.family(old.because)).toMatch(/A service for older children can help/)
  expect(open.holds).toBe('unknown')
  expect(english.family(open.because)).toMatch(/how many weeks the pregnancy lasted/)
  expect(english.therapist(open.because)).toMatch(/gestational age is not recorded/)
  expect(spanish.therapist(seen.because)).toBe(
    '6,3 meses (edad cronológica); la clínica atiende de 6 a 72 meses.',
  )
  expect(faultsInVoices([young, seen, old, open].map(({ because }) => because))).toEqual([])
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
  expect(tone({ diagnoses, tone: fact('raised'), ...lax(false, false) })).toBe('unknown')
  expect(lowTone({ child: child({ diagnoses, tone: fact('raised' as const) }) }).holds).toBe(
    'unknown',
  )
})

test('what documents low tone, and what is still open, is said to therapist and family', () => {
  const said = (known: Partial<Child>) => lowTone({ child: child(known) }).because
  const coded = { diagnoses: { hypotonia: fact(true as const) } }
  const open = said({ ...lax(true), tone: fact('normal') })

  expect(english.therapist(open)).toBe(
    'Muscle tone was observed as normal. Generalised laxity: yes; motor concern: unknown.',
  )
  expect(english.family(open)).toMatch(/^We do not know for sure/)
  expect(english.therapist(said(coded))).toMatch(/^Hypotonia is coded as a condition\./)
  expect(english.therapist(said({ ...coded, tone: fact('raised') }))).toMatch(
    /coded as a condition, but muscle tone was observed as raised/,
  )
  expect(english.family(said({ ...lax(true, true), tone: fact('normal') }))).toMatch(/joints/)
  expect(
    faultsInVoices([
      open,
      said(coded),
      said({ ...coded, tone: fact('raised') }),
      said({ tone: fact('low') }),
      said({ ...lax(true, true), tone: fact('normal') }),
      said({ ...lax(false, false), tone: fact('normal') }),
      said({}),
    ]),
  ).toEqual([])
})

test('low tone cites each record that it rests on, and common practice', () => {
  const at = (name: string) => `Observation/${name}/_history/1`
  const of = child({
    diagnoses: { hypotonia: fact(true, '2026-03-01', 'Condition/h/_history/1') },
    tone: fact('low', '2026-03-01', at('tone')),
    signs: {
      ...child().signs,
      'generalised-laxity': fact(true, '2026-03-01', at('laxity')),
      'motor-concern': fact(true, '2026-03-01', at('concern')),
    },
  })

  expect(lowTone({ child: of })).toMatchObject({
    rule: 'low-tone',
    sources: ['common-practice'],
    evidence: ['Condition/h/_history/1', at('concern'), at('laxity'), at('tone')],
  })
  expect(lowTone({ child: child() }).evidence).toEqual([])
  expect(ageInRange({ child: of, ages: agesAt(20) }, RULES.age).sources).toEqual(['judgement'])
})

test('a tone that nobody observed is said to be not recorded, not some tone', () => {
  const { because } = lowTone({ child: child({ ...lax(true, true) }) })

  expect(english.therapist(because)).toBe(
    'Muscle tone is not recorded. Generalised laxity: yes; motor concern: yes.',
  )
})
