import { expect, test } from 'vitest'
import { MILESTONES } from '../../../src/domain/child.ts'
import {
  averageNotBegunBy,
  begunBy,
  chanceOf,
  COARSE_GRID,
  type Grid,
  notBegunBy,
  tauAt,
  WHOLE_GRID,
} from '../../../src/domain/development/tempo-residual.ts'

const only = (tau: number): Grid => ({ first: Math.round(tau * 1000), stride: 1, length: 1 })

test('the whole grid runs from -1 to 2.2 in steps of 0.001, the coarse one over the same in 0.04', () => {
  const ends = (grid: Grid) => [tauAt(grid, 0), tauAt(grid, 1), tauAt(grid, grid.length - 1)]

  expect(ends(WHOLE_GRID)).toEqual([-1, -0.999, 2.2])
  expect(ends(COARSE_GRID)).toEqual([-1, -0.96, 2.2])
})

/**
 * Worked by hand from the residual scales published with the model. Walking alone, typical pace: at
 * 12 months a half; at 12.50851 months, one scale (0.0415) later, 1 / (1 + 1/e) = 0.73106. Sitting: at
 * 6.7541 months, one SD (0.1401) past 5.871, the normal distribution gives 0.84134.
 */
test('the residual of a typical child is that of the model', () => {
  expect(begunBy('walking-alone', 12, only(0))[0]).toBeCloseTo(0.5, 6)
  expect(begunBy('walking-alone', 12.50851, only(0))[0]).toBeCloseTo(0.73106, 4)
  expect(begunBy('sitting-without-support', 6.7541, only(0))[0]).toBeCloseTo(0.84134, 4)
})

test('a slower child is as far along at a later age in the same proportion', () => {
  const typical = begunBy('standing-alone', 11, only(0))[0]
  const slower = begunBy('standing-alone', 11 * Math.exp(0.3), only(0.3))[0]

  expect(slower).toBeCloseTo(typical ?? Number.NaN, 9)
})

for (const milestone of MILESTONES)
  test(`${milestone}: begun and not begun make up the whole, and fall with tau`, () => {
    for (const age of [1 / 30.4375, 6, 12.3, 24, 216]) {
      const begun = begunBy(milestone, age, COARSE_GRID)
      const not = notBegunBy(milestone, age, COARSE_GRID)

      for (const [index, value] of begun.entries()) {
        expect(value + (not[index] ?? Number.NaN)).toBeCloseTo(1, 9)
        expect(value).toBeLessThanOrEqual(begun[index - 1] ?? 1)
      }
    }
  })

test('an interval has what is begun by its end and not by its start', () => {
  const within = chanceOf({ milestone: 'walking-alone', from: 11, to: 14 }, COARSE_GRID)
  const by11 = begunBy('walking-alone', 11, COARSE_GRID)
  const by14 = begunBy('walking-alone', 14, COARSE_GRID)

  for (const [index, value] of within.entries())
    expect(value).toBeCloseTo((by14[index] ?? Number.NaN) - (by11[index] ?? Number.NaN), 9)
})

test('in the far tails an interval keeps its digits instead of vanishing', () => {
  const early = chanceOf({ milestone: 'sitting-without-support', from: 5, to: 6 }, only(2))
  const late = chanceOf({ milestone: 'sitting-without-support', from: 40, to: 50 }, only(0))

  expect(early[0]).toBeGreaterThan(0)
  expect(late[0]).toBeGreaterThan(0)
})

test('an observation that says nothing is certain at every tau', () => {
  const chance = chanceOf({ milestone: 'walking-alone', from: 0, to: null }, COARSE_GRID)

  expect([...new Set(chance)]).toEqual([1])
})

test('the average over a mass is the sum of its parts', () => {
  const mass = Float64Array.from([0.25, 0, 0.75])
  const grid = { first: -100, stride: 100, length: 3 }
  const [fast, , slow] = notBegunBy('walking-alone', 12.7, grid)

  expect(averageNotBegunBy('walking-alone', 12.7, { grid, mass })).toBeCloseTo(
    0.25 * (fast ?? Number.NaN) + 0.75 * (slow ?? Number.NaN),
    12,
  )
})
