import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { addDays, civilDate, daysBetween } from '../../../src/domain/calendar.ts'
import { thirdBirthdayOf, transition } from '../../../src/domain/law/transition.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { on, printed, SETTINGS } from '../../helpers/law-dates.ts'

const mar1 = { ...SETTINGS, leapBirthday: 'mar1' } as const

test.each([
  ['2024-02-28', '2027-02-28', '2027-02-28'],
  ['2024-02-29', '2027-02-28', '2027-03-01'],
  ['2024-03-01', '2027-03-01', '2027-03-01'],
])('born on %s a child turns three on %s, or with mar1 on %s', (born, feb28, first) => {
  expect(thirdBirthdayOf(civilDate(born), SETTINGS)).toBe(feb28)
  expect(thirdBirthdayOf(civilDate(born), mar1)).toBe(first)
})

test('without a birth date the window is unknown', () => {
  const { thirdBirthday, opens, due } = transition('unknown', SETTINGS)

  expect([thirdBirthday, opens, due].map(printed)).toEqual(['unknown', 'unknown', 'unknown'])
})

test('each day of the window names its rule, its section and the record of the birth date', () => {
  const named = (born: Parameters<typeof transition>[0]) => {
    const { thirdBirthday, opens, due } = transition(born, SETTINGS)
    return [thirdBirthday, opens, due].map(({ rule, sources, evidence }) => [
      rule,
      sources,
      evidence,
    ])
  }
  const window = (evidence: readonly string[]) => [
    ['part-c.third-birthday', ['idea-303-21', 'judgement'], evidence],
    ['part-c.transition-opens', ['idea-303-209'], evidence],
    ['part-c.transition-due', ['idea-303-209', 'idea-303-9'], evidence],
  ]

  expect(named(on('2023-11-30'))).toEqual(window(['Observation/a/_history/1']))
  expect(named('unknown')).toEqual(window([]))
})

test('for a child born on 29 February the other reading is told, for others not', () => {
  const words = (born: string, settings = SETTINGS) =>
    speaker('en').therapist(transition(on(born), settings).thirdBirthday.because)

  expect(words('2024-02-29')).toContain(
    'may also be read as March 1, 2027; counted with Sunday, February 28, 2027.',
  )
  expect(words('2024-02-29', mar1)).toContain('may also be read as February 28, 2027')
  expect(words('2024-02-28')).toBe(
    'For information: early intervention ends at the third birthday: Sunday, February 28, 2027.',
  )
})

test('the window can be said in every voice, with its days and without', () => {
  const windows = [
    transition('unknown', SETTINGS),
    transition(on('2024-02-29'), mar1),
    transition(on('2023-11-30'), SETTINGS),
  ]

  expect(
    faultsInVoices(
      windows.flatMap(({ thirdBirthday, opens, due }) =>
        [thirdBirthday, opens, due].map(({ because }) => because),
      ),
    ),
  ).toEqual([])
})

test('only the last day of the window is worked towards', () => {
  const { thirdBirthday, opens, due } = transition(on('2023-11-30'), SETTINGS)

  expect(thirdBirthday).not.toHaveProperty('workingTarget')
  expect(opens).not.toHaveProperty('workingTarget')
  expect(due).toMatchObject({ workingTarget: '2026-09-01' })
})

test('the window closes 90 days before the third birthday and opens half a year earlier', () => {
  const anyDay = fc.integer({ min: 0, max: 8000 }).map((n) => addDays(civilDate('2015-01-01'), n))

  fc.assert(
    fc.property(anyDay, fc.constantFrom(SETTINGS, mar1), (born, settings) => {
      const window = transition(on(born), settings)
      const [birthday, opens, due] = [window.thirdBirthday, window.opens, window.due].map((one) =>
        one.holds === 'yes' ? one.on : civilDate('1900-01-01'),
      )
      if (birthday === undefined || opens === undefined || due === undefined) throw new Error()

      expect(daysBetween(due, birthday)).toBe(90)
      expect(daysBetween(opens, due)).toBeGreaterThanOrEqual(183)
      expect(daysBetween(opens, due)).toBeLessThanOrEqual(186)
    }),
  )
})
