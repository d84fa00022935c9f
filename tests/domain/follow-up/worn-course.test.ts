import { assert, integer, property } from 'fast-check'
import { expect, test } from 'vitest'
import { addDays, daysBetween } from '../../../src/domain/calendar.ts'
import type { FollowUpOutcome } from '../../../src/domain/follow-up/follow-up-outcome.ts'
import { wornCourse } from '../../../src/domain/follow-up/worn-course.ts'
import { wearSchedule } from '../../../src/domain/plan/wear-schedule.ts'
import { GENERIC_SIZE_CHART } from '../../../src/domain/tables/generic-size-chart.ts'
import { triage } from '../../../src/domain/triage.ts'
import { factsOfDay } from '../../helpers/any-picture.ts'
import { RULES } from '../../helpers/rules.ts'
import { seedChildren } from '../../helpers/seed-children.ts'

// The invented walker, whose devices were delivered some days ago.

const BASIS = { rules: RULES, chart: GENERIC_SIZE_CHART }
const walker = seedChildren().find(({ name }) => name === 'suitable-walker')
if (walker === undefined) throw new Error('there is no walker')
const { child, asOf } = walker
const TODAY = triage(child, asOf, BASIS)

function courseAfter(
  days: number,
  { outcome, code }: { outcome?: FollowUpOutcome; code?: string } = {},
) {
  const deliveredOn = addDays(asOf, -days)
  const { fitting } = factsOfDay(TODAY, BASIS, { deliveredOn, devices: [], wearMinutes: 'unknown' })
  if (fitting === undefined) throw new Error('nothing is worn')
  const size = GENERIC_SIZE_CHART.sizes.find((one) => one.code === code) ?? 'unknown'
  const found = { ...fitting.found, ...(outcome && { outcome }) }
  return wornCourse(TODAY, { deliveredOn, devices: [{ side: 'left', size }], found }, RULES)
}

test('the day of the delivery is the first day of wearing', () => {
  expect([0, 1, 13].map((days) => courseAfter(days).day)).toEqual([1, 2, 14])
  expect(courseAfter(3).wear).toEqual(wearSchedule(RULES))
})

test('visits come 2, 4, 6 and 12 weeks after the delivery; what has been is not to come', () => {
  const weeks = (days: number) =>
    courseAfter(days).followUps.flatMap(({ id }) => (id.startsWith('week-') ? [id] : []))

  expect(weeks(0)).toEqual(['week-2', 'week-4', 'week-6', 'week-12'])
  expect(weeks(14)).toEqual(['week-2', 'week-4', 'week-6', 'week-12'])
  expect(weeks(15)).toEqual(['week-4', 'week-6', 'week-12'])
})

test('no visit lies in the past, nor is it the delivery, however long ago that was', () => {
  assert(
    property(integer({ min: 0, max: 360 }), (days) => {
      const { followUps, deliveredOn } = courseAfter(days)
      for (const { id, on } of followUps) {
        expect(id).not.toBe('delivery')
        expect(daysBetween(asOf, on)).toBeGreaterThanOrEqual(0)
        expect(on > deliveredOn || days === 0).toBe(true)
      }
    }),
    { numRuns: 40 },
  )
})

test('only a stop keeps the devices off', () => {
  expect(courseAfter(3, { outcome: 'stop' }).isStopped).toBe(true)
  for (const outcome of ['new-size', 'adjust', 'review', 'unknown', 'continue'] as const)
    expect(courseAfter(3, { outcome }).isStopped, outcome).toBe(false)
})

test('a refit is foreseen for the size that is worn, if the foot would get it today, and for no other', () => {
  const own = TODAY.sizing.left.size?.code
  const others = GENERIC_SIZE_CHART.sizes.map(({ code }) => code).filter((code) => code !== own)
  const hasRefit = (code?: string) =>
    courseAfter(3, code === undefined ? {} : { code }).followUps.some(({ id }) => id === 'refit')

  expect(own && hasRefit(own)).toBe(true)
  for (const code of others) expect(hasRefit(code), code).toBe(false)
  expect(hasRefit()).toBe(false)
})
