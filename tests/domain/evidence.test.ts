import { expect, test } from 'vitest'
import { evidenceOfAll, uniqueEvidence } from '../../src/domain/evidence.ts'
import { evidenceRef } from '../../src/domain/facts.ts'
import { fact } from '../helpers/child.ts'

test('versions are listed once and in one order, whatever the order of the facts', () => {
  const b = fact(1, '2026-03-01', 'Observation/b/_history/1')
  const a = fact(2, '2026-03-01', 'Observation/a/_history/2')

  expect(evidenceOfAll([b, a, b])).toEqual(['Observation/a/_history/2', 'Observation/b/_history/1'])
  expect(evidenceOfAll([a, b])).toEqual(evidenceOfAll([b, a]))
})

test('a fact that is unknown has no evidence', () => {
  expect(evidenceOfAll(['unknown'])).toEqual([])
  expect(evidenceOfAll(['unknown', fact(1, '2026-03-01', 'a'), 'unknown'])).toEqual(['a'])
})

test('several lists become one', () => {
  const x = evidenceRef('x')
  const y = evidenceRef('y')

  expect(uniqueEvidence([[y, x], [x]])).toEqual(['x', 'y'])
  expect(uniqueEvidence([[x], [x]])).toEqual(['x'])
  expect(uniqueEvidence([[], [y]])).toEqual(['y'])
})
