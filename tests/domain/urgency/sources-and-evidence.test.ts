import { expect, test } from 'vitest'
import { suitability } from '../../../src/domain/decision/suitability.ts'
import { milestones } from '../../../src/domain/development/milestones.ts'
import type { Contribution, ContributionId } from '../../../src/domain/urgency/urgency.ts'
import { urgency } from '../../../src/domain/urgency/urgency.ts'
import { degrees } from '../../../src/domain/units.ts'
import { dayOf, look } from '../../helpers/checks.ts'
import { child, fact, foot } from '../../helpers/child.ts'
import { assess, fpiOf, milestonesWith, tempoWith } from '../../helpers/findings.ts'
import { RULES } from '../../helpers/rules.ts'

const record = (name: string) => `Observation/${name}/_history/1`
const recorded = <T>(value: T, name: string) => fact(value, '2026-03-01', record(name))
const shapeOf = (id: ContributionId, ...args: Parameters<typeof assess>) => {
  const assessed = assess(...args)
  const { contributions } = urgency(
    { ...assessed, suitability: suitability(assessed, RULES) },
    RULES,
  )
  return contributions.filter((one) => one.id === id).map(shape)[0]
}
const shape = ({ sources, evidence }: Contribution) => ({ sources, evidence })

test('the motor delay rests on the standardised result when there is one', () => {
  const standardised = recorded({ kind: 'z-score', z: -2 } as const, 'test')

  expect(shapeOf('motor-delay', child({ standardised }))).toEqual({
    sources: ['judgement', 'state-thresholds-sd'],
    evidence: [record('test')],
  })
})

test('the motor delay rests on what the tempo rests on when there is no result', () => {
  const tempo = tempoWith()
  const evidence = [fact('', '2026-03-01', record('walking')).evidence]
  const finding = { ...tempo.finding, sources: ['tempo-model'] as const, evidence }

  expect(shapeOf('motor-delay', child(), { tempo: { ...tempo, finding } })).toEqual({
    sources: ['tempo-model'],
    evidence,
  })
})

test('a stall rests on the checks of the last milestone and of the next, and on no other', () => {
  const checks = [
    look('walking-alone', 500, false),
    look('walking-with-assistance', 500, false),
    look('standing-with-assistance', 450, true),
    look('sitting-without-support', 250, true),
  ]
  const of = child({ milestoneChecks: checks })
  const known = { milestones: milestones(of, dayOf(540), RULES) }

  expect(shapeOf('stalled', of, known)).toEqual({
    sources: ['judgement', 'who-motor-model'],
    evidence: [
      'Observation/standing-with-assistance-450-true-professional/_history/1',
      'Observation/walking-with-assistance-500-false-professional/_history/1',
    ],
  })
  expect(shapeOf('stalled', child())?.evidence).toEqual([])
})

test('when nothing is waited for it rests on the checks of the last milestone alone', () => {
  const of = child({ milestoneChecks: [look('walking-alone', 450, true)] })

  expect(shapeOf('stalled', of, { milestones: milestones(of, dayOf(540), RULES) })).toEqual({
    sources: ['judgement', 'who-motor-model'],
    evidence: ['Observation/walking-alone-450-true-professional/_history/1'],
  })
})

test('the pronation rests on everything recorded of the stance of both feet', () => {
  const index = (name: string) => ({ fpi: recorded(fpiOf([1, 1, 1, 1, 1, 1]), name) })
  const feet = {
    left: foot({ ...index('left'), heelEversion: recorded(degrees(6), 'heel') }),
    right: foot({ fpi: recorded({ 1: 2 }, 'right'), heelEversion: recorded(degrees(6), 'heel') }),
  }

  expect(shapeOf('pronation', child({ feet }))).toEqual({
    sources: ['judgement', 'fpi-redmond-2006'],
    evidence: [record('heel'), record('left'), record('right')],
  })
})

test('the window rests on the records of bearing weight', () => {
  const seen = milestonesWith()
  const evidence = [fact('', '2026-03-01', record('standing')).evidence]
  const known = { milestones: { ...seen, bearsWeight: { ...seen.bearsWeight, evidence } } }

  expect(shapeOf('window', child(), known)).toEqual({ sources: ['judgement'], evidence })
})

test('the safety rests on the records of its three signs', () => {
  const signs = {
    ...child().signs,
    'falls-beyond-practice': recorded(false, 'falls'),
    'refuses-to-stand': recorded(true, 'refusal'),
    'generalised-laxity': recorded(true, 'laxity'),
  }

  expect(shapeOf('safety', child({ signs }))).toEqual({
    sources: ['judgement'],
    evidence: [record('falls'), record('refusal')],
  })
})

test('the waiting is a judgement and rests on no record but the referral', () => {
  expect(shapeOf('waiting', child())).toEqual({ sources: ['judgement'], evidence: [] })
})
