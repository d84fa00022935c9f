import { expect, test } from 'vitest'
import { addDays } from '../../../src/domain/calendar.ts'
import { evidenceRef, type Recorded } from '../../../src/domain/facts.ts'
import { wearAsScheduled } from '../../../src/domain/follow-up/wear-check.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { AS_OF } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'
import { daysBefore, DELIVERED } from '../../helpers/visits.ts'

const en = speaker('en')

const told = (value: number, daysAgo = 0): Recorded<number> => ({
  value,
  on: daysBefore(daysAgo),
  evidence: evidenceRef('Observation/wear/_history/1'),
})
const of = (minutes: Recorded<number>, deliveredOn = DELIVERED) =>
  wearAsScheduled({ deliveredOn, asOf: AS_OF, minutes }, RULES)

/** 6 hours a day after the first weeks; a quarter to either side is 270 to 450 minutes. */
test('270 to 450 of 360 minutes are as scheduled, ends included', () => {
  const found = [269, 270, 360, 450, 451].map((minutes) => of(told(minutes)).holds)

  expect(found).toEqual(['no', 'yes', 'yes', 'yes', 'no'])
})

test('shorter is asked about without blame, longer goes back to the schedule', () => {
  const action = (minutes: number, say = en.family) => {
    const { wording } = of(told(minutes))
    return wording && say(wording)
  }

  expect(action(100)).toMatch(/less than planned, which happens often/)
  expect(action(100, en.therapist)).toContain('100 of 360 minutes')
  expect(action(600)).toMatch(/longer than planned.*360 minutes.*skin/)
  expect(action(600, speaker('es').family)).toMatch(/vuelva a unos 360 minutos al día/)
  expect(of(told(360)).wording).toBeUndefined()
})

/** The published beginning is 30 to 60 minutes on the first day; 30 less and more a quarter. */
test('on the day of delivery the first day of the schedule counts', () => {
  const found = [22, 23, 37, 38].map((minutes) => of(told(minutes), AS_OF).holds)

  expect(found).toEqual(['no', 'yes', 'yes', 'no'])
  expect(en.therapist(of(told(30), AS_OF).because)).toBe(
    'Worn 30 minutes a day; the schedule says 30 for day 1.',
  )
})

test('whatever is told, the leaflets and a judgement stand behind it', () => {
  for (const minutes of ['unknown', told(100), told(360), told(600)] as const)
    expect(of(minutes).sources).toEqual(['orthosis-leaflets', 'judgement'])
})

test('after the last day of the schedule its target counts', () => {
  const said = (daysAgo: number) => en.therapist(of(told(360), daysBefore(daysAgo)).because)

  expect(said(13)).toContain('360 for day 14')
  expect(said(14)).toContain('360 for day 15')
})

test('how long is unknown when nobody told, and asked for', () => {
  expect(of('unknown')).toMatchObject({ rule: 'wear-as-scheduled', holds: 'unknown', evidence: [] })
  const { wording } = of('unknown')
  expect(wording && en.family(wording)).toContain('how long')
})

test('told in the 14 days before the visit it counts, earlier or later it does not', () => {
  expect(of(told(360, 14)).holds).toBe('yes')
  expect(of(told(360, 15)).holds).toBe('unknown')
  expect(of(told(360, -1)).holds).toBe('unknown')
})

test('told before the delivery it says nothing about these devices', () => {
  expect(of(told(30, 5), daysBefore(4)).holds).toBe('unknown')
  expect(of(told(30, 5), daysBefore(5)).holds).not.toBe('unknown')
})

test('no day has less than 0 or more than 1440 minutes', () => {
  const found = [-1, 0, 1440, 1441, Number.NaN].map((minutes) => of(told(minutes)).holds)

  expect(found).toEqual(['unknown', 'no', 'no', 'unknown', 'unknown'])
})

test('the schedule counts from the delivery, not from the day it was told', () => {
  expect(of(told(30), addDays(AS_OF, 0)).holds).toBe('yes')
  expect(of(told(30), DELIVERED).holds).toBe('no')
})

test('every outcome is said in every voice', () => {
  const found = [of('unknown'), of(told(100)), of(told(360)), of(told(600))]

  expect(faultsInVoices(found.map(({ because }) => because))).toEqual([])
  expect(faultsInVoices(found.flatMap(({ wording }) => wording ?? []))).toEqual([])
})
