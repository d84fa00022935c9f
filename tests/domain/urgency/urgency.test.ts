import { expect, test } from 'vitest'
import type { Child } from '../../../src/domain/child.ts'
import type { Truth } from '../../../src/domain/truth.ts'
import { urgency } from '../../../src/domain/urgency/urgency.ts'
import { child, fact } from '../../helpers/child.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import {
  affectedFoot,
  agesAt,
  assess,
  finding,
  fpiOf,
  knownChild,
  milestonesWith,
  noTempo,
  tempoWith,
} from '../../helpers/findings.ts'
import { RULES } from '../../helpers/rules.ts'

const urgencyOf = (
  of: Child,
  known: Parameters<typeof assess>[1] = {},
  flags: Record<string, Truth> = {},
) => {
  const redFlags = Object.entries(flags).map(([rule, holds]) => finding(rule, holds))
  return urgency({ ...assess(of, known), suitability: { redFlags } }, RULES)
}
/** Nothing adds points: typical pace, neutral feet, all milestones attained, 5 years old. */
const quiet = {
  tempo: tempoWith({ atLeast25: 0, atLeast33: 0, atLeast50: 0 }),
  ages: agesAt(60),
  milestones: milestonesWith({ states: { 'walking-alone': 'attained' } }),
}
const straight = affectedFoot({ fpi: fact(fpiOf([0, 0, 0, 0, 0, 0])) })
const calm = knownChild({ feet: { left: straight, right: straight } })
/** Points come from motor delay only: p x 30. */
const delayed = (probability: number) => ({
  ...quiet,
  tempo: tempoWith({ atLeast25: probability, atLeast33: probability, atLeast50: probability }),
})
const worst = affectedFoot({ fpi: fact(fpiOf([2, 2, 2, 2, 2, 2])) })
const rolled = knownChild({ feet: { left: worst, right: worst } })

test('the six contributions come in one order with the maxima of the rule set', () => {
  expect(urgencyOf(calm).contributions.map(({ id, max }) => [id, max])).toEqual([
    ['motor-delay', 30],
    ['stalled', 20],
    ['pronation', 20],
    ['window', 15],
    ['safety', 10],
    ['waiting', 5],
  ])
})

test('each contribution has a sentence for both readers and sources', () => {
  const { contributions } = urgencyOf(child())
  // What the pace says is given to this test, not made by it.
  const own = contributions.filter(({ id }) => id !== 'motor-delay')

  expect(faultsInVoices(own.map(({ because }) => because))).toEqual([])
  expect(contributions.filter(({ sources }) => sources.length === 0)).toEqual([])
})

test('a child in whom nothing presses is routine and seen within 30 days', () => {
  expect(urgencyOf(calm, quiet)).toMatchObject({
    score: 0,
    low: 0,
    high: 0,
    priority: 'routine',
    raisedBy: [],
    seeBy: '2026-03-31',
  })
})

test('below 40 is routine, 40 is urgent and seen within 14 days', () => {
  // Pronation 20 and a delay of 30 x p; p = 2/3 makes 40.
  expect(urgencyOf(rolled, delayed(0.66))).toMatchObject({
    priority: 'routine',
    seeBy: '2026-03-31',
  })
  expect(urgencyOf(rolled, delayed(0.67))).toMatchObject({
    priority: 'urgent',
    seeBy: '2026-03-15',
  })
})

test('below 70 is urgent, 70 is as soon as possible and within 7 days', () => {
  // 20 pronation, 15 window at 20 months and 10 safety: 45; delay 30 x p.
  const signs = {
    ...rolled.signs,
    'falls-beyond-practice': fact(true),
    'rises-onto-toes-for-stability': fact(true),
    'refuses-to-stand': fact(true),
  }
  const at = (probability: number) =>
    urgencyOf({ ...rolled, signs }, { ...delayed(probability), ages: agesAt(20) })

  expect(at(0.83)).toMatchObject({ priority: 'urgent', seeBy: '2026-03-15' })
  expect(at(0.84)).toMatchObject({ priority: 'asap', seeBy: '2026-03-08' })
})

test('a score of 40 itself is urgent, and one of 70 itself as soon as possible', () => {
  const stands = {
    'standing-with-assistance': 'attained',
    'walking-with-assistance': 'not-yet',
  } as const
  const milestones = milestonesWith({ states: stands, lastAttainedOn: '2024-01-01' })
  const at = (probability: number) => urgencyOf(rolled, { ...delayed(probability), milestones })

  // 20 of pronation and 20 of a stall; a delay that is certain has 30.
  expect(at(0)).toMatchObject({ score: 40, priority: 'urgent' })
  expect(at(1)).toMatchObject({ score: 70, priority: 'asap' })
})

test('a red flag that holds sets at least urgent and is named', () => {
  const flags = { 'gowers-sign': 'yes', regression: 'unknown', 'knee-angle': 'no' } as const

  expect(urgencyOf(calm, quiet, flags)).toMatchObject({
    score: 0,
    priority: 'urgent',
    raisedBy: ['gowers-sign'],
    seeBy: '2026-03-15',
  })
})

test('a red flag that is not recorded raises nothing', () => {
  expect(urgencyOf(calm, quiet, { regression: 'unknown' })).toMatchObject({
    priority: 'routine',
    raisedBy: [],
  })
})

test('a red flag does not lower or name itself where the score alone is urgent', () => {
  expect(urgencyOf(rolled, delayed(1), { 'gowers-sign': 'yes' })).toMatchObject({
    priority: 'urgent',
    raisedBy: [],
  })
})

test('of a child of whom nothing is known the range is wide and the score its lower end', () => {
  const found = urgencyOf(child(), {
    tempo: noTempo('no-observations'),
    milestones: milestonesWith({ bearsWeight: 'unknown', walksAlone: 'unknown' }),
  })

  // Only waiting is known: 0 on the day of receipt. 30 + 20 + 20 + 15 + 10 are possible.
  expect([found.low, found.score, found.high]).toEqual([0, 0, 95])
})

test('laxity adds nothing', () => {
  const lax = {
    beighton: fact(9),
    signs: { ...calm.signs, 'generalised-laxity': fact(true) },
  }

  expect(urgencyOf({ ...calm, ...lax }, quiet).score).toBe(urgencyOf(calm, quiet).score)
})
