import { expect, test } from 'vitest'
import type { Criterion } from '../../../src/domain/tables/state-threshold.ts'
import {
  chanceOfNumber,
  completed,
  criterionWords,
  type DelayValues,
  printedScore,
  reachesNumber,
  valuesAtAge,
  valuesOfEstimate,
  valuesOfResult,
} from '../../../src/domain/law/threshold-criteria.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { months } from '../../../src/domain/units.ts'
import { estimate } from '../../helpers/state-delays.ts'

const NOTHING: DelayValues = {
  percent: 'unknown',
  z: 'unknown',
  months: 'unknown',
  score: 'unknown',
}
const percent33: Criterion = { kind: 'percent-delay', percent: 33, domains: 1 }
const sd15: Criterion = { kind: 'sd-below-mean', sd: 1.5, domains: 1 }
const printed78: Criterion = { ...sd15, printedScore: 78 }
const months12: Criterion = { kind: 'months-delay', months: 12, domains: 1 }
const under50: Criterion = { kind: 'reached-below', percent: 50, domains: 1 }
const anyDelay: Criterion = { kind: 'any-delay', domains: 1 }

test.each([
  [percent33, 'percent', 32.9, 33],
  [sd15, 'z', -1.49, -1.5],
  [months12, 'months', 11.9, 12],
  // "Under 50 % of what is expected": half of it is not under.
  [under50, 'percent', 50, 50.1],
  [anyDelay, 'percent', 0, 0.1],
] as const)('%j on the scale %s: %d does not reach it, %d does', (criterion, scale, miss, hit) => {
  expect(reachesNumber(criterion, { ...NOTHING, [scale]: miss })).toBe('no')
  expect(reachesNumber(criterion, { ...NOTHING, [scale]: hit })).toBe('yes')
  expect(reachesNumber(criterion, NOTHING)).toBe('unknown')
})

test('a delay worked out as exactly 33 % reaches 33 %, and a score of 77.5 is 1.5 SD', () => {
  for (const age of [3, 7, 11.3, 20, 29.7])
    expect(reachesNumber(percent33, valuesAtAge(months(age * 0.67), months(age)))).toBe('yes')
  const score = { kind: 'standard-score', score: 77.5, mean: 100, sd: 15 } as const

  expect(reachesNumber(sd15, valuesOfResult(score))).toBe('yes')
  expect(reachesNumber(sd15, valuesOfResult({ ...score, score: 77.6 }))).toBe('no')
})

test('no scale of a test is made from another', () => {
  expect(valuesOfResult({ kind: 'percent-delay', percent: 30 })).toEqual({
    ...NOTHING,
    percent: 30,
  })
  expect(valuesOfResult({ kind: 'z-score', z: -2 })).toEqual({ ...NOTHING, z: -2 })
  expect(valuesOfResult({ kind: 'standard-score', score: 7, mean: 10, sd: 3 })).toEqual({
    ...NOTHING,
    z: -1,
  })
})

test('the printed score is compared only on its own scale, and only where one is printed', () => {
  const score = (value: number, mean = 100, sd = 15) =>
    printedScore(printed78, [valuesOfResult({ kind: 'standard-score', score: value, mean, sd })])

  expect([score(78), score(79), score(78, 50), score(78, 100, 16)]).toEqual([
    'yes',
    'no',
    'unknown',
    'unknown',
  ])
  expect(printedScore(printed78, [])).toBe('unknown')
  expect(printedScore(sd15, [NOTHING])).toBeUndefined()
  expect(printedScore(percent33, [NOTHING])).toBeUndefined()
})

test('a developmental age gives percent and months against an age', () => {
  expect(valuesAtAge(months(12), months(24))).toEqual({ ...NOTHING, percent: 50, months: 12 })
})

test('the estimate gives percent and months of the age in use', () => {
  expect(valuesOfEstimate(estimate({ percent: 25, age: months(20) }))).toEqual({
    ...NOTHING,
    percent: 25,
    months: 5,
  })
})

test('what the first source gives stays, the second fills what is missing', () => {
  const first = { ...NOTHING, percent: 10 }
  const second = { percent: 40, z: -2, months: 3, score: 70 }

  expect(completed(first, second)).toEqual({ percent: 10, z: -2, months: 3, score: 70 })
  expect(completed(undefined, second)).toBe(second)
})

test('each number is asked for as a share of the age', () => {
  const asked = (criterion: Criterion, age = 24) =>
    chanceOfNumber(
      criterion,
      estimate({ age: months(age), probabilityAtLeast: (percent) => percent / 1000 }),
    )

  expect(asked(percent33)).toBe(0.033)
  expect(asked(months12)).toBe(0.05)
  expect(asked(under50)).toBe(0.05)
  expect(asked({ ...under50, percent: 40 })).toBe(0.06)
  expect(asked(anyDelay)).toBe(0)
  expect(asked(sd15)).toBeUndefined()
})

test('a child of twelve months cannot be twelve months late, an older one can', () => {
  const asked = (age: number) => chanceOfNumber(months12, estimate({ age: months(age) }))

  expect([asked(12), asked(12.1)]).toEqual([0, 0.6])
})

test.each([
  [percent33, '33 % delay in one domain'],
  [{ ...percent33, domains: 2 }, '33 % delay in two domains'],
  [sd15, '1.5 SD below the mean in one domain'],
  [months12, '12 months of delay in one domain'],
  [under50, 'under 50 % of what is expected at the age in one domain'],
  [anyDelay, 'any delay in one domain'],
] as const)('%j is called "%s"', (criterion, words) => {
  expect(speaker('en').therapist(criterionWords(criterion))).toBe(words)
})
