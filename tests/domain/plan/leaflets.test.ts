import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { z } from 'zod'
import { wearSchedule } from '../../../src/domain/plan/wear-schedule.ts'
import { RULES } from '../../helpers/rules.ts'

// tests/cases/leaflets.json: what published leaflets say, typed from them; each with its source.

const Span = z.tuple([z.number(), z.number()])
const Limits = z.object({ source: z.string(), from: z.number(), to: z.number() })
const LEAFLETS = z
  .object({
    redness: z.array(Limits),
    wear: z.array(z.object({ source: z.string(), days: z.array(Span) })),
    heelMostMm: Limits,
  })
  .parse(JSON.parse(readFileSync(new URL('../../cases/leaflets.json', import.meta.url), 'utf8')))

const { fitting } = RULES

test('redness: we are told at the strictest published limit and stop at the latest, never later', () => {
  expect(fitting.rednessTellMinutes).toBe(Math.min(...LEAFLETS.redness.map(({ from }) => from)))
  expect(fitting.rednessStopMinutes).toBe(Math.max(...LEAFLETS.redness.map(({ to }) => to)))
})

test('the first day begins with no more than every leaflet allows, and may reach the usual hour', () => {
  const first = LEAFLETS.wear.flatMap(({ days }) => days.slice(0, 1))
  const { wearStartMinutesLow: low, wearStartMinutesHigh: high } = fitting

  expect(first).toHaveLength(LEAFLETS.wear.length)
  expect(low).toBe(Math.min(...first.map(([, most]) => most)))
  expect(first.some(([, most]) => most === high)).toBe(true)
})

test('no day of wear is longer than the quickest leaflet has it, nor shorter than the slowest', () => {
  for (const { day, minutes } of wearSchedule(RULES).days) {
    const told = LEAFLETS.wear.flatMap(({ days }) => days.slice(day - 1, day))
    if (told.length === 0) continue

    expect(minutes, `day ${day}`).toBeLessThanOrEqual(Math.max(...told.map(([, most]) => most)))
    expect(minutes, `day ${day}`).toBeGreaterThanOrEqual(Math.min(...told.map(([least]) => least)))
  }
})

test('day by day it is the schedule of North Tees and Hartlepool for children, up to six hours', () => {
  const northTees = LEAFLETS.wear.find(({ source }) => source.startsWith('North Tees'))
  const most = northTees?.days.map(([, minutes]) => minutes)

  expect(
    wearSchedule(RULES)
      .days.slice(0, 12)
      .map(({ minutes }) => minutes),
  ).toEqual(most)
})

test('the heel of a shoe is no higher than the leaflet allows', () => {
  expect(fitting.heelHeightMaxMm).toBe(LEAFLETS.heelMostMm.to)
})
