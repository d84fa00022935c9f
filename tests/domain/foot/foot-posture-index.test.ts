import { array, assert, integer, property } from 'fast-check'
import { expect, test } from 'vitest'
import { fpiSum, sideDifference } from '../../../src/domain/foot/foot-posture-index.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { months } from '../../../src/domain/units.ts'
import { fact } from '../../helpers/child.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { fpiOf } from '../../helpers/findings.ts'

const en = speaker('en')
const noteOf = (found: ReturnType<typeof fpiSum>) =>
  found === undefined ? '' : en.therapist(found.note)
const sumOf = (scores: readonly number[], age = 48) => fpiSum(fact(fpiOf(scores)), months(age), 36)

test('nothing is said when no index is recorded', () => {
  expect(fpiSum('unknown', months(48), 36)).toBeUndefined()
})

/** Bands as published with the index (Redmond 2006): both sides of each limit. */
const BANDS: [number, string][] = [
  [-12, 'highly-supinated'],
  [-5, 'highly-supinated'],
  [-4, 'supinated'],
  [-1, 'supinated'],
  [0, 'normal'],
  [5, 'normal'],
  [6, 'pronated'],
  [9, 'pronated'],
  [10, 'highly-pronated'],
  [12, 'highly-pronated'],
]
for (const [sum, band] of BANDS)
  test(`a sum of ${sum} is ${band}`, () => {
    expect(sumOf(fill(sum))).toMatchObject({ sum, low: sum, high: sum, band })
  })

test('+7 is one and +10 two standard deviations above children of 3-15 years', () => {
  expect(sumOf(fill(4))?.z).toBeCloseTo(0)
  expect(sumOf(fill(7))?.z).toBeCloseTo(1)
  expect(sumOf(fill(10))?.z).toBeCloseTo(2)
})

test('below 3 years and above 15 there is no z-score and the note says description only', () => {
  expect(sumOf(fill(7), 35.9)).not.toHaveProperty('z')
  expect(noteOf(sumOf(fill(7), 35.9))).toBe(
    'A description only: no norm below 3 or above 15 years.',
  )
  expect(sumOf(fill(7), 36)?.z).toBeCloseTo(1)
  expect(sumOf(fill(7), 180)?.z).toBeCloseTo(1)
  expect(sumOf(fill(7), 180.1)).not.toHaveProperty('z')
})

test('an item that was not judged leaves bounds instead of a sum, and no z-score', () => {
  const partial = fpiSum(fact({ 1: 2, 2: 2, 3: 2, 4: 1, 5: 1 }), months(48), 36)

  expect(partial).toMatchObject({ low: 6, high: 10 })
  expect(partial).not.toHaveProperty('sum')
  expect(partial).not.toHaveProperty('z')
  expect(partial).not.toHaveProperty('band')
  expect(noteOf(partial)).toBe(
    '1 of 6 items not judged, so bounds instead of a sum. Not compared with children of 3-15 years, which takes a whole sum.',
  )
})

test('bounds that lie in one band have that band', () => {
  expect(fpiSum(fact({ 1: 1, 2: 1, 3: 1, 4: 1, 5: 0 }), months(48), 36)?.band).toBeUndefined()
  expect(fpiSum(fact({ 1: 1, 2: 1, 3: 1, 4: 0, 5: 0 }), months(48), 36)?.band).toBe('normal')
})

test('no item judged: anything from -12 to +12', () => {
  expect(fpiSum(fact({}), months(48), 36)).toMatchObject({ low: -12, high: 12 })
})

test('only at +6 is it said that another study calls it normal', () => {
  expect(noteOf(sumOf(fill(6)))).toMatch(/^A sum of \+6 /)
  expect(noteOf(sumOf(fill(6)))).toMatch(/normal in Gijon-Nogueron/)
  expect(noteOf(sumOf(fill(7)))).not.toMatch(/normal in Gijon-Nogueron/)
  expect(noteOf(sumOf(fill(5)))).not.toMatch(/normal in Gijon-Nogueron/)
})

test('items that add up to +6 while one is not judged are not a sum of +6', () => {
  const partial = fpiSum(fact({ 1: 2, 2: 1, 3: 1, 4: 1, 5: 1 }), months(48), 36)

  expect(noteOf(partial)).not.toMatch(/Gijon-Nogueron/)
})

/** Limits of 930 adults: 2 and 4. */
const DIFFERENCES: [number, string][] = [
  [0, 'usual'],
  [2, 'usual'],
  [3, 'asymmetry'],
  [4, 'asymmetry'],
  [5, 'severe'],
]
for (const [points, band] of DIFFERENCES)
  test(`feet that differ by ${points} either way: ${band}`, () => {
    const [less, more] = [sumOf(fill(1)), sumOf(fill(1 + points))]

    expect(sideDifference(less, more)).toMatchObject({ points, band })
    expect(sideDifference(more, less)).toMatchObject({ points, band })
  })

test('the feet are not compared unless both sums are complete', () => {
  const whole = sumOf(fill(4))

  expect(sideDifference(whole, fpiSum(fact({ 1: 1 }), months(48), 36))).toBeUndefined()
  expect(sideDifference(undefined, whole)).toBeUndefined()
  expect(sideDifference(whole, undefined)).toBeUndefined()
})

test('the sum is said with its sign and its z-score, and plainly to the family', () => {
  const note = sumOf(fill(7))?.note ?? { all: [] }

  expect(en.therapist(note)).toBe(
    'Sum +7, compared with children of 3-15 years (mean 4, SD 3): z 1.0.',
  )
  expect(en.family(note)).toBe(
    'The foot scores 7 points for how it stands. Children of 3 to 15 years have 4 on average; more points mean more rolling in.',
  )
  expect(speaker('es').therapist(note)).toBe(
    'Suma +7, comparada con niños de 3-15 años (media 4, DE 3): z 1,0.',
  )
})

test('the family is told that a difference is judged by the figures of adults', () => {
  const { note } = sideDifference(sumOf(fill(1)), sumOf(fill(6))) ?? { note: { all: [] } }

  expect(en.therapist(note)).toMatch(
    /^The feet differ by 5 points, a severe asymmetry over 4; .*adults/,
  )
  expect(en.family(note)).toMatch(/figures for this come from adults/)
})

test('every outcome is said in both languages to both readers', () => {
  const sums = [-12, 0, 6, 7].flatMap((sum) => [sumOf(fill(sum)), sumOf(fill(sum), 20)])
  const partial = [48, 20].map((age) => fpiSum(fact({ 1: 1 }), months(age), 36))
  const differences = DIFFERENCES.map(([points]) =>
    sideDifference(sumOf(fill(1)), sumOf(fill(1 + points))),
  )

  const notes = [...sums, ...partial, ...differences].flatMap((found) => found?.note ?? [])

  expect(notes).toHaveLength(8 + 2 + DIFFERENCES.length)
  expect(faultsInVoices(notes)).toEqual([])
})

test('one more item never widens the bounds', () => {
  const score = integer({ min: -2, max: 2 })
  assert(
    property(array(score, { maxLength: 5 }), score, (scores, next) => {
      const before = sumOf(scores)
      const after = sumOf([...scores, next])

      expect(after?.low).toBeGreaterThanOrEqual(before?.low ?? 0)
      expect(after?.high).toBeLessThanOrEqual(before?.high ?? 0)
    }),
  )
})

/** Six scores from -2 to +2 that add up to the sum. */
function fill(sum: number): number[] {
  const scores = [0, 0, 0, 0, 0, 0]
  for (let left = Math.abs(sum), index = 0; left > 0; index += 1) {
    const step = Math.min(2, left)
    scores[index] = Math.sign(sum) * step
    left -= step
  }
  return scores
}
