import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import type { RuleSet } from '../../../src/domain/rules/rule-set.ts'
import { wearSchedule } from '../../../src/domain/plan/wear-schedule.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { RULES } from '../../helpers/rules.ts'

const minutesOf = (rules: RuleSet) => wearSchedule(rules).days.map(({ minutes }) => minutes)

test('from 30 minutes by half an hour a day to 6 hours on day 12, then held to day 14', () => {
  const expected = [30, 60, 90, 120, 150, 180, 210, 240, 270, 300, 330, 360, 360, 360]

  expect(minutesOf(RULES)).toEqual(expected)
  expect(wearSchedule(RULES).days.map(({ day }) => day)).toEqual(expected.map((_, i) => i + 1))
})

test('the target is 6 hours and an hour of barefoot play is kept', () => {
  expect(wearSchedule(RULES)).toMatchObject({
    targetMinutesPerDay: 360,
    barefootMinutesPerDay: 60,
    sources: ['orthosis-leaflets', 'judgement'],
  })
})

test('both voices name start, target and barefoot play', () => {
  const { wording } = wearSchedule(RULES)
  const en = speaker('en')
  for (const words of [en.therapist(wording), en.family(wording)]) {
    expect(words).toMatch(/30/)
    expect(words).toMatch(/6 hours/)
    expect(words).toMatch(/60 minutes of barefoot/)
  }
  expect(speaker('es').family(wording)).toMatch(/unas 6 horas.*60 minutos de juego descalzo/)
  expect(faultsInVoices([wording])).toEqual([])
})

test('a target that is due on the first day is worn from the first day', () => {
  const fitting = { ...RULES.fitting, wearTargetDayLow: 1, wearTargetDayHigh: 1 }

  expect(minutesOf({ ...RULES, fitting })).toEqual([360])
})

test('under any settings it never falls, never exceeds the target and reaches it', () => {
  const settings = fc.record({
    wearStartMinutesLow: fc.integer({ min: 0, max: 120 }),
    wearTargetHours: fc.integer({ min: 1, max: 12 }),
    wearTargetDayLow: fc.integer({ min: 1, max: 20 }),
    more: fc.integer({ min: 0, max: 10 }),
  })
  fc.assert(
    fc.property(settings, ({ more, ...own }) => {
      const wearTargetDayHigh = own.wearTargetDayLow + more
      const fitting = { ...RULES.fitting, ...own, wearTargetDayHigh }
      const minutes = minutesOf({ ...RULES, fitting })

      expect(minutes.toSorted((a, b) => a - b)).toEqual(minutes)
      expect(Math.max(...minutes)).toBeLessThanOrEqual(own.wearTargetHours * 60)
      expect(minutes.at(-1)).toBe(own.wearTargetHours * 60)
      expect(minutes).toHaveLength(wearTargetDayHigh)
    }),
  )
})
