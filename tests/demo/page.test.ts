import { expect, test } from 'vitest'
import { headings, sentence, wrapped } from '../../src/demo/page.ts'

test('a text is broken before the 81st column and hangs below its label', () => {
  const lines = wrapped('word '.repeat(40).trim(), { indent: 9, label: '  Left' })

  expect(lines[0]).toMatch(/^ {2}Left {3}word/)
  expect(lines[1]).toMatch(/^ {9}word/)
  expect(Math.max(...lines.map((line) => line.length))).toBe(78)
  expect(wrapped(`${'x'.repeat(75)} yz`)[0]).toHaveLength(80)
  expect(wrapped(`${'x'.repeat(75)} yza`)).toEqual([`  ${'x'.repeat(75)}`, '  yza'])
})

test('a number is not parted from its unit', () => {
  expect(wrapped(`${'x'.repeat(74)} 50 % more`)).toEqual([`  ${'x'.repeat(74)}`, '  50 % more'])
})

test('a sentence begins large and ends with one full stop', () => {
  expect(sentence('born at term')).toBe('Born at term.')
  expect(sentence('Is it?')).toBe('Is it?')
})

test('only a terminal gets bold headings', () => {
  expect(headings(false)('Feet')).toBe('Feet')
  expect(headings(true)('Feet')).toBe('\u001B[1mFeet\u001B[22m')
})
