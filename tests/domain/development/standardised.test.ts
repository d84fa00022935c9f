import { expect, test } from 'vitest'
import { standardised } from '../../../src/domain/development/standardised.ts'

test('a percentage of delay is used as given, and no z is made from it', () => {
  expect(standardised({ kind: 'percent-delay', percent: 24.6 })).toEqual({
    percentDelay: 24.6,
    text: 'standardised test: delay 24.6 %',
  })
})

test('a z is used as given, and no percentage is made from it', () => {
  expect(standardised({ kind: 'z-score', z: -1.5 })).toEqual({
    z: -1.5,
    text: 'standardised test: z -1.5',
  })
})

/** 1.5 SD below the mean on a test with mean 100 and SD 15 is 77.5. */
test('a standard score becomes a z by its own mean and SD', () => {
  const found = standardised({ kind: 'standard-score', score: 77.5, mean: 100, sd: 15 })

  expect(found.z).toBe(-1.5)
  expect(found.percentDelay).toBeUndefined()
  expect(found.text).toBe('standardised test: score 77.5 (mean 100, SD 15), z -1.50')
})

test('a z is rounded in the text only', () => {
  const found = standardised({ kind: 'standard-score', score: 78, mean: 100, sd: 15 })

  expect(found.z).toBeCloseTo(-1.46667, 5)
  expect(found.text).toContain('z -1.47')
})

test('a result that is not a number, or an SD of nothing, is refused', () => {
  expect(() => standardised({ kind: 'percent-delay', percent: Number.NaN })).toThrow(RangeError)
  expect(() => standardised({ kind: 'z-score', z: Number.POSITIVE_INFINITY })).toThrow(RangeError)
  for (const sd of [0, -15, Number.NaN])
    expect(() => standardised({ kind: 'standard-score', score: 80, mean: 100, sd })).toThrow(
      RangeError,
    )
})
