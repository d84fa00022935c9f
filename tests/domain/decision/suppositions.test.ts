import { expect, test } from 'vitest'
import type { Child } from '../../../src/domain/child.ts'
import { suppositions } from '../../../src/domain/decision/suppositions.ts'
import { child, fact } from '../../helpers/child.ts'
import {
  affectedFoot,
  assess,
  knownChild,
  milestonesWith,
  tempoWith,
} from '../../helpers/findings.ts'
import { RULES } from '../../helpers/rules.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'

const english = speaker('en')

/** The facts of each way to an answer. */
const ways = (of: Child, rule: string, answer: 'yes' | 'no', more = {}) =>
  suppositions(assess(of, more), RULES)
    .filter((one) => one.rule === rule && one.answer === answer)
    .map(({ facts }) => facts.map(({ fact: name, value }) => [name, value]))

const calves = (grade: ReturnType<typeof fact<'0' | '1' | '2'>> | 'unknown') =>
  knownChild({
    feet: {
      left: affectedFoot({ ashworthCalf: grade }),
      right: affectedFoot({ ashworthCalf: fact('0') }),
    },
  })

test('low tone takes one fact; no low tone takes each that speaks for it', () => {
  const lax = knownChild({
    diagnoses: { hypotonia: fact(true) },
    signs: {
      ...knownChild().signs,
      'generalised-laxity': fact(true),
      'motor-concern': fact(true),
    },
  })

  expect(ways(lax, 'low-tone', 'yes')).toEqual([[['tone', 'low']]])
  expect(ways(lax, 'low-tone', 'no')).toEqual([
    [
      ['diagnoses.hypotonia', false],
      ['tone', 'normal'],
      ['signs.generalised-laxity', false],
    ],
  ])
  expect(ways(knownChild({ tone: fact('raised') }), 'low-tone', 'no')).toEqual([[]])
})

test('raised tone takes one calf at the limit, Ashworth 1+', () => {
  expect(ways(child(), 'raised-tone', 'yes')).toEqual([[['ashworthCalf.left', '1+']]])
})

test('tone that is not raised takes general tone, or each calf that is not below the limit', () => {
  const tone = [['tone', 'low']]

  expect(ways(calves(fact('2')), 'raised-tone', 'no')).toEqual([tone, [['ashworthCalf.left', '0']]])
  expect(ways(calves(fact('1')), 'raised-tone', 'no')).toEqual([tone, []])
  expect(ways(calves('unknown'), 'raised-tone', 'no')).toEqual([tone, [['ashworthCalf.left', '0']]])
})

test('coded spastic cerebral palsy has to be taken back first', () => {
  const spastic = knownChild({ diagnoses: { 'spastic-cerebral-palsy': fact(true) } })

  expect(ways(spastic, 'raised-tone', 'no')).toEqual([
    [
      ['diagnoses.spastic-cerebral-palsy', false],
      ['tone', 'low'],
    ],
    [['diagnoses.spastic-cerebral-palsy', false]],
  ])
})

test('concern takes one standardised result at the limit', () => {
  const limit = { kind: 'z-score', z: -1.5 }

  expect(ways(child(), 'functional-concern', 'yes')).toEqual([[['standardised', limit]]])
  const said = suppositions(assess(child()), RULES)
    .filter(({ rule }) => rule === 'functional-concern')
    .map(({ words }) => english.therapist(words))
  expect(said).toEqual([
    'if a standardised test gave z -1.5 or below',
    'if function gave no concern',
  ])
})

test('no concern takes a result at the mean and all but one postural sign, those seen first', () => {
  const signs = {
    ...knownChild().signs,
    'habitual-w-sitting': 'unknown' as const,
    'rises-onto-toes-for-stability': fact(true),
    'heel-contact-seen': fact(false),
  }
  const started = { notBefore: '2025-01-01', notAfter: '2025-01-05' }
  const walking = { milestones: { ...milestonesWith(), walkingOnset: started } }

  expect(ways(knownChild({ signs }), 'functional-concern', 'no', walking)).toEqual([
    [
      ['standardised', { kind: 'z-score', z: 0 }],
      ['signs.rises-onto-toes-for-stability', false],
      ['signs.heel-contact-seen', true],
    ],
  ])
})

test('bearing weight takes one skill, not bearing it takes all that are not known to be absent', () => {
  const milestones = milestonesWith({
    states: { 'walking-alone': 'not-yet', 'standing-alone': 'attained' },
    skills: [{ skill: 'pulling-to-stand', holds: 'no' }],
  })

  expect(ways(child(), 'bears-weight', 'yes', { milestones })).toEqual([
    [['milestoneChecks.standing-with-assistance', true]],
  ])
  expect(ways(child(), 'bears-weight', 'no', { milestones })).toEqual([
    [
      ['milestoneChecks.standing-with-assistance', false],
      ['milestoneChecks.walking-with-assistance', false],
      ['milestoneChecks.standing-alone', false],
    ],
  ])
})

test('no low tone is supposed from nothing recorded by tone and joints, without concern by none', () => {
  expect(ways(child(), 'low-tone', 'no')).toEqual([
    [
      ['tone', 'normal'],
      ['signs.generalised-laxity', false],
    ],
  ])
})

test('what milestones tell of bearing weight is supposed, their looks stay', () => {
  const milestones = milestonesWith({ bearsWeight: 'no', states: { 'walking-alone': 'not-yet' } })
  const [stands, not] = suppositions(assess(child(), { milestones }), RULES)

  expect(stands?.found?.milestones).toEqual({
    ...milestones,
    bearsWeight: { ...milestones.bearsWeight, holds: 'yes' },
  })
  expect(not?.found?.milestones).toEqual(milestones)
})

test('without a delay no test result is supposed, only the signs that were seen', () => {
  const signs = {
    ...knownChild().signs,
    'habitual-w-sitting': fact(false),
    'rises-onto-toes-for-stability': 'unknown' as const,
    'forward-lean-with-knees-rolling-in': fact(true),
  }
  const known = {
    milestones: milestonesWith({ walksAlone: 'no' }),
    tempo: tempoWith({ atLeast25: 0.1 }),
  }

  expect(ways(knownChild({ signs }), 'functional-concern', 'no', known)).toEqual([
    [['signs.forward-lean-with-knees-rolling-in', false]],
  ])
})

test('each way to tone that is not raised is said as what would have to be otherwise', () => {
  const words = (of: Child) =>
    suppositions(assess(of), RULES)
      .filter((one) => one.rule === 'raised-tone' && one.answer === 'no')
      .map((one) => english.therapist(one.words))
  const spastic = { diagnoses: { 'spastic-cerebral-palsy': fact(true as const) } }

  expect(words(child())).toEqual(['if muscle tone were low', 'if tone were not raised at the calf'])
  expect(words(child(spastic))).toEqual([
    'if tone were not raised at the calf',
    'if tone were not raised at the calf',
  ])
})

test('of signs that may count those seen are lifted first, in whatever order they come', () => {
  const signs = {
    ...knownChild().signs,
    'habitual-w-sitting': fact(true),
    'rises-onto-toes-for-stability': 'unknown' as const,
    'forward-lean-with-knees-rolling-in': fact(true),
  }
  const known = {
    milestones: milestonesWith({ walksAlone: 'no' }),
    tempo: tempoWith({ atLeast25: 0.1 }),
  }

  expect(ways(knownChild({ signs }), 'functional-concern', 'no', known)).toEqual([
    [
      ['signs.habitual-w-sitting', false],
      ['signs.forward-lean-with-knees-rolling-in', false],
    ],
  ])
})
