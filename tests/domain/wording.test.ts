import { expect, test } from 'vitest'
import { listed, percentText, sentence, signed, tenths } from '../../src/domain/wording.ts'

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

test('a probability in percent is never certain', () => {
  expect(percentText(0.425)).toBe('42.5 %')
  expect(percentText(0.9994)).toBe('99.9 %')
  expect(percentText(0.9995)).toBe('over 99.9 %')
  expect(percentText(0.0005)).toBe('0.1 %')
  expect(percentText(0.0004)).toBe('under 0.1 %')
})
