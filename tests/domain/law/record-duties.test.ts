import { expect, test } from 'vitest'
import { civilDate } from '../../../src/domain/calendar.ts'
import {
  accountingFrom,
  encountersForOrder,
  inspectionDue,
  keepDocumentation,
  keepProofOfDelivery,
} from '../../../src/domain/law/record-duties.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { fact } from '../../helpers/child.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { on, printed, SETTINGS } from '../../helpers/law-dates.ts'

test('an accounting looks back six years, from a leap day to the end of February', () => {
  expect(accountingFrom(civilDate('2026-05-10'))).toBe('2020-05-10')
  expect(accountingFrom(civilDate('2024-02-29'))).toBe('2018-02-28')
})

test('an encounter on the day of the order counts, the day after it does not', () => {
  const days = ['2026-08-10', '2026-08-11'].map(civilDate)

  expect(encountersForOrder(civilDate('2026-08-10'), days).valid).toEqual(['2026-08-10'])
})

test('six months before the end of August is the end of February', () => {
  expect(encountersForOrder(civilDate('2026-08-31'), []).from).toBe('2026-02-28')
})

test('documentation is kept from the later of creation and last day in effect', () => {
  const kept = (created: string, last: string) =>
    printed(
      keepDocumentation({ createdOn: on(created), lastInEffectOn: on(last) }, SETTINGS),
    ).slice(0, 10)

  expect(kept('2026-03-01', '2026-02-28')).toBe('2032-03-01')
  expect(kept('2026-02-28', '2026-03-01')).toBe('2032-03-01')
})

test('each duty can be said in every voice, with its day and without', () => {
  const day = on('2026-03-01')
  const duties = [
    inspectionDue('unknown', SETTINGS),
    inspectionDue(day, SETTINGS),
    keepDocumentation({ createdOn: 'unknown', lastInEffectOn: day }, SETTINGS),
    keepDocumentation({ createdOn: day, lastInEffectOn: day }, SETTINGS),
    keepProofOfDelivery('unknown', SETTINGS),
    keepProofOfDelivery(day, SETTINGS),
  ]

  expect(faultsInVoices(duties.map(({ because }) => because))).toEqual([])
  expect(speaker('en').therapist(keepProofOfDelivery(day, SETTINGS).because)).toBe(
    'For information: keep the proof of delivery 7 years (42 CFR 424.57(c)(12)), until Tuesday, March 1, 2033.',
  )
})

test('each duty names its rule, its section and its records, also without a day', () => {
  const day = on('2026-03-01')
  const other = fact(civilDate('2026-03-01'), '2026-03-01', 'Observation/b')
  const named = [
    inspectionDue(day, SETTINGS),
    inspectionDue('unknown', SETTINGS),
    keepDocumentation({ createdOn: other, lastInEffectOn: day }, SETTINGS),
    keepDocumentation({ createdOn: other, lastInEffectOn: 'unknown' }, SETTINGS),
    keepProofOfDelivery(day, SETTINGS),
    keepProofOfDelivery('unknown', SETTINGS),
  ].map(({ rule, sources, evidence }) => [rule, sources, evidence])
  const record = 'Observation/a/_history/1'

  expect(named).toEqual([
    ['records.inspection-due', ['idea-303-409', 'idea-303-9'], [record]],
    ['records.inspection-due', ['idea-303-409', 'idea-303-9'], []],
    ['records.keep-documentation', ['hipaa-164-316'], [record, 'Observation/b']],
    ['records.keep-documentation', ['hipaa-164-316'], ['Observation/b']],
    ['records.keep-proof-of-delivery', ['medicare-424-57'], [record]],
    ['records.keep-proof-of-delivery', ['medicare-424-57'], []],
  ])
})

test('what is not on record gives no date', () => {
  const day = on('2026-03-01')

  expect(
    [
      inspectionDue('unknown', SETTINGS),
      keepDocumentation({ createdOn: 'unknown', lastInEffectOn: day }, SETTINGS),
      keepDocumentation({ createdOn: day, lastInEffectOn: 'unknown' }, SETTINGS),
      keepProofOfDelivery('unknown', SETTINGS),
    ].map(printed),
  ).toEqual(['unknown', 'unknown', 'unknown', 'unknown'])
})
