import { expect, test } from 'vitest'
import type { Child, Sign, StandardisedResult } from '../../../src/domain/child.ts'
import { delayConcern, functionalConcern } from '../../../src/domain/decision/functional-concern.ts'
import type { Tempo } from '../../../src/domain/development/tempo.ts'
import { child, fact } from '../../helpers/child.ts'
import { milestonesWith, noTempo, tempoWith, TODAY } from '../../helpers/findings.ts'
import { RULES } from '../../helpers/rules.ts'

const limits = RULES.suitability
const nothing = noTempo('no-observations')
const delay = (tempo: Tempo, result?: StandardisedResult) =>
  delayConcern(
    { child: child(result === undefined ? {} : { standardised: fact(result) }), tempo },
    limits,
  ).holds

test('a delay of 25 % gives concern when it is at least as likely as not', () => {
  expect(delay(tempoWith({ atLeast25: 0.5 }))).toBe('yes')
  expect(delay(tempoWith({ atLeast25: 0.49 }))).toBe('no')
})

test('a standardised result gives concern from 1.5 SD below the mean', () => {
  expect(delay(nothing, { kind: 'z-score', z: -1.5 })).toBe('yes')
  expect(delay(nothing, { kind: 'z-score', z: -1.49 })).toBe('no')
  // 77.5 is 1.5 SD below a mean of 100 with SD 15.
  expect(delay(nothing, { kind: 'standard-score', score: 77.5, mean: 100, sd: 15 })).toBe('yes')
  expect(delay(nothing, { kind: 'standard-score', score: 78, mean: 100, sd: 15 })).toBe('no')
})

test('a standardised percentage gives concern from 25', () => {
  expect(delay(nothing, { kind: 'percent-delay', percent: 25 })).toBe('yes')
  expect(delay(nothing, { kind: 'percent-delay', percent: 24.9 })).toBe('no')
})

test('a standardised result takes precedence over the estimate, either way', () => {
  expect(delay(tempoWith({ atLeast25: 0.9 }), { kind: 'z-score', z: 0 })).toBe('no')
  expect(delay(tempoWith({ atLeast25: 0.1 }), { kind: 'z-score', z: -2 })).toBe('yes')
})

test('without an estimate the delay is unknown, unless the bound at the ceiling is below 25 %', () => {
  expect(delay(nothing)).toBe('unknown')
  expect(delay(noTempo('regression'))).toBe('unknown')
  expect(delay(noTempo('ceiling'))).toBe('unknown')
  expect(delay(noTempo('ceiling', 25))).toBe('unknown')
  expect(delay(noTempo('ceiling', 24.9))).toBe('no')
})

const concern = (tempo: Tempo, signs: Partial<Record<Sign, boolean>>) => {
  const known = Object.entries(signs).map(([sign, value]) => [sign, fact(value)] as const)
  const of: Child = child({ signs: { ...child().signs, ...Object.fromEntries(known) } })
  return functionalConcern(
    { child: of, asOf: TODAY, milestones: milestonesWith({ walksAlone: 'no' }), tempo },
    limits,
  )
}
const none = {
  'habitual-w-sitting': false,
  'rises-onto-toes-for-stability': false,
  'forward-lean-with-knees-rolling-in': false,
}

test('two postural signs give concern without a delay, one does not', () => {
  const typical = tempoWith({ atLeast25: 0.1 })
  const one = { ...none, 'habitual-w-sitting': true }
  const two = { ...one, 'rises-onto-toes-for-stability': true }

  expect(concern(typical, one).holds).toBe('no')
  expect(concern(typical, two).holds).toBe('yes')
  expect(concern(nothing, two).holds).toBe('yes')
})

test('a delay gives concern without any sign', () => {
  expect(concern(tempoWith({ atLeast25: 0.9 }), none).holds).toBe('yes')
  expect(concern(tempoWith({ atLeast25: 0.9 }), {}).holds).toBe('yes')
})

test('concern is unknown while a delay or enough signs are still possible', () => {
  const typical = tempoWith({ atLeast25: 0.1 })

  expect(concern(nothing, none).holds).toBe('unknown')
  expect(concern(typical, { 'habitual-w-sitting': true }).holds).toBe('unknown')
  expect(concern(typical, {}).holds).toBe('unknown')
  expect(concern(typical, none).holds).toBe('no')
})

test('the sentence counts the signs and names those that count', () => {
  const found = concern(tempoWith({ atLeast25: 0.1 }), { ...none, 'habitual-w-sitting': true })

  expect(found.because).toBe(
    'The probability of a milestone delay of 25 % or more is 10 %; concern from 50 %. Postural signs: 1 that count, 0 not known, 2 needed (habitual W-sitting)',
  )
})
