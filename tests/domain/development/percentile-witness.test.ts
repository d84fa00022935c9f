import logisticCdf from '@stdlib/stats-base-dists-logistic-cdf'
import { assert, constantFrom, double, property } from 'fast-check'
import jstat from 'jstat'
import { expect, test } from 'vitest'
import { shareAttainedBy } from '../../../src/domain/development/percentile.ts'
import { WHO_MOTOR_MODEL } from '../../../src/domain/tables/who-motor-model.ts'
import { months } from '../../../src/domain/units.ts'

// Two statistics libraries, neither of which the computation uses for these functions, as witnesses.

const { normal } = jstat.jStat
const LOG_NORMAL = ['sitting-without-support', 'standing-with-assistance'] as const
const LOG_LOGISTIC = [
  'hands-and-knees-crawling',
  'walking-with-assistance',
  'standing-alone',
  'walking-alone',
] as const
const ages = double({ min: 1, max: 60, noNaN: true })

test('the share of sitters and supported standers is the normal distribution of jstat in ln age', () => {
  assert(
    property(constantFrom(...LOG_NORMAL), ages, (milestone, age) => {
      const { median, spread } = WHO_MOTOR_MODEL.curves[milestone]
      const expected = normal.cdf(Math.log(age), Math.log(median), spread)

      expect(shareAttainedBy(milestone, months(age))).toBeCloseTo(expected, 6)
    }),
  )
})

test('the share of the other milestones is the logistic distribution of stdlib in ln age', () => {
  assert(
    property(constantFrom(...LOG_LOGISTIC), ages, (milestone, age) => {
      const { median, spread } = WHO_MOTOR_MODEL.curves[milestone]
      const expected = logisticCdf(Math.log(age), Math.log(median), spread)

      expect(shareAttainedBy(milestone, months(age))).toBeCloseTo(expected, 12)
    }),
  )
})
