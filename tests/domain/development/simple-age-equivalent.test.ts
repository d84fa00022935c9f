import { expect, test } from 'vitest'
import { MILESTONES } from '../../../src/domain/child.ts'
import { simpleAgeEquivalent } from '../../../src/domain/development/simple-age-equivalent.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { months } from '../../../src/domain/units.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'

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

test('it is told with its milestone, and as a simple comparison only', () => {
  const found = simpleAgeEquivalent(['standing-with-assistance'], months(12))
  if (found === undefined) throw new Error('there is one')

  expect(speaker('en').therapist(found.because)).toBe(
    'Simple age equivalent 7.4 months, the median age of the highest attained milestone, standing with assistance; delay 38 % of the age of 12.0 months at the latest look. As done by hand, shown beside the model and never mixed with it.',
  )
  expect(speaker('en').family(found.because)).toBe(
    'The furthest step your child has reached is: standing while holding on. Half of all children can do it by about 7.4 months of age. This is a simple comparison only.',
  )
  expect(speaker('es').family(found.because)).toContain('estar de pie con apoyo')
  expect(faultsInVoices([found.because])).toEqual([])
})
