import { expect, test } from 'vitest'
import { MILESTONES } from '../../../src/domain/child.ts'
import { simpleAgeEquivalent } from '../../../src/domain/development/simple-age-equivalent.ts'
import { months } from '../../../src/domain/units.ts'

/** Published medians, WHO 2006: sitting 5.9, standing with assistance 7.4, crawling 8.3 months. */
test('the age equivalent is the published median of the highest milestone', () => {
  const found = simpleAgeEquivalent(
    ['hands-and-knees-crawling', 'sitting-without-support', 'standing-with-assistance'],
    months(12),
  )

  expect(found?.months).toBe(8.3)
  expect(found?.delayPercent).toBeCloseTo(30.83, 2)
})

test('a later milestone counts although earlier ones are not on record', () => {
  expect(simpleAgeEquivalent(['standing-alone'], months(12))?.months).toBe(10.8)
})

test('a child ahead of the median has a negative delay', () => {
  expect(simpleAgeEquivalent(['standing-alone'], months(9))?.delayPercent).toBeCloseTo(-20, 9)
})

test('without a milestone there is none, and none once the child walks alone', () => {
  expect(simpleAgeEquivalent([], months(12))).toBeUndefined()
  expect(simpleAgeEquivalent(MILESTONES, months(30))).toBeUndefined()
})
