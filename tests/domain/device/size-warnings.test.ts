import { expect, test } from 'vitest'
import { addDays, type CivilDate } from '../../../src/domain/calendar.ts'
import type { RefitForecast } from '../../../src/domain/device/growth.ts'
import { downSyndrome, growthWarnings } from '../../../src/domain/device/size-warnings.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { millimetres } from '../../../src/domain/units.ts'
import { child, fact } from '../../helpers/child.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { AS_OF, SOMETHING_SAID } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'

const en = speaker('en')
const forecastOn = (median: CivilDate | undefined): RefitForecast => ({
  ...(median !== undefined && { median }),
  ratePerMonthMm: 1.8,
  rateFrom: 'age-curve',
  limitMm: millimetres(130),
  because: SOMETHING_SAID,
  evidence: [],
})
const warnings = (room: number, forecast: RefitForecast | 'unknown') =>
  growthWarnings(
    {
      selection: { room, alternatives: [], because: SOMETHING_SAID },
      forecast,
      side: 'left',
      asOf: AS_OF,
    },
    RULES,
  )

test('room of 3 mm needs no warning, less does', () => {
  expect(warnings(3, forecastOn(undefined))).toEqual([])
  expect(warnings(2.9, forecastOn(undefined)).map(({ because }) => en.therapist(because))).toEqual([
    'Room to grow 2.9 mm, under the reserve of 3 mm: measure again soon.',
  ])
})

test('outgrown up to 12 weeks after delivery in 4 weeks is soon, a day later is not', () => {
  const [soon] = warnings(5, forecastOn(addDays(AS_OF, 112)))

  expect(soon).toMatchObject({ rule: 'refit-soon.left', holds: 'yes' })
  expect(soon && en.family(soon.because)).toBe(
    'Your child will probably grow out of this size around June 21, 2026, soon after getting it. Please ask whether the next size would be better.',
  )
  expect(warnings(5, forecastOn(addDays(AS_OF, 113)))).toEqual([])
})

test('without a forecast it is said that the date is not known, never that there is time', () => {
  const [unknown] = warnings(5, 'unknown')

  expect(unknown).toMatchObject({ rule: 'refit-unknown.left', holds: 'unknown' })
  // The ages of the fit of the foot length curve: 1 to 82 months.
  expect(unknown && en.therapist(unknown.because)).toBe(
    'No refit date: measured outside the 1-82 months of the growth curve.',
  )
  expect(unknown && en.family(unknown.because)).toMatch(/^We do not know when /)
})

test('Down syndrome that is coded asks for breadth and instep, otherwise nothing is said', () => {
  const [coded] = downSyndrome(child({ diagnoses: { 'down-syndrome': fact(true) } }), 'right')

  expect(coded).toMatchObject({
    rule: 'down-syndrome-dimensions.right',
    sources: ['down-syndrome-feet-2022'],
    evidence: ['Observation/a/_history/1'],
  })
  // Mean differences of the publication: 11.62 mm shorter, 4.8 mm wider, 7.92 mm more around.
  expect(coded && en.therapist(coded.because)).toMatch(
    /on average 11\.62 mm shorter .*, 4\.8 mm wider and 7\.92 mm more around the instep/,
  )
  expect(coded && en.family(coded.because)).toBe(
    'Children with Down syndrome often have shorter and wider feet. So it helps to measure how wide the foot is and how far it is around the middle too, so that the size is not too tight.',
  )
  expect(downSyndrome(child(), 'right')).toEqual([])
})

test('every warning is said in both languages to both readers', () => {
  const all = [
    ...warnings(1, 'unknown'),
    ...warnings(1, forecastOn(AS_OF)),
    ...downSyndrome(child({ diagnoses: { 'down-syndrome': fact(true) } }), 'left'),
  ]

  expect(all).toHaveLength(5)
  expect(faultsInVoices(all.map(({ because }) => because))).toEqual([])
})
