import { expect, test } from 'vitest'
import { listed, sentence, signed, tenths } from '../../src/domain/wording.ts'

test('a number in a sentence has one decimal place at most', () => {
  expect([5.25, 6, 5.04].map(tenths)).toEqual(['5.3', '6', '5'])
})

test('a score carries its sign', () => {
  expect([2, 0, -1].map(signed)).toEqual(['+2', '0', '-1'])
})

test('words are joined as in a sentence', () => {
  expect([[], ['a'], ['a', 'b'], ['a', 'b', 'c']].map(listed)).toEqual([
    '',
    'a',
    'a and b',
    'a, b and c',
  ])
})

test('a sentence begins with a capital letter', () => {
  expect(sentence('left foot')).toBe('Left foot')
  expect(sentence('')).toBe('')
})
