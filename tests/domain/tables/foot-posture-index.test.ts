import { expect, test } from 'vitest'
import {
  FPI6_BANDS,
  FPI6_CHILDREN_2019,
  FPI6_SIDE_DIFFERENCE,
} from '../../../src/domain/tables/foot-posture-index.ts'

test('the bands are those published with the Foot Posture Index of Redmond 2006', () => {
  expect(FPI6_BANDS.bands.map(({ band, from, to }) => [band, from, to])).toEqual([
    ['highly-supinated', -12, -5],
    ['supinated', -4, -1],
    ['normal', 0, 5],
    ['pronated', 6, 9],
    ['highly-pronated', 10, 12],
  ])
})

test('children of 3-15 years have mean 4 and SD 3: Gijon-Nogueron, BMJ Open 2019;9:e023341', () => {
  const { mean, sd, fromYears, toYears } = FPI6_CHILDREN_2019

  expect([mean, sd, fromYears, toYears]).toEqual([4, 3, 3, 15])
})

test('feet of 930 adults differ by 2 usually, by more than 4 severely', () => {
  expect([FPI6_SIDE_DIFFERENCE.usualTo, FPI6_SIDE_DIFFERENCE.asymmetryTo]).toEqual([2, 4])
})
