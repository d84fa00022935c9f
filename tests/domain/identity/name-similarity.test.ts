import { expect, test } from 'vitest'
import { nameSimilarity } from '../../../src/domain/identity/name-similarity.ts'

// The table of name pairs of Winkler's comparator as it is reprinted in the literature of record linkage
// (Winkler 1990, Porter and Winkler 1997), to three decimals; typed from memory.
test.each([
  ['MARTHA', 'MARHTA', 0.961],
  ['DWAYNE', 'DUANE', 0.84],
  ['DIXON', 'DICKSONX', 0.813],
  ['SHACKLEFORD', 'SHACKELFORD', 0.982],
  ['DUNNINGHAM', 'CUNNIGHAM', 0.896],
  ['NICHLESON', 'NICHULSON', 0.956],
  ['JONES', 'JOHNSON', 0.832],
  ['MASSEY', 'MASSIE', 0.933],
  ['ABROMS', 'ABRAMS', 0.922],
  ['JERALDINE', 'GERALDINE', 0.926],
  ['MICHELLE', 'MICHAEL', 0.921],
  ['JULIES', 'JULIUS', 0.933],
  ['TANYA', 'TONYA', 0.88],
  ['SEAN', 'SUSAN', 0.805],
  ['JON', 'JAN', 0.8],
])('%s and %s are alike as published', (one, other, published) => {
  expect(nameSimilarity([one], [other])).toBeCloseTo(published, 3)
})

test('of several names the most alike pair counts', () => {
  expect(nameSimilarity(['zoe', 'martha'], ['marhta', 'quinn'])).toBeCloseTo(0.961, 3)
})

test('names without a letter in common are not alike at all', () => {
  expect(nameSimilarity(['abc'], ['xyz'])).toBe(0)
})

test('without a name on one side it is unknown', () => {
  expect(nameSimilarity([], ['martha'])).toBe('unknown')
  expect(nameSimilarity(['martha'], [])).toBe('unknown')
})
