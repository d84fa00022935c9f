import { expect, test } from 'vitest'
import { civilDate } from '../../../src/domain/calendar.ts'
import type { Child, Sign, StandardisedResult } from '../../../src/domain/child.ts'
import {
  delayConcern,
  functionalConcern,
  testAgainstMilestones,
} from '../../../src/domain/decision/functional-concern.ts'
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

const LOSS = 'Observation/loss/_history/1'
const lossOf = (reported: boolean | undefined, shown: 'yes' | 'no' | 'unknown') => {
  const redFlags = {
    ...child().redFlags,
    ...(reported !== undefined && { 'loss-of-skills': fact(reported, '2026-03-01', LOSS) }),
  }
  const milestones = milestonesWith({ walksAlone: 'no', regression: shown })
  const of = child({ signs: { ...child().signs, ...seenNone }, redFlags })
  const tempo = tempoWith({ atLeast25: 0.1 })
  return functionalConcern({ child: of, asOf: TODAY, milestones, tempo }, limits)
}
const seenNone = Object.fromEntries(Object.keys(none).map((sign) => [sign, fact(false)]))

test('a skill that was lost is concern enough, whether it is reported or the looks show it', () => {
  expect(lossOf(true, 'no').holds).toBe('yes')
  expect(lossOf(false, 'yes').holds).toBe('yes')
  expect(lossOf(undefined, 'yes').holds).toBe('yes')
  expect(lossOf(true, 'no').evidence).toContain(LOSS)
  expect(english.therapist(lossOf(true, 'no').because)).toMatch(
    /^A skill was seen and later not seen: a loss is concern enough\. /,
  )
  expect(english.family(lossOf(true, 'no').because)).toMatch(/^Your child seems to have lost/)
})

test('a loss that was looked for and not there, or is not known, gives no concern of its own', () => {
  for (const found of [lossOf(false, 'no'), lossOf(undefined, 'unknown')]) {
    expect(found.holds).toBe('no')
    expect(found.evidence).not.toContain(LOSS)
    expect(english.therapist(found.because)).not.toMatch(/lost|loss/)
  }
})

const attained = (atLeast25: number): Tempo => ({
  state: 'not-estimable',
  reason: 'ceiling',
  finding: nothing.finding,
  delayUpperBoundPercent: 10,
  whenAttained: { delayProbability: { atLeast25, atLeast33: 0, atLeast50: 0 } },
})

test('after the ceiling the ages at which milestones came answer, and that it was then is said', () => {
  expect(delay(attained(0.5))).toBe('yes')
  expect(delay(attained(0.49))).toBe('no')

  const { because } = delayConcern({ child: child(), tempo: attained(0.9) }, limits)
  expect(english.therapist(because)).toMatch(
    /^By the ages at which the milestones came, the probability .* is 90 %; concern from 50 %\./,
  )
  expect(faultsInVoices([because])).toEqual([])
})

test('a bound of the delay below none is said as none', () => {
  const bounded = (percent: number) => {
    const tempo = noTempo('ceiling', percent)
    return english.therapist(delayConcern({ child: child(), tempo }, limits).because)
  }

  expect(bounded(-12)).toBe('A milestone delay above 0 % is unlikely; concern from 25 %.')
  expect(bounded(12)).toBe('A milestone delay above 12 % is unlikely; concern from 25 %.')
})

/** What is said of a test with this z beside a delay of this probability. */
const against = (z: number | undefined, tempo: Tempo, early?: Tempo) => {
  const of = child(z === undefined ? {} : { standardised: fact({ kind: 'z-score', z }) })
  const ifPreterm = early && { ages: agesAt(14), milestones: milestonesWith(), tempo: early }
  return testAgainstMilestones({ child: of, tempo, ...(ifPreterm && { ifPreterm }) }, limits)
}
const [LATE, ON_TIME] = [tempoWith({ atLeast25: 0.9 }), tempoWith({ atLeast25: 0.1 })]

test('a test and milestones that disagree are said to, and which of them gives concern', () => {
  const [calm, worried] = [against(0, LATE), against(-2, ON_TIME)]

  expect(calm && english.therapist(calm)).toMatch(
    /the test gives no concern, the milestones do\. The test counts\. .* is 90 %/,
  )
  expect(worried && english.therapist(worried)).toMatch(
    /the test gives concern, the milestones do not\. The test counts\. .* is 10 %/,
  )
  expect(faultsInVoices([calm, worried].filter((one) => one !== undefined))).toEqual([])
})

test('nothing disagrees where both say the same, or one of them says nothing', () => {
  expect(against(-2, LATE)).toBeUndefined()
  expect(against(0, ON_TIME)).toBeUndefined()
  expect(against(undefined, LATE)).toBeUndefined()
  expect(against(-2, nothing)).toBeUndefined()
  expect(against(0, nothing)).toBeUndefined()
})

test('milestones that turn on gestation say nothing against a test', () => {
  expect(against(0, LATE, ON_TIME)).toBeUndefined()
  expect(against(-2, LATE, ON_TIME)).toBeUndefined()
  expect(against(0, LATE, LATE)).toBeDefined()
})
