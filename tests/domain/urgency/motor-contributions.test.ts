import { expect, test } from 'vitest'
import type { Milestone, StandardisedResult } from '../../../src/domain/child.ts'
import type { MilestoneStatus } from '../../../src/domain/development/milestones.ts'
import { say } from '../../../src/domain/messages/message.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { motorDelay, stalled } from '../../../src/domain/urgency/motor-contributions.ts'
import type { Tempo } from '../../../src/domain/development/tempo.ts'
import { child, fact } from '../../helpers/child.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { agesAt, milestonesWith, noTempo, tempoWith, TODAY } from '../../helpers/findings.ts'
import { RULES } from '../../helpers/rules.ts'

const weights = RULES.urgency
const en = speaker('en')
const delay = (tempo: Tempo, result?: StandardisedResult) => {
  const of = child(result === undefined ? {} : { standardised: fact(result) })
  const { low, points, high, max } = motorDelay({ child: of, tempo }, weights)
  expect([points, max]).toEqual([low, 30])
  return [low, high]
}
const nothing = noTempo('no-observations')

test('motor delay: 12, 9 and 9 points by the probabilities of 25, 33 and 50 %', () => {
  const [low, high] = delay(tempoWith({ atLeast25: 0.9, atLeast33: 0.5, atLeast50: 0.1 }))

  // 0.9 x 12 + 0.5 x 9 + 0.1 x 9
  expect(low).toBeCloseTo(16.2, 10)
  expect(high).toBe(low)
  expect(delay(tempoWith({ atLeast25: 1, atLeast33: 1, atLeast50: 1 }))).toEqual([30, 30])
  expect(delay(tempoWith({ atLeast25: 0, atLeast33: 0, atLeast50: 0 }))).toEqual([0, 0])
})

const OF_PERCENT: [number, number][] = [
  [24.9, 0],
  [25, 12],
  [32.9, 12],
  [33, 21],
  [49.9, 21],
  [50, 30],
]
for (const [percent, points] of OF_PERCENT)
  test(`motor delay: a standardised delay of ${percent} % has ${points} points`, () => {
    expect(delay(nothing, { kind: 'percent-delay', percent })).toEqual([points, points])
  })

/** New York pairs 1.5 SD with 25 % and 2.0 SD with 33 % (10 NYCRR 69-4.23(a)); -3 is a judgement. */
const OF_Z: [number, number][] = [
  [-1.49, 0],
  [-1.5, 12],
  [-1.99, 12],
  [-2, 21],
  [-2.99, 21],
  [-3, 30],
]
for (const [z, points] of OF_Z)
  test(`motor delay: a standardised z of ${z} has ${points} points`, () => {
    expect(delay(nothing, { kind: 'z-score', z })).toEqual([points, points])
    expect(
      delay(nothing, { kind: 'standard-score', score: 100 + 15 * z, mean: 100, sd: 15 }),
    ).toEqual([points, points])
  })

test('motor delay: a standardised result takes precedence over the estimate', () => {
  expect(delay(tempoWith(), { kind: 'z-score', z: 0 })).toEqual([0, 0])
})

test('motor delay: without an estimate anything is possible; at the ceiling up to the bound', () => {
  expect(delay(nothing)).toEqual([0, 30])
  expect(delay(noTempo('regression'))).toEqual([0, 30])
  expect(delay(noTempo('ceiling'))).toEqual([0, 30])
  expect(delay(noTempo('ceiling', 24.9))).toEqual([0, 0])
  expect(delay(noTempo('ceiling', 25))).toEqual([0, 12])
  expect(delay(noTempo('ceiling', 40))).toEqual([0, 21])
})

test('motor delay: a standardised result is told, and that it takes precedence', () => {
  const standardised = fact({ kind: 'percent-delay', percent: 33.5 } as const)
  const { because } = motorDelay({ child: child({ standardised }), tempo: tempoWith() }, weights)

  expect(en.therapist(because)).toBe(
    'Standardised test: delay 33.5 %. It takes precedence over the estimate from milestones, which is shown beside it.',
  )
  expect(en.family(because)).toBe(
    'A movement test found a delay of 33.5 % for your child. We go by this test rather than by our own estimate.',
  )
  expect(faultsInVoices([because])).toEqual([])
})

test('motor delay: without a result it says what the pace says, and that gestation is open', () => {
  const said = say('tempo.no-observations')
  const tempo = { ...nothing, finding: { ...nothing.finding, because: said } }
  const of = { child: child(), tempo }
  const ifPreterm = { ages: agesAt(17), milestones: milestonesWith(), tempo }
  const open = motorDelay({ ...of, ifPreterm }, weights).because

  expect(motorDelay(of, weights).because).toBe(said)
  expect(en.therapist(open)).toBe(
    'No milestone check on record says anything about pace. Gestational age is not recorded, so the points range over birth at term and birth before term.',
  )
  expect(en.family(open)).toContain('Please tell us how many weeks the pregnancy lasted.')
  expect(faultsInVoices([open])).toEqual([])
})

test('motor delay: once all is attained the points are those the milestones gave, not a range', () => {
  const delayProbability = { atLeast25: 1, atLeast33: 1, atLeast50: 0 }
  const walks = noTempo('ceiling', 60)
  if (walks.state === 'estimated') throw new Error('there is no tempo')

  expect(delay({ ...walks, whenAttained: { delayProbability } })).toEqual([21, 21])
})

/** 12, 9 and 9 points by the probabilities: 30 when all are certain, 12 at 25 % alone. */
test('motor delay: while gestation is open the points range over both tempos, whichever is slower', () => {
  const slow = tempoWith({ atLeast25: 1, atLeast33: 1, atLeast50: 1 })
  const less = tempoWith({ atLeast25: 1, atLeast33: 0, atLeast50: 0 })
  const over = (tempo: Tempo, early: Tempo) => {
    const ifPreterm = { ages: agesAt(17), milestones: milestonesWith(), tempo: early }
    const { low, points, high } = motorDelay({ child: child(), tempo, ifPreterm }, weights)
    return [low, points, high]
  }

  expect(over(slow, less)).toEqual([12, 12, 30])
  expect(over(less, slow)).toEqual([12, 12, 30])
  expect(over(nothing, less)).toEqual([0, 0, 30])
})

type States = Partial<Record<Milestone, MilestoneStatus['state']>>
const stallOf = (
  states: States,
  lastAttainedOn: string | undefined,
  tempo: Tempo = tempoWith({ tempo: 0.5 }),
  age = 20,
) => {
  const milestones = milestonesWith({
    states,
    ...(lastAttainedOn !== undefined && { lastAttainedOn }),
  })
  return stalled({ asOf: TODAY, ages: agesAt(age), milestones, tempo }, weights)
}
const stall = (...known: Parameters<typeof stallOf>) => {
  const { low, points, high, max } = stallOf(...known)
  expect([points, max]).toEqual([low, 20])
  return [low, high]
}
const stands: States = {
  'sitting-without-support': 'attained',
  'standing-with-assistance': 'attained',
  'walking-with-assistance': 'not-yet',
}

/**
 * WHO medians: standing with assistance 7.431, walking with assistance 9.027 months. At half the pace
 * the gap is 2 x 1.596 = 3.192 months = 97.16 days; three times that is 291.5 days.
 */
test('stalled: no points up to the own gap, all from three times it', () => {
  expect(stall(stands, '2025-11-24')).toEqual([0, 0])
  expect(stall(stands, '2025-11-23')[0]).toBeGreaterThan(0)
  expect(stall(stands, '2025-05-14')[0]).toBeLessThan(20)
  expect(stall(stands, '2025-05-13')).toEqual([20, 20])
  expect(stall(stands, '2024-05-14')).toEqual([20, 20])
})

test('stalled: in a straight line between', () => {
  // 194 days: ratio 194 / 97.157 = 1.9968, so 0.4984 of 20.
  const [low, high] = stall(stands, '2025-08-19')

  expect(low).toBeCloseTo(9.968, 2)
  expect(high).toBe(low)
})

test('stalled: at a slower pace the same time counts for less', () => {
  const [at] = stall(stands, '2025-08-19', tempoWith({ tempo: 0.5 }))
  const [slower] = stall(stands, '2025-08-19', tempoWith({ tempo: 0.4 }))

  expect(slower).toBeLessThan(at ?? 0)
})

test('stalled: crawling that was never seen is not waited for', () => {
  const states: States = { ...stands, 'hands-and-knees-crawling': 'not-yet' }

  expect(stall(states, '2025-08-19')).toEqual(stall(stands, '2025-08-19'))
})

test('stalled: crawling starts the count anew but does not shorten the gap', () => {
  const crawls: States = { ...stands, 'hands-and-knees-crawling': 'attained' }

  expect(stall(crawls, '2025-08-19')).toEqual(stall(stands, '2025-08-19'))
  expect(stall(crawls, '2025-11-24')).toEqual([0, 0])
})

/** Sitting at half the pace: 11.742 months. 194 days are 6.4 months, the age of 20 months would be over. */
test('stalled: crawling that comes first starts the count, not birth', () => {
  const crawls: States = {
    'hands-and-knees-crawling': 'attained',
    'sitting-without-support': 'not-yet',
  }

  expect(stall(crawls, '2025-08-19')).toEqual([0, 0])
})

test('stalled: before the first milestone the count starts at birth', () => {
  const none: States = { 'sitting-without-support': 'not-yet' }

  // Sitting has a median of 5.871: at half the pace 11.742 months, three times 35.2.
  expect(stall(none, undefined, tempoWith({ tempo: 0.5 }), 11.7)).toEqual([0, 0])
  expect(stall(none, undefined, tempoWith({ tempo: 0.5 }), 35.3)).toEqual([20, 20])
  expect(stall(none, undefined, tempoWith({ tempo: 0.5 }), 23.484)[0]).toBeCloseTo(10, 5)
})

test('stalled: nothing is waited for when all are attained', () => {
  expect(stall({ 'walking-alone': 'attained' }, '2024-01-01', noTempo('ceiling'))).toEqual([0, 0])
})

test('stalled: unknown without a pace, without the day, or when nobody looked at the next', () => {
  expect(stall(stands, '2024-01-01', noTempo('regression'))).toEqual([0, 20])
  expect(stall(stands, '2024-01-01', noTempo('no-observations'))).toEqual([0, 20])
  expect(stall(stands, undefined)).toEqual([0, 20])
  expect(stall({ ...stands, 'walking-with-assistance': 'unknown' }, '2024-01-01')).toEqual([0, 20])
  expect(stall({}, undefined)).toEqual([0, 20])
})

/** At half the pace 2 x 1.596 = 3.192 months; 194 days are 6.374 months. */
test('stalled: the time is told against the own gap, with the milestone that is waited for', () => {
  const { because } = stallOf(stands, '2025-08-19')

  expect(en.therapist(because)).toBe(
    "6.4 months since the last new milestone; at the child's own pace the next takes 3.2 months after the one before: walking with assistance. No points up to 1 times that, all from 3 times.",
  )
  expect(en.family(because)).toBe(
    "The last new step in your child's movement was about 6.4 months ago. At your child's own pace the next one takes about 3.2 months: walking while holding on.",
  )
  expect(speaker('es').therapist(because)).toMatch(
    /^6,4 meses desde el último hito nuevo.*3,2 meses/,
  )
})

test('stalled: before the first milestone the age is told; after the last, that none is waited for', () => {
  const first = stallOf({ 'sitting-without-support': 'not-yet' }, undefined).because
  const all = stallOf({ 'walking-alone': 'attained' }, '2024-01-01', noTempo('ceiling')).because
  const open = stallOf({}, undefined).because

  expect(en.therapist(first)).toMatch(
    /^20 months of age without a milestone.*11\.7 months: sitting/,
  )
  expect(en.therapist(all)).toBe('All milestones are attained; none is waited for.')
  expect(en.family(open)).toMatch(/^We cannot tell yet.*Please tell us/)
  expect(faultsInVoices([first, all, open, stallOf(stands, '2025-08-19').because])).toEqual([])
})
