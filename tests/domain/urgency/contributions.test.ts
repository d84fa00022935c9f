import { expect, test } from 'vitest'
import { civilDate } from '../../../src/domain/calendar.ts'
import type { Foot, Sign } from '../../../src/domain/child.ts'
import { ageWindow, pronation, safety, waiting } from '../../../src/domain/urgency/contributions.ts'
import type { Truth } from '../../../src/domain/truth.ts'
import { child, fact, foot } from '../../helpers/child.ts'
import { agesAt, assess, fpiOf, milestonesWith } from '../../helpers/findings.ts'
import { RULES } from '../../helpers/rules.ts'

const weights = RULES.urgency
const supinated = { fpi: fact(fpiOf([-1, -1, -1, -1, -1, -1])) }
const pronationOf = (left: Partial<Foot>, right: Partial<Foot> = supinated) => {
  const { low, points, high, max } = pronation(
    assess(child({ feet: { left: foot(left), right: foot(right) } })),
    weights,
  )
  expect([points, max]).toEqual([low, 20])
  return [low, high]
}
const scored = (...scores: number[]) => ({ fpi: fact(fpiOf(scores)) })

test('pronation: no points up to a sum of +5 without a plane marked, all at +12', () => {
  expect(pronationOf(scored(1, 1, 1, 1, 1, 0))).toEqual([0, 0])
  expect(pronationOf(scored(2, 2, 2, 2, 2, 2))).toEqual([20, 20])
})

test('pronation: 4 points per plane marked, and a seventh of 8 per point above +5', () => {
  // +7, sagittal marked: 4 + 8 x 2/7.
  const [low, high] = pronationOf(scored(1, 1, 1, 2, 1, 1))

  expect(low).toBeCloseTo(6.2857, 4)
  expect(high).toBeCloseTo(6.2857, 4)
  expect(pronationOf(scored(-2, -2, 2, 0, 2, 2))).toEqual([12, 12])
})

test('pronation: the worse foot counts', () => {
  expect(pronationOf(supinated, scored(2, 2, 2, 2, 2, 2))).toEqual([20, 20])
})

test('pronation: a foot of which nothing is recorded may have no points or all', () => {
  expect(pronationOf({})).toEqual([0, 20])
  expect(pronationOf({}, scored(2, 2, 2, 2, 2, 2))).toEqual([20, 20])
})

test('pronation: an item that was not judged leaves a range', () => {
  // Items 1-5 at +2: sum 8 to 12, coronal and sagittal marked, transverse open.
  const [low, high] = pronationOf(scored(2, 2, 2, 2, 2))

  expect(low).toBeCloseTo(8 + (8 * 3) / 7, 10)
  expect(high).toBe(20)
})

const windowOf = (bearsWeight: Truth, age: number) => {
  const { low, points, high } = ageWindow(
    { ages: agesAt(age), milestones: milestonesWith({ bearsWeight }) },
    weights,
  )
  expect(points).toBe(low)
  return [low, high]
}

test('window: 15 points for a child that bears weight up to 24 months, none from 60', () => {
  expect(windowOf('yes', 12)).toEqual([15, 15])
  expect(windowOf('yes', 24)).toEqual([15, 15])
  expect(windowOf('yes', 42)).toEqual([7.5, 7.5])
  expect(windowOf('yes', 60)).toEqual([0, 0])
  expect(windowOf('yes', 71)).toEqual([0, 0])
})

test('window: none for a child that does not bear weight, a range when it is unknown', () => {
  expect(windowOf('no', 12)).toEqual([0, 0])
  expect(windowOf('unknown', 12)).toEqual([0, 15])
  expect(windowOf('unknown', 42)).toEqual([0, 7.5])
})

const safetyOf = (signs: Partial<Record<Sign, boolean>>) => {
  const facts = Object.entries(signs).map(([sign, value]) => [sign, fact(value)] as const)
  const of = { signs: { ...child().signs, ...Object.fromEntries(facts) } }
  const { low, points, high } = safety(of, weights)
  expect(points).toBe(low)
  return [low, high]
}
const safe = {
  'falls-beyond-practice': false,
  'rises-onto-toes-for-stability': false,
  'refuses-to-stand': false,
}

test('safety: 4 points for falls, 3 for rising onto the toes, 3 for refusing to stand', () => {
  expect(safetyOf(safe)).toEqual([0, 0])
  expect(safetyOf({ ...safe, 'falls-beyond-practice': true })).toEqual([4, 4])
  expect(safetyOf({ ...safe, 'rises-onto-toes-for-stability': true })).toEqual([3, 3])
  expect(safetyOf({ ...safe, 'refuses-to-stand': true })).toEqual([3, 3])
})

test('safety: each sign that nobody reported leaves a range', () => {
  expect(safetyOf({})).toEqual([0, 10])
  expect(safetyOf({ 'falls-beyond-practice': true })).toEqual([4, 10])
  expect(safetyOf({ 'refuses-to-stand': false })).toEqual([0, 7])
})

const waitingOn = (asOf: string) =>
  waiting({ child: child(), asOf: civilDate(asOf) }, weights).points

test('waiting: 5 points after 30 days, in a straight line from the day of receipt', () => {
  // Received on 2026-03-01.
  expect(waitingOn('2026-03-01')).toBe(0)
  expect(waitingOn('2026-03-16')).toBe(2.5)
  expect(waitingOn('2026-03-31')).toBe(5)
  expect(waitingOn('2026-06-01')).toBe(5)
  expect(waitingOn('2026-02-20')).toBe(0)
})
