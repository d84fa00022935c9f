import { expect, test } from 'vitest'
import { ages } from '../../../src/domain/development/age.ts'
import {
  ageFindings,
  ageSentences,
  ruleOfThumbMonths,
} from '../../../src/domain/development/age-findings.ts'
import { addDays, civilDate } from '../../../src/domain/calendar.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { child, fact } from '../../helpers/child.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { RULES } from '../../helpers/rules.ts'

const BORN = civilDate('2024-01-15')
const en = speaker('en')
const es = speaker('es')

/** Of an invented child born after so many weeks, or nobody knows how many, so many days later. */
const of = (weeks: number | 'unknown', days: number) => {
  const gestationDays = weeks === 'unknown' ? weeks : fact(weeks * 7)
  return ages(child({ birthDate: fact(BORN), gestationDays }), addDays(BORN, days), RULES)
}
const said = (...args: Parameters<typeof of>) => {
  const [preterm, corrected] = of(...args).findings
  if (preterm === undefined || corrected === undefined) throw new Error('there are two')
  return { preterm, corrected }
}

/** 731 days are 24 calendar months; 84 days less are 647. From memory: 28 weeks, 24 months, 21. */
test('the rule of thumb gives 21 months for 28 weeks and 24 months, from memory and said so', () => {
  const { corrected } = said(28, 731)

  expect(ruleOfThumbMonths(24, 28 * 7, RULES)).toBe(21)
  expect(en.therapist(corrected.because)).toBe(
    'Corrected age is used, 21.26 months by days (24.02 chronological), until 36 months corrected; four weeks to a month would give 21.02 (rule of thumb from memory, a check only).',
  )
  expect(corrected.sources).toContain('memory')
})

test('gestation counts in completed weeks for the rule of thumb: 25 weeks 5 days is 25', () => {
  expect(ruleOfThumbMonths(12, 25 * 7 + 5, RULES)).toBe(8.25)
})

test('the family of a child born early hears from which day the age is counted', () => {
  expect(en.family(said(28, 731).corrected.because)).toBe(
    'Your child was born early, so we count the age from the day the birth was due. We do this until 36 months, counted that way.',
  )
})

test('born before 37 weeks, at 37 weeks, and nobody knows', () => {
  const [early, term, unknown] = [said(36, 300), said(37, 300), said('unknown', 300)]

  expect([early, term, unknown].map(({ preterm }) => preterm.holds)).toEqual([
    'yes',
    'no',
    'unknown',
  ])
  expect(en.therapist(early.preterm.because)).toBe('Born at 36w0d, before 37w0d.')
  expect(en.family(early.preterm.because)).toBe(
    'Your child was born early, after 36 weeks of pregnancy.',
  )
  expect(en.therapist(term.preterm.because)).toBe(
    'Born at 37w0d, at or after 37w0d: no correction.',
  )
  expect(en.therapist(unknown.preterm.because)).toContain('not on record')
  expect(en.family(unknown.preterm.because)).toMatch(/^We do not know/)
})

test('days of gestation are told when there are any', () => {
  const found = (more: number) => {
    const days = 28 * 7 + more
    const gestation = { days, correction: 84 - more }
    const reckoning = { chronologicalDays: 300, gestation, corrected: true }
    const [preterm] = ageFindings(child({ gestationDays: fact(days) }), reckoning, RULES)
    return preterm?.because ?? { all: [] }
  }

  expect(en.family(found(1))).toContain('after 28 weeks and 1 day of')
  expect(en.family(found(3))).toContain('after 28 weeks and 3 days of')
  expect(es.therapist(found(3))).toBe('Nacimiento a las 28+3 semanas, antes de las 37+0 semanas.')
})

test('why the age is counted from birth is told: born at term, unknown, or outgrown', () => {
  expect(en.therapist(said(40, 487).corrected.because)).toBe(
    'Chronological age is used, 16.00 months: born at term.',
  )
  expect(en.therapist(said('unknown', 487).corrected.because)).toBe(
    'Chronological age is used, 16.00 months: gestation at birth is not on record.',
  )
  expect(en.therapist(said(28, 1096 + 84).corrected.because)).toBe(
    'Chronological age is used, 38.77 months: corrected age, 36.01 months, has reached 36 months.',
  )
})

test('each of the two ages has its sentence', () => {
  const { chronological, corrected } = ageSentences(of(28, 731))

  expect(en.therapist(chronological)).toBe(
    'Chronological age 24.02 months (24 completed calendar months).',
  )
  expect(en.therapist(corrected)).toBe(
    'Corrected age 21.26 months (21 completed calendar months from the due date).',
  )
  expect(en.family(chronological)).toBe('Counted from birth, your child is 24 months old.')
  expect(es.family(corrected)).toBe(
    'Contando desde la fecha prevista del parto, su hijo o hija tiene 21 meses.',
  )
})

test('the corrected age of a child born at term is the other one; of unknown gestation it is unknown', () => {
  const corrected = (...args: Parameters<typeof of>) =>
    en.therapist(ageSentences(of(...args)).corrected)

  expect(corrected(37, 300)).toMatch(/is the chronological age: born at term/)
  expect(corrected('unknown', 300)).toBe(
    'Corrected age unknown: gestation at birth is not on record.',
  )
  expect(en.family(ageSentences(of('unknown', 300)).corrected)).toMatch(/^We do not know/)
})

test('before the due date there is no month to tell; on that day there is', () => {
  expect(en.therapist(ageSentences(of(28, 83)).corrected)).toContain('has not been reached')
  expect(en.therapist(ageSentences(of(28, 84)).corrected)).toBe(
    'Corrected age 0.00 months (0 completed calendar months from the due date).',
  )
})

test('every age can be told to both readers in every language', () => {
  const all = [of(28, 731), of(28, 83), of(28, 1096 + 84), of(40, 487), of('unknown', 487)]

  expect(
    faultsInVoices(
      all.flatMap((one) => [
        ...one.findings.map(({ because }) => because),
        ...Object.values(ageSentences(one)),
      ]),
    ),
  ).toEqual([])
})
