import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { MILESTONES } from '../../../src/domain/child.ts'
import {
  attainedPercentile,
  notYetShare,
  shareAttainedBy,
} from '../../../src/domain/development/percentile.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { months } from '../../../src/domain/units.ts'
import { WHO_CELLS, WHO_PERCENTILES } from '../../helpers/who-motor.ts'

for (const [milestone, cells] of WHO_CELLS)
  test(`${milestone}: all eleven published ages come back after rounding to 0.1 month`, () => {
    // The age of a percentile lies where the share passes it: within half a tenth of the printed age.
    WHO_PERCENTILES.forEach((percentile, index) => {
      const printed = cells[index] ?? Number.NaN
      const shareAt = (age: number) => 100 * shareAttainedBy(milestone, months(age))

      expect(shareAt(printed - 0.05), `${percentile}`).toBeLessThanOrEqual(percentile)
      expect(shareAt(printed + 0.05), `${percentile}`).toBeGreaterThan(percentile)
    })
  })

/** Published with the model: milestone, age in months, share of reference children. */
const SHARES = [
  ['sitting-without-support', 6, 0.54526],
  ['sitting-without-support', 8, 0.94725],
  ['sitting-without-support', 9.2, 0.99061],
  ['standing-with-assistance', 9, 0.84911],
  ['standing-with-assistance', 12, 0.99511],
  ['hands-and-knees-crawling', 10, 0.85194],
  ['hands-and-knees-crawling', 13.5, 0.9903],
  ['walking-with-assistance', 12, 0.95766],
  ['standing-alone', 13, 0.86855],
  ['walking-alone', 10, 0.0996],
  ['walking-alone', 12, 0.5],
  ['walking-alone', 15, 0.93671],
  ['walking-alone', 16, 0.96994],
  ['walking-alone', 18, 0.99258],
  ['walking-alone', 20, 0.99791],
  ['walking-alone', 24, 0.99977],
] as const

for (const [milestone, age, share] of SHARES)
  test(`${milestone} by ${age} months: ${share} of reference children`, () => {
    expect(shareAttainedBy(milestone, months(age))).toBeCloseTo(share, 5)
  })

test('nobody has a milestone at birth or before the due date', () => {
  expect(shareAttainedBy('sitting-without-support', months(0))).toBe(0)
  expect(shareAttainedBy('walking-alone', months(-2))).toBe(0)
})

const en = speaker('en')
const es = speaker('es')
const between = (from: number, to: number) =>
  attainedPercentile('walking-alone', { from: months(from), to: months(to) })

test('known only to an interval: a range of percentiles', () => {
  const range = between(12, 15)

  expect(range.low).toBeCloseTo(50, 2)
  expect(range.high).toBeCloseTo(93.671, 2)
  expect(en.therapist(range.words)).toBe('50th-94th percentile')
})

/** The published window of walking alone is 8.2 to 17.6 months, both ends inside. */
test('the ends of the published window are the 1st and the 99th percentile', () => {
  expect(en.therapist(between(8.2, 8.2).words)).toBe('1st percentile')
  expect(en.therapist(between(17.6, 17.6).words)).toBe('99th percentile')
})

test('outside the window the words say less than 1 or more than 99', () => {
  expect(en.therapist(between(8, 8.19).words)).toBe('<1 percentile')
  expect(en.therapist(between(17.61, 20).words)).toBe('>99 percentile')
  expect(en.therapist(between(0, 12).words)).toBe('<1 to 50th percentile')
  expect(en.therapist(between(12, 18).words)).toBe('50th to >99 percentile')
  expect(en.therapist(between(0, 18).words)).toBe('<1 to >99 percentile')
})

test('the numbers beside the words are not cut at the window', () => {
  expect(between(0, 18)).toMatchObject({ low: 0 })
  expect(between(0, 18).high).toBeCloseTo(99.258, 2)
})

test('the family hears children in place of percentiles, in both languages', () => {
  expect(en.family(between(12, 15).words)).toBe('between 50 and 94 of 100 children')
  expect(en.family(between(12, 12).words)).toBe('about 50 of 100 children')
  expect(en.family(between(0, 12).words)).toBe('up to 50 of 100 children')
  expect(en.family(between(12, 18).words)).toBe('50 or more of 100 children')
  expect(en.family(between(8, 8.19).words)).toBe('fewer than 1 of 100 children')
  expect(es.therapist(between(12, 15).words)).toBe('percentiles 50 a 94')
  expect(es.family(between(17.61, 20).words)).toBe('más de 99 de cada 100 niños')
})

test('ordinals follow the language: 1st, 2nd, 3rd, 11th, 12th, 13th, 22nd', () => {
  const named = [1, 2, 3, 11, 12, 13, 22].map((percent) => {
    const age = standingAloneAt(percent)
    return en.therapist(attainedPercentile('standing-alone', { from: age, to: age }).words)
  })

  expect(named).toEqual(
    ['1st', '2nd', '3rd', '11th', '12th', '13th', '22nd'].map((name) => `${name} percentile`),
  )
})

/** The first age, in hundredths of a month, by which so many of 100 stand alone. */
function standingAloneAt(percent: number) {
  const hundredths = Array.from({ length: 3000 }, (_, index) => months(index / 100))
  const first = hundredths.find((age) => 100 * shareAttainedBy('standing-alone', age) >= percent)
  if (first === undefined) throw new Error('nobody')
  return first
}

/** Walking alone: 6.3 % are not there at 15.0 months; the window is 8.2 to 17.6 months. */
test('not yet: the share of reference children who are not there either', () => {
  const share = notYetShare('walking-alone', months(15))

  expect(share.low).toBeCloseTo(6.329, 3)
  expect(share.high).toBe(share.low)
  expect(en.therapist(share.words)).toBe('6 %')
  expect(en.family(share.words)).toBe('about 6 of 100 children')
  expect(en.therapist(notYetShare('walking-alone', months(17.61)).words)).toBe('<1 %')
  expect(en.therapist(notYetShare('walking-alone', months(17.6)).words)).toBe('1 %')
  expect(en.therapist(notYetShare('walking-alone', months(8.19)).words)).toBe('>99 %')
  expect(en.therapist(notYetShare('walking-alone', months(8.2)).words)).toBe('99 %')
})

const anyMilestone = fc.constantFrom(...MILESTONES)
const anyAge = fc.double({ min: 0.1, max: 60, noNaN: true })

test('the percentile never falls with age', () => {
  fc.assert(
    fc.property(anyMilestone, anyAge, anyAge, (milestone, a, b) => {
      const [younger, older] = a < b ? [a, b] : [b, a]

      expect(shareAttainedBy(milestone, months(older))).toBeGreaterThanOrEqual(
        shareAttainedBy(milestone, months(younger)),
      )
    }),
  )
})
