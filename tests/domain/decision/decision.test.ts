import { expect, test } from 'vitest'
import type { Answers } from '../../../src/domain/decision/decision.ts'
import {
  CRITERIA,
  criteriaHold,
  decide,
  EXCLUSIONS,
  exclusionsHold,
} from '../../../src/domain/decision/decision.ts'
import { MET } from '../../helpers/answers.ts'

const decision = (changed: Partial<Answers>) => decide({ ...MET, ...changed })

test('criteria and exclusions have the names of the rules', () => {
  expect(CRITERIA).toEqual([
    'age-in-range',
    'bears-weight',
    'low-tone',
    'excessive-pronation',
    'flexible-foot',
    'functional-concern',
  ])
  expect(EXCLUSIONS).toEqual(['raised-tone', 'rigid-foot', 'fixed-calf', 'skin-or-sensation'])
})

test('everything met and no exclusion: suitable', () => {
  expect(decision({})).toBe('suitable')
})

const OF_ONE_ANSWER = [
  ['age-in-range', 'watch'],
  ['bears-weight', 'watch'],
  ['low-tone', 'watch'],
  ['functional-concern', 'watch'],
] as const
for (const [question, expected] of OF_ONE_ANSWER)
  test(`${question}: no is ${expected}, unknown is undetermined`, () => {
    expect(decision({ [question]: 'no' })).toBe(expected)
    expect(decision({ [question]: 'unknown' })).toBe('undetermined')
  })

const OF_AN_EXCLUSION = [
  'raised-tone',
  'fixed-calf.left',
  'fixed-calf.right',
  'skin-or-sensation.left',
  'skin-or-sensation.right',
] as const
for (const question of OF_AN_EXCLUSION)
  test(`${question}: yes is unsuitable, unknown is undetermined and never absent`, () => {
    expect(decision({ [question]: 'yes' })).toBe('unsuitable')
    expect(decision({ [question]: 'unknown' })).toBe('undetermined')
  })

test('an exclusion outranks a criterion that is not met', () => {
  expect(decision({ 'low-tone': 'no', 'raised-tone': 'yes' })).toBe('unsuitable')
})

test('a criterion that is not met outranks an exclusion that is unknown', () => {
  expect(decision({ 'low-tone': 'no', 'raised-tone': 'unknown' })).toBe('watch')
})

test('one foot that is excessive is enough; two that are not are a reason to watch', () => {
  const feet = (left: 'yes' | 'no' | 'unknown', right: 'yes' | 'no' | 'unknown') =>
    decision({ 'excessive-pronation.left': left, 'excessive-pronation.right': right })

  expect(feet('yes', 'no')).toBe('suitable')
  expect(feet('yes', 'unknown')).toBe('suitable')
  expect(feet('no', 'no')).toBe('watch')
  expect(feet('no', 'unknown')).toBe('undetermined')
})

test('only an affected foot has to correct', () => {
  const foot = (excessive: 'yes' | 'no' | 'unknown', flexible: 'yes' | 'no' | 'unknown') => {
    const answers: Answers = {
      ...MET,
      'excessive-pronation.left': excessive,
      'flexible-foot.left': flexible,
    }
    return [criteriaHold(answers)['flexible-foot'], exclusionsHold(answers)['rigid-foot']]
  }

  expect(foot('yes', 'no')).toEqual(['no', 'yes'])
  expect(foot('yes', 'unknown')).toEqual(['unknown', 'unknown'])
  expect(foot('no', 'no')).toEqual(['yes', 'no'])
  expect(foot('no', 'unknown')).toEqual(['yes', 'no'])
  expect(foot('unknown', 'no')).toEqual(['unknown', 'unknown'])
  expect(foot('unknown', 'yes')).toEqual(['yes', 'no'])
})

test('a rigid affected foot is unsuitable', () => {
  expect(decision({ 'flexible-foot.right': 'no' })).toBe('unsuitable')
})
