import { expect, test } from 'vitest'
import type { Milestone, StandardisedResult } from '../../../src/domain/child.ts'
import type { MilestoneStatus } from '../../../src/domain/development/milestones.ts'
import { motorDelay, stalled } from '../../../src/domain/urgency/motor-contributions.ts'
import type { Tempo } from '../../../src/domain/development/tempo.ts'
import { child, fact } from '../../helpers/child.ts'
import { agesAt, milestonesWith, noTempo, tempoWith, TODAY } from '../../helpers/findings.ts'
import { RULES } from '../../helpers/rules.ts'

const weights = RULES.urgency
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

type States = Partial<Record<Milestone, MilestoneStatus['state']>>
const stall = (
  states: States,
  lastAttainedOn: string | undefined,
  tempo: Tempo = tempoWith({ tempo: 0.5 }),
  age = 20,
) => {
  const milestones = milestonesWith({
    states,
    ...(lastAttainedOn !== undefined && { lastAttainedOn }),
  })
  const { low, points, high, max } = stalled(
    { asOf: TODAY, ages: agesAt(age), milestones, tempo },
    weights,
  )
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
