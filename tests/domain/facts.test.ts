import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { evidenceOf, latest, valueOf } from '../../src/domain/facts.ts'
import { fact } from '../helpers/child.ts'

test('nothing on record is unknown, without a contradiction', () => {
  expect(latest('tone', [])).toEqual({ fact: 'unknown' })
})

test('the latest record of a fact is the one that counts', () => {
  const older = fact('low', '2026-01-01', 'Observation/a/_history/1')
  const newer = fact('normal', '2026-02-01', 'Observation/b/_history/1')

  expect(latest('tone', [newer, older])).toEqual({ fact: newer })
})

test('two records of the latest day that disagree leave the fact unknown and are both named', () => {
  const one = fact('low', '2026-02-01', 'Observation/b/_history/1')
  const other = fact('normal', '2026-02-01', 'Observation/a/_history/1')

  expect(latest('tone', [one, other])).toEqual({
    fact: 'unknown',
    contradiction: {
      fact: 'tone',
      on: '2026-02-01',
      evidence: ['Observation/a/_history/1', 'Observation/b/_history/1'],
    },
  })
})

test('a disagreement on an earlier day does not matter any more', () => {
  const now = fact('normal', '2026-02-01', 'Observation/c/_history/1')
  const earlier = [fact('low', '2026-01-01', 'a'), fact('normal', '2026-01-01', 'b')]

  expect(latest('tone', [...earlier, now])).toEqual({ fact: now })
})

test('two records of one day that say the same agree', () => {
  const records = [fact(7, '2026-02-01', 'b'), fact(7, '2026-02-01', 'a')]

  expect(latest('beighton', records).fact).toMatchObject({ value: 7, evidence: 'a' })
})

test('one of three records of a day that says otherwise is a contradiction with all three', () => {
  const records = [
    fact(7, '2026-02-01', 'c'),
    fact(8, '2026-02-01', 'b'),
    fact(7, '2026-02-01', 'a'),
  ]

  expect(latest('beighton', records)).toMatchObject({
    fact: 'unknown',
    contradiction: { evidence: ['a', 'b', 'c'] },
  })
})

test('values of several parts are the same when each part is', () => {
  const records = [fact({ mm: 1 }, '2026-02-01', 'a'), fact({ mm: 1 }, '2026-02-01', 'b')]

  expect(latest('length', records)).toEqual({ fact: records[0] })
})

test('a caller may say what counts as the same', () => {
  const records = [fact(7, '2026-02-01', 'a'), fact(8, '2026-02-01', 'b')]

  expect(latest('mm', records, (a, b) => Math.abs(a - b) <= 1).contradiction).toBeUndefined()
})

test('the order of the records does not matter', () => {
  const anyFact = fc
    .record({ value: fc.boolean(), day: fc.integer({ min: 1, max: 5 }), id: fc.nat(9) })
    .map(({ value, day, id }) => fact(value, `2026-02-0${day}`, `Observation/${id}${value}`))
  fc.assert(
    fc.property(fc.array(anyFact, { maxLength: 6 }), (records) => {
      expect(latest('sign', records.toReversed())).toEqual(latest('sign', records))
    }),
  )
})

test('an unknown has neither value nor evidence', () => {
  expect([valueOf('unknown'), evidenceOf('unknown')]).toEqual([undefined, []])
})

test('a fact gives its value and its evidence, also when the value is false', () => {
  const absent = fact(false, '2026-02-01', 'Observation/a/_history/2')

  expect([valueOf(absent), evidenceOf(absent)]).toEqual([false, ['Observation/a/_history/2']])
})
