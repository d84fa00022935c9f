import { expect, test } from 'vitest'
import { remembered } from '../../src/services/remembered.ts'

/** What is made of a text, and how often that was done. */
function counting(most: number) {
  const made: string[] = []
  const make = remembered((text) => {
    made.push(text)
    return { text }
  }, most)
  return { make, made }
}

test('the same text is read once, and gives the same thing', () => {
  const { make, made } = counting(2)

  expect(make('a')).toBe(make('a'))
  expect(make('b')).toEqual({ text: 'b' })
  expect(made).toEqual(['a', 'b'])
})

test('the text asked for longest ago is forgotten, not the one stored first', () => {
  const { make, made } = counting(2)

  for (const text of ['a', 'b', 'a', 'c', 'a', 'b']) expect(make(text)).toEqual({ text })

  expect(made).toEqual(['a', 'b', 'c', 'b'])
})

test('what cannot be made is not remembered', () => {
  let fails = true
  const make = remembered((text) => {
    if (fails) throw new RangeError(text)
    return text
  }, 2)

  expect(() => make('a')).toThrow(RangeError)
  fails = false
  expect(make('a')).toBe('a')
})
