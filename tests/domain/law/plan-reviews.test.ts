import { expect, test } from 'vitest'
import { planReviews } from '../../../src/domain/law/plan-reviews.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { on, printed, SETTINGS } from '../../helpers/law-dates.ts'

test('without the day of the plan no review is dated', () => {
  const { next, annual } = planReviews('unknown', SETTINGS)

  expect([next, annual].map(printed)).toEqual(['unknown', 'unknown'])
})

test('the review is due six, the evaluation twelve calendar months after the plan', () => {
  const { next, annual } = planReviews(on('2026-01-15'), SETTINGS)

  expect([next, annual].map(printed)).toEqual(['2026-07-15 Wed', '2027-01-15 Fri'])
  expect(next).toMatchObject({ rule: 'part-c.plan-review', sources: ['idea-303-342'] })
  expect(annual).toMatchObject({ rule: 'part-c.plan-annual', sources: ['idea-303-342'] })
  expect([next.evidence, annual.evidence]).toEqual([
    ['Observation/a/_history/1'],
    ['Observation/a/_history/1'],
  ])
})

test('reviews with and without a day can be said in every voice', () => {
  const reviews = [planReviews('unknown', SETTINGS), planReviews(on('2026-01-15'), SETTINGS)]

  expect(
    faultsInVoices(reviews.flatMap(({ next, annual }) => [next.because, annual.because])),
  ).toEqual([])
})
