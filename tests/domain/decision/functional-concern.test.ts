import { expect, test } from 'vitest'
import { civilDate } from '../../../src/domain/calendar.ts'
import type { Child, Sign, StandardisedResult } from '../../../src/domain/child.ts'
import { delayConcern, functionalConcern } from '../../../src/domain/decision/functional-concern.ts'
import type { Tempo } from '../../../src/domain/development/tempo.ts'
import { child, fact } from '../../helpers/child.ts'
import { agesAt, milestonesWith, noTempo, tempoWith, TODAY } from '../../helpers/findings.ts'
import { RULES } from '../../helpers/rules.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'

const english = speaker('en')
const spanish = speaker('es')

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

  expect(english.therapist(found.because)).toBe(
    'The probability of a milestone delay of 25 % or more is 10 %; concern from 50 %. Postural signs: 1 that count, 0 not known, 2 needed (habitual W-sitting).',
  )
  expect(english.family(found.because)).toMatch(/probably not far behind.*not find enough/)
  expect(spanish.therapist(found.because)).toMatch(
    /del 25 % o más es: 10 %; preocupa a partir del 50 %\. Signos posturales: 1 que cuentan/,
  )
})

test('a heel that does not come down is named as what is missing, not as heel contact', () => {
  const walked = { notBefore: civilDate('2025-01-01'), notAfter: civilDate('2025-01-05') }
  const milestones = milestonesWith({ walkingOnset: walked })
  const signs = {
    ...child().signs,
    'heel-contact-seen': fact(false),
    'wide-guarded-gait': fact(true),
  }
  const found = functionalConcern(
    { child: child({ signs }), asOf: TODAY, milestones, tempo: tempoWith({ atLeast25: 0.1 }) },
    limits,
  )

  expect(english.therapist(found.because)).toMatch(
    /2 needed \(wide guarded gait and no heel contact in walking\)\.$/,
  )
  expect(english.family(found.because)).toMatch(/We see: .*not putting the heel down/)
})

test('the family is asked for the length of the pregnancy when the delay turns on it', () => {
  const early = {
    ages: agesAt(14),
    milestones: milestonesWith(),
    tempo: tempoWith({ atLeast25: 0.1 }),
  }
  const found = delayConcern(
    { child: child(), tempo: tempoWith({ atLeast25: 0.9 }), ifPreterm: early },
    limits,
  )

  expect(found.holds).toBe('unknown')
  expect(english.therapist(found.because)).toMatch(
    /^Gestational age is not recorded.* is 90 %.* If born early: .* is 10 %; concern from 50 %\.$/,
  )
  expect(english.family(found.because)).toMatch(/how many weeks the pregnancy lasted/)
  expect(faultsInVoices([found.because])).toEqual([])
})

test('every reason for or against concern can be said, in each language and voice', () => {
  const result = (standardised: StandardisedResult) =>
    delayConcern({ child: child({ standardised: fact(standardised) }), tempo: nothing }, limits)
  const two = { ...none, 'habitual-w-sitting': true, 'rises-onto-toes-for-stability': true }

  expect(
    faultsInVoices(
      [
        concern(tempoWith({ atLeast25: 0.9 }), two),
        concern(tempoWith({ atLeast25: 0.1 }), none),
        concern(nothing, {}),
        concern(noTempo('ceiling', 24.9), none),
        result({ kind: 'z-score', z: -2 }),
        result({ kind: 'z-score', z: 0 }),
        result({ kind: 'percent-delay', percent: 30 }),
        result({ kind: 'standard-score', score: 70, mean: 100, sd: 15 }),
      ].map(({ because }) => because),
    ),
  ).toEqual([])
})

test('signs that nobody looked for are counted as not known', () => {
  const found = concern(tempoWith({ atLeast25: 0.1 }), { 'habitual-w-sitting': true })

  expect(english.therapist(found.because)).toContain(
    'Postural signs: 1 that count, 2 not known, 2 needed (habitual W-sitting).',
  )
})

test('concern rests on the test, each sign that was looked for, and common practice', () => {
  const at = (name: string) => `Observation/${name}/_history/1`
  const of = child({
    standardised: fact({ kind: 'z-score', z: -2 }, '2026-03-01', at('test')),
    signs: {
      ...child().signs,
      'habitual-w-sitting': fact(true, '2026-03-01', at('sitting')),
      'wide-guarded-gait': fact(false, '2026-03-01', at('gait')),
    },
  })
  const asked = { child: of, asOf: TODAY, milestones: milestonesWith(), tempo: nothing }

  expect(functionalConcern(asked, limits)).toMatchObject({
    holds: 'yes',
    sources: ['common-practice'],
    evidence: [at('gait'), at('sitting'), at('test')],
  })
})
