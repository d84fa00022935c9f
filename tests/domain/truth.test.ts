import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { allOf, anyOf, not, type Truth, truth, truthOf } from '../../src/domain/truth.ts'
import { fact } from '../helpers/child.ts'

const anyTruths = fc.array(fc.constantFrom<Truth>('yes', 'no', 'unknown'), { maxLength: 5 })

/** Kleene's tables, typed from their definition: a, b, a and b, a or b. */
const TABLE: readonly (readonly [Truth, Truth, Truth, Truth])[] = [
  ['yes', 'yes', 'yes', 'yes'],
  ['yes', 'unknown', 'unknown', 'yes'],
  ['yes', 'no', 'no', 'yes'],
  ['unknown', 'unknown', 'unknown', 'unknown'],
  ['unknown', 'no', 'no', 'unknown'],
  ['no', 'no', 'no', 'no'],
]

for (const [a, b, and, or] of TABLE)
  test(`${a} with ${b}: all of them ${and}, any of them ${or}, in either order`, () => {
    expect([allOf([a, b]), allOf([b, a])]).toEqual([and, and])
    expect([anyOf([a, b]), anyOf([b, a])]).toEqual([or, or])
  })

test('of nothing at all everything holds and nothing holds', () => {
  expect([allOf([]), anyOf([])]).toEqual(['yes', 'no'])
})

test('the opposite of unknown is unknown', () => {
  expect([not('yes'), not('no'), not('unknown')]).toEqual(['no', 'yes', 'unknown'])
})

test('a boolean is yes or no', () => {
  expect([truth(true), truth(false)]).toEqual(['yes', 'no'])
})

test('not all of them is any of their opposites', () => {
  fc.assert(
    fc.property(anyTruths, (values) => {
      expect(not(allOf(values))).toBe(anyOf(values.map(not)))
    }),
  )
})

test('finding out an unknown never turns a settled answer round', () => {
  fc.assert(
    fc.property(anyTruths, fc.constantFrom<Truth>('yes', 'no'), (values, answer) => {
      const settled = allOf(values)
      fc.pre(settled !== 'unknown')
      const found = values.map((value) => (value === 'unknown' ? answer : value))

      expect(allOf(found)).toBe(settled)
    }),
  )
})

test('an answer on record is yes or no, and nobody asked is unknown', () => {
  expect([truthOf(fact(true)), truthOf(fact(false)), truthOf('unknown')]).toEqual([
    'yes',
    'no',
    'unknown',
  ])
})
