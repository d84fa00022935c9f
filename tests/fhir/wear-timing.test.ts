import { assert, integer, property, record } from 'fast-check'
import { RRule } from 'rrule'
import { expect, test } from 'vitest'
import { addDays, civilDate } from '../../src/domain/calendar.ts'
import { speaker } from '../../src/domain/messages/speaker.ts'
import type { FittingPlan } from '../../src/domain/plan/fitting.ts'
import { wearSchedule } from '../../src/domain/plan/wear-schedule.ts'
import { numberOf } from '../../src/fhir/decimal.ts'
import { wearActivities } from '../../src/fhir/wear-activities.ts'
import { RULES } from '../helpers/rules.ts'

const DELIVERY = civilDate('2028-02-20')
const settings = record({
  wearStartMinutesLow: integer({ min: 5, max: 120 }),
  wearTargetHours: integer({ min: 1, max: 12 }),
  wearTargetDayLow: integer({ min: 1, max: 20 }),
  more: integer({ min: 0, max: 10 }),
}).map(({ more, ...fitting }) => ({
  ...RULES,
  fitting: { ...RULES.fitting, ...fitting, wearTargetDayHigh: fitting.wearTargetDayLow + more },
}))

/** Minutes by day of all timings, as an iCalendar library reads them. */
function expanded(plan: Pick<FittingPlan, 'deliveryOn' | 'wear'>, until: string) {
  const minutes = new Map<string, number>()
  for (const { detail } of wearActivities(plan, { speaker: speaker('en') })) {
    const { boundsPeriod, frequency, period, periodUnit, duration, durationUnit } =
      detail?.scheduledTiming?.repeat ?? {}
    expect([frequency, period, periodUnit, durationUnit]).toEqual([1, 1, 'd', 'min'])
    const rule = new RRule({
      freq: RRule.DAILY,
      interval: numberOf(period ?? 0),
      dtstart: new Date(`${boundsPeriod?.start ?? ''}T00:00:00Z`),
      until: new Date(`${boundsPeriod?.end ?? until}T00:00:00Z`),
    })
    for (const on of rule.all()) {
      const key = on.toISOString().slice(0, 10)
      minutes.set(key, (minutes.get(key) ?? 0) + numberOf(duration ?? 0))
    }
  }
  return minutes
}

test('an iCalendar library reads from the timings the hours that are listed day by day (RFC 5545)', () => {
  assert(
    property(settings, (rules) => {
      const wear = wearSchedule(rules)
      const last = addDays(DELIVERY, wear.days.length - 1)
      const listed = wear.days.map(
        ({ day, minutes }) => [addDays(DELIVERY, day - 1), minutes] as const,
      )

      expect(expanded({ deliveryOn: DELIVERY, wear }, last)).toEqual(new Map(listed))
    }),
  )
})

test('only the last step goes on, and none begins before the delivery', () => {
  const wear = wearSchedule(RULES)
  const bounds = wearActivities({ deliveryOn: DELIVERY, wear }, { speaker: speaker('en') }).map(
    ({ detail }) => detail?.scheduledTiming?.repeat?.boundsPeriod,
  )

  expect(bounds[0]?.start).toBe(DELIVERY)
  expect(bounds.map((period) => period?.end === undefined)).toEqual(
    bounds.map((_, index) => index === bounds.length - 1),
  )
})
