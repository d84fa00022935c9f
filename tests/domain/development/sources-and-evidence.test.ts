import { expect, test } from 'vitest'
import type { Child, MilestoneCheck } from '../../../src/domain/child.ts'
import { ages } from '../../../src/domain/development/age.ts'
import { milestones } from '../../../src/domain/development/milestones.ts'
import { tempo } from '../../../src/domain/development/tempo.ts'
import type { Fact } from '../../../src/domain/facts.ts'
import type { Finding } from '../../../src/domain/truth.ts'
import { dayOf, look, skillLook, visit } from '../../helpers/checks.ts'
import { child, fact } from '../../helpers/child.ts'
import { RULES } from '../../helpers/rules.ts'

const TODAY = dayOf(600)
const shape = ({ rule, sources, evidence }: Finding) => ({ rule, sources, evidence })
const seenOf = (known: Partial<Child>) => milestones(child(known), TODAY, RULES)
const withChecks = (...milestoneChecks: Fact<MilestoneCheck>[]) => seenOf({ milestoneChecks })

/** How the invented records are called. */
const record = (of: string) => `Observation/${of}-professional/_history/1`

test('being born early, and the correction for it, rest on the record of the gestation', () => {
  const gestationDays = fact(196, '2024-09-01', 'Observation/gestation/_history/2')
  const early = ages(child({ gestationDays }), TODAY, RULES).findings
  const evidence = ['Observation/gestation/_history/2']

  expect(early.map(shape)).toEqual([
    { rule: 'born-preterm', sources: ['aap-preterm-age-2004', 'judgement'], evidence },
    { rule: 'age-corrected', sources: ['aap-preterm-age-2004', 'judgement', 'memory'], evidence },
  ])
})

test('without a correction nothing of the age is from memory, and without a record none is named', () => {
  const sources = ['aap-preterm-age-2004', 'judgement']

  expect(ages(child(), TODAY, RULES).findings.map(shape)).toEqual([
    { rule: 'born-preterm', sources, evidence: [] },
    { rule: 'age-corrected', sources, evidence: [] },
  ])
})

test('a milestone rests on the WHO study and its model, and on its own checks only', () => {
  const found = withChecks(look('walking-alone', 400, false), look('standing-alone', 400, true))
  const walking = found.statuses.find(({ milestone }) => milestone === 'walking-alone')

  expect(walking && shape(walking.finding)).toEqual({
    rule: 'milestone.walking-alone',
    sources: ['who-motor-2006', 'who-motor-model'],
    evidence: [record('walking-alone-400-false')],
  })
  expect(walking?.evidence).toEqual([record('walking-alone-400-false')])
})

test('walking alone rests on the checks of walking alone, and without one on none', () => {
  const walks = withChecks(look('walking-alone', 400, false), look('standing-alone', 400, true))

  expect(shape(walks.walksAlone)).toEqual({
    rule: 'walks-alone',
    sources: ['who-motor-2006'],
    evidence: [record('walking-alone-400-false')],
  })
  expect(withChecks().walksAlone.evidence).toEqual([])
})

test('no loss rests on every check, each once and in alphabetical order', () => {
  const stands = look('standing-alone', 400, true)
  const found = withChecks(look('walking-alone', 400, false), stands, stands)

  expect(shape(found.regression)).toEqual({
    rule: 'regression',
    sources: ['common-practice'],
    evidence: [record('standing-alone-400-true'), record('walking-alone-400-false')],
  })
})

test('bearing weight rests on every look at the five skills and at no other', () => {
  const milestoneChecks = [
    look('walking-alone', 400, false),
    look('sitting-without-support', 400, true),
    look('standing-alone', 400, false),
  ]
  const skillChecks = [skillLook('pulling-to-stand', 400, true), skillLook('cruising', 400, true)]

  expect(shape(seenOf({ milestoneChecks, skillChecks }).bearsWeight)).toEqual({
    rule: 'bears-weight',
    sources: ['common-practice'],
    evidence: [
      'Observation/pulling-to-stand-400-true/_history/1',
      record('standing-alone-400-false'),
      record('walking-alone-400-false'),
    ],
  })
})

test('a described skill is common practice, from its latest record', () => {
  const { skills } = seenOf({ skillChecks: [skillLook('running', 400, true)] })
  const running = skills.find(({ skill }) => skill === 'running')

  expect(running && shape(running.finding)).toEqual({
    rule: 'skill.running',
    sources: ['common-practice'],
    evidence: ['Observation/running-400-true/_history/1'],
  })
})

test('the tempo rests on its model, and on every check of a milestone in alphabetical order', () => {
  const checks = visit(500, ['sitting-without-support', 'standing-with-assistance'])
  const one = child({ milestoneChecks: checks })
  const found = tempo(one, milestones(one, TODAY, RULES), ages(one, TODAY, RULES), RULES)

  expect(shape(found.finding)).toEqual({
    rule: 'tempo',
    sources: ['tempo-model', 'who-motor-2006', 'judgement'],
    evidence: [
      record('hands-and-knees-crawling-500-false'),
      record('sitting-without-support-500-true'),
      record('standing-alone-500-false'),
      record('standing-with-assistance-500-true'),
      record('walking-alone-500-false'),
      record('walking-with-assistance-500-false'),
    ],
  })
})

test('one record behind several milestones is named once', () => {
  const of = (milestone: MilestoneCheck['milestone']) =>
    fact<MilestoneCheck>(
      { milestone, attained: false, reportedBy: 'professional' },
      dayOf(500),
      'QuestionnaireResponse/a/_history/1',
    )
  const milestoneChecks = [of('walking-alone'), of('standing-alone')]
  const one = child({ milestoneChecks })
  const seen = milestones(one, TODAY, RULES)
  const found = tempo(one, seen, ages(one, TODAY, RULES), RULES)

  for (const { evidence } of [seen.regression, seen.bearsWeight, found.finding])
    expect(evidence).toEqual(['QuestionnaireResponse/a/_history/1'])
})
