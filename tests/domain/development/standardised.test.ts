import { expect, test } from 'vitest'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { standardised } from '../../../src/domain/development/standardised.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'

const en = speaker('en')
const es = speaker('es')

test('a percentage of delay is used as given, and no z is made from it', () => {
  const found = standardised({ kind: 'percent-delay', percent: 24.6 })

  expect([found.percentDelay, found.z]).toEqual([24.6, undefined])
  expect(en.therapist(found.because)).toBe('Standardised test: delay 24.6 %.')
  expect(en.family(found.because)).toBe('A movement test found a delay of 24.6 % for your child.')
  expect(es.therapist(found.because)).toBe('Prueba estandarizada: retraso del 24,6 %.')
})

test('a test that found no delay is not told as one', () => {
  for (const percent of [0, -12])
    expect(en.family(standardised({ kind: 'percent-delay', percent }).because)).toBe(
      'A movement test found no delay for your child.',
    )
})

test('a z is used as given, and no percentage is made from it', () => {
  const found = standardised({ kind: 'z-score', z: -1.5 })

  expect([found.z, found.percentDelay]).toEqual([-1.5, undefined])
  expect(en.therapist(found.because)).toBe('Standardised test: z -1.5.')
})

test.each([
  [-1.01, 'below the average'],
  [-1, 'about average'],
  [0, 'about average'],
  [1, 'about average'],
  [1.01, 'above the average'],
])('the family hears of a z of %s that it is %s', (z, words) => {
  const standard = { kind: 'standard-score', score: z, mean: 0, sd: 1 } as const

  expect(en.family(standardised({ kind: 'z-score', z }).because)).toContain(`${words}.`)
  expect(en.family(standardised(standard).because)).toContain(`${words}.`)
})

/** 1.5 SD below the mean on a test with mean 100 and SD 15 is 77.5. */
test('a standard score becomes a z by its own mean and SD', () => {
  const found = standardised({ kind: 'standard-score', score: 77.5, mean: 100, sd: 15 })

  expect(found.z).toBe(-1.5)
  expect(found.percentDelay).toBeUndefined()
  expect(en.therapist(found.because)).toBe(
    'Standardised test: score 77.5 (mean 100, SD 15), z -1.50.',
  )
})

test('a z is rounded in the sentence only', () => {
  const found = standardised({ kind: 'standard-score', score: 78, mean: 100, sd: 15 })

  expect(found.z).toBeCloseTo(-1.46667, 5)
  expect(en.therapist(found.because)).toContain('z -1.47')
})

test('each kind of result can be said to both readers in every language', () => {
  expect(
    faultsInVoices(
      (
        [
          { kind: 'percent-delay', percent: 25 },
          { kind: 'percent-delay', percent: -5 },
          { kind: 'z-score', z: 1 },
          { kind: 'standard-score', score: 80, mean: 100, sd: 15 },
        ] as const
      ).map((result) => standardised(result).because),
    ),
  ).toEqual([])
})

test('a result that is not a number, or an SD of nothing, is refused', () => {
  const infinite = new RangeError('a standardised result must be a finite number')

  expect(() => standardised({ kind: 'percent-delay', percent: Number.NaN })).toThrow(infinite)
  expect(() => standardised({ kind: 'z-score', z: Number.POSITIVE_INFINITY })).toThrow(infinite)
  for (const sd of [0, -15, Number.NaN])
    expect(() => standardised({ kind: 'standard-score', score: 80, mean: 100, sd })).toThrow(
      new RangeError('the standard deviation must be above zero'),
    )
})
