import { expect, test } from 'vitest'
import {
  answersOf,
  criteriaFindings,
  exclusionFindings,
  questions,
} from '../../../src/domain/decision/questions.ts'
import { degrees } from '../../../src/domain/units.ts'
import { child, fact, foot } from '../../helpers/child.ts'
import { affectedFoot, assess, fpiOf, knownChild } from '../../helpers/findings.ts'
import { MET } from '../../helpers/answers.ts'
import { RULES } from '../../helpers/rules.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'

const english = speaker('en')

const asked = (...args: Parameters<typeof assess>) => questions(assess(...args), RULES)

test('every question of a child that meets all has its answer', () => {
  expect(answersOf(asked(knownChild()))).toEqual(MET)
})

test('each finding is filed under the rule it names', () => {
  for (const [question, found] of Object.entries(asked(child()))) expect(found.rule).toBe(question)
})

test('criteria and exclusions come in the order of the rules', () => {
  const found = asked(child())

  expect(criteriaFindings(found).map(({ rule }) => rule)).toEqual([
    'age-in-range',
    'bears-weight',
    'low-tone',
    'excessive-pronation',
    'flexible-foot',
    'functional-concern',
  ])
  expect(exclusionFindings(found).map(({ rule }) => rule)).toEqual([
    'raised-tone',
    'rigid-foot',
    'fixed-calf',
    'skin-or-sensation',
  ])
})

test('nothing recorded: every exclusion is unknown', () => {
  expect(exclusionFindings(asked(child())).map(({ holds }) => holds)).toEqual(
    Array<string>(4).fill('unknown'),
  )
})

test('an exclusion of either foot holds and cites the records of both', () => {
  const right = affectedFoot({
    ankleDorsiflexion: fact(degrees(-5), '2026-03-01', 'Observation/r/_history/1'),
  })
  const found = exclusionFindings(asked(knownChild({ feet: { left: affectedFoot(), right } })))

  expect(found[2]).toMatchObject({
    rule: 'fixed-calf',
    holds: 'yes',
    evidence: ['Observation/a/_history/1', 'Observation/r/_history/1'],
  })
})

test('whether a foot that is not affected corrects is not mentioned', () => {
  const left = foot({ fpi: fact(fpiOf([0, 0, 0, 0, 0, 0])) })
  const found = criteriaFindings(asked(knownChild({ feet: { left, right: affectedFoot() } })))

  expect(found[4]?.holds).toBe('yes')
  const said = found.map(({ because }) => english.therapist(because))
  expect(said[4]).not.toMatch(/Left foot: flexible/)
  expect(said[4]).toMatch(/Right foot: flexible/)
})

test('a rigid foot and a calf that is too short say first what they come to, and whom to see', () => {
  const rigid = affectedFoot({
    tiptoeArchAndHeelInversion: fact(false),
    archSeenUnloaded: fact(false),
    greatToeExtensionRaisesArch: fact(false),
    ankleDorsiflexion: fact(degrees(-5)),
  })
  const [, foot2, calf] = exclusionFindings(
    asked(knownChild({ feet: { left: rigid, right: affectedFoot() } })),
  )

  expect(foot2 && english.therapist(foot2.because)).toMatch(
    /^A foot that is affected does not correct\. /,
  )
  expect(foot2 && english.family(foot2.because)).toMatch(/bone and joint doctor should look at it/)
  expect(calf && english.therapist(calf.because)).toMatch(/^An ankle does not reach neutral\. /)
  expect(calf && english.family(calf.because)).toMatch(/bone and joint doctor or physiotherapy/)
})

test('what is found can be said of a child of whom all or nothing is known', () => {
  for (const of of [knownChild(), child()]) {
    const found = asked(of)

    expect(
      faultsInVoices(
        [...criteriaFindings(found), ...exclusionFindings(found)].map(({ because }) => because),
      ),
    ).toEqual([])
  }
})

test('of a foot that is not affected only that is said, and nothing of how it corrects', () => {
  const left = affectedFoot({ fpi: fact(fpiOf([0, 0, 0, 0, 0, 0])) })
  const found = asked(knownChild({ feet: { left, right: affectedFoot() } }))
  const [, rigid] = exclusionFindings(found)
  const said = rigid && english.therapist(rigid.because)

  expect(said).toContain('Left foot: no excessive pronation')
  expect(said).not.toContain('Left foot: flexible')
  expect(said).toContain('Right foot: flexible')
})

test('a finding of both feet names each source once', () => {
  const found = asked(knownChild())
  const flexible = criteriaFindings(found)[4]

  expect(flexible?.sources).toEqual(['common-practice', 'flexibility-tests'])
  expect(exclusionFindings(found)[2]?.sources).toEqual(['memory'])
})
