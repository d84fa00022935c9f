import { expect, test } from 'vitest'
import type { Child } from '../../../src/domain/child.ts'
import {
  redFlagSuppositions,
  walkingSuppositions,
} from '../../../src/domain/decision/review-suppositions.ts'
import { degrees } from '../../../src/domain/units.ts'
import { child, fact, foot } from '../../helpers/child.ts'
import { milestonesWith } from '../../helpers/findings.ts'
import { RULES } from '../../helpers/rules.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'

const facts = (of: Child, rule: string, answer: 'yes' | 'no') =>
  redFlagSuppositions({ child: of }, RULES)
    .find((one) => one.rule === rule && one.answer === answer)
    ?.facts.map(({ fact: name, value }) => [name, value])

test('walking alone is also bearing weight', () => {
  const milestones = milestonesWith({ bearsWeight: 'no', walksAlone: 'no' })
  const [walks] = walkingSuppositions({ milestones })

  expect(walks?.found?.milestones).toMatchObject({
    walksAlone: { holds: 'yes' },
    bearsWeight: { holds: 'yes' },
  })
})

test('not walking alone says nothing about bearing weight', () => {
  const [, not] = walkingSuppositions({ milestones: milestonesWith() })

  expect(not?.found?.milestones).toMatchObject({
    walksAlone: { holds: 'no' },
    bearsWeight: { holds: 'yes' },
  })
})

test('each of the eleven red flags is supposed to hold and not to hold', () => {
  const found = redFlagSuppositions({ child: child() }, RULES)

  expect(found).toHaveLength(22)
  expect(new Set(found.map(({ rule }) => rule)).size).toBe(11)
})

test('a reported sign takes one fact', () => {
  expect(facts(child(), 'gowers-sign', 'yes')).toEqual([['redFlags.gowers-sign', true]])
  expect(facts(child(), 'gowers-sign', 'no')).toEqual([['redFlags.gowers-sign', false]])
})

test('weakness with absent reflexes takes both, its absence takes one', () => {
  const weak = child({ redFlags: { ...child().redFlags, 'marked-weakness': fact(true) } })

  expect(facts(weak, 'weakness-with-absent-reflexes', 'yes')).toEqual([
    ['redFlags.absent-reflexes', true],
  ])
  expect(facts(weak, 'weakness-with-absent-reflexes', 'no')).toEqual([
    ['redFlags.marked-weakness', false],
  ])
})

test('a review on record lifts late walking, none on record raises it', () => {
  expect(facts(child(), 'late-walking-without-review', 'no')).toEqual([['medicalReview', true]])
  expect(facts(child(), 'late-walking-without-review', 'yes')).toEqual([['medicalReview', false]])
})

test('knees take the first degree beyond the limit of 11, or both straight', () => {
  const bowed = child({ feet: { left: foot({ kneeAngle: fact(degrees(5)) }), right: foot() } })

  expect(facts(bowed, 'knee-angle', 'yes')).toEqual([['kneeAngle.left', 12]])
  expect(facts(bowed, 'knee-angle', 'no')).toEqual([['kneeAngle.right', 0]])
})

test('a stiff hindfoot takes one foot, its absence each that is not known to be free', () => {
  const feet = { left: foot({ rockerBottomOrStiffHindfoot: fact(false) }), right: foot() }

  expect(facts(child(), 'stiff-hindfoot', 'yes')).toEqual([
    ['rockerBottomOrStiffHindfoot.left', true],
  ])
  expect(facts(child({ feet }), 'stiff-hindfoot', 'no')).toEqual([
    ['rockerBottomOrStiffHindfoot.right', false],
  ])
})

const english = speaker('en')

test('walking alone is one look at one milestone, and is said so either way', () => {
  const milestones = milestonesWith({ bearsWeight: 'unknown', walksAlone: 'unknown' })
  const said = walkingSuppositions({ milestones }).map(
    ({ rule, answer, facts: supposed, words, bearsOn }) => ({
      rule,
      answer,
      facts: supposed.map(({ fact: name, value }) => [name, value]),
      words: english.therapist(words),
      bearsOn,
    }),
  )

  expect(said).toEqual([
    {
      rule: 'walks-alone',
      answer: 'yes',
      facts: [['milestoneChecks.walking-alone', true]],
      words: 'if the child walked alone',
      bearsOn: ['bears-weight'],
    },
    {
      rule: 'walks-alone',
      answer: 'no',
      facts: [['milestoneChecks.walking-alone', false]],
      words: 'if the child did not walk alone',
      bearsOn: ['functional-concern'],
    },
  ])
})

/** The flags that are a sign as somebody reports it, each with its sign. */
const REPORTED = [
  ['regression', 'loss-of-skills'],
  ['one-sided-weakness', 'one-sided-weakness'],
  ['early-hand-preference', 'hand-preference'],
  ['pain-or-swelling', 'pain-or-swelling'],
  ['gowers-sign', 'gowers-sign'],
  ['rising-tone-or-clonus', 'rising-tone-or-clonus'],
  ['fever-or-new-limp', 'fever-or-new-limp'],
] as const
for (const [rule, sign] of REPORTED)
  test(`${rule} is raised and lifted by the sign ${sign}`, () => {
    expect(facts(child(), rule, 'yes')).toEqual([[`redFlags.${sign}`, true]])
    expect(facts(child(), rule, 'no')).toEqual([[`redFlags.${sign}`, false]])
  })

test('a red flag that would hold, or not, is named', () => {
  const said = redFlagSuppositions({ child: child() }, RULES)
    .filter(({ rule }) => rule === 'gowers-sign')
    .map(({ words }) => english.therapist(words))

  expect(said).toEqual([
    'if the red flag "Gowers sign" did not hold',
    'if the red flag "Gowers sign" held',
  ])
})

test('knees from straight to 11 degrees of valgus stay as they are, others are straightened', () => {
  const straightened = (left: number, right?: number) => {
    const of = (angle?: number) =>
      foot(angle === undefined ? {} : { kneeAngle: fact(degrees(angle)) })
    return facts(child({ feet: { left: of(left), right: of(right) } }), 'knee-angle', 'no')
  }
  const both = [
    ['kneeAngle.left', 0],
    ['kneeAngle.right', 0],
  ]

  expect(straightened(0, 11)).toEqual([])
  expect(straightened(-0.1, 11.1)).toEqual(both)
  expect(straightened(5)).toEqual([['kneeAngle.right', 0]])
})
