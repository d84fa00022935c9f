import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { AppError } from '../../src/errors.ts'
import { parseQuery, writeCursor } from '../../src/fhir/query.ts'
import { rowOf } from '../../src/fhir/registry.ts'

const row = rowOf('Observation')
if (row === undefined) throw new Error('Observation is kept')
const baseUrl = 'https://footing.example/fhir'
const parse = (pairs: [string, string][], handling: 'strict' | 'lenient' = 'lenient') =>
  parseQuery(row, pairs, { handling, baseUrl })
const faultsOf = (pairs: [string, string][], handling: 'strict' | 'lenient' = 'lenient') => {
  try {
    parse(pairs, handling)
  } catch (error) {
    if (error instanceof AppError) return error.faults.map(({ expression }) => expression)
    throw error
  }
  return []
}

test.each([
  ['X', { code: 'X' }],
  ['s|X', { system: 's', code: 'X' }],
  ['|X', { system: '', code: 'X' }],
  ['s|', { system: 's' }],
  ['a\\|b', { code: 'a|b' }],
  ['a\\|b|c', { system: 'a|b', code: 'c' }],
  ['s|a|b', { system: 's', code: 'a|b' }],
])('the token %s is %j', (text, expected) => {
  expect(parse([['code', text]]).filters).toMatchObject([{ kind: 'token', values: [expected] }])
})

test.each([
  ['a,b', ['a', 'b']],
  ['a\\,b', ['a,b']],
  ['xx\\$xx', ['xx$xx']],
  ['xx\\\\xx', ['xx\\xx']],
  [',a,,', ['a']],
  [',', []],
])('the value %s means %j, 3.1.1.4.19', (text, expected) => {
  expect(parse([['_id', text]]).filters).toEqual([{ kind: 'id', ids: expected }])
})

test('prefixes are read from the value, eq when there is none', () => {
  const prefixes = ['eq', 'ne', 'gt', 'lt', 'ge', 'le', 'sa', 'eb']
  for (const prefix of prefixes)
    expect(parse([['date', `${prefix}2026-03`]]).filters).toMatchObject([
      { values: [{ prefix, from: '2026-03-01T00:00:00Z', to: '2026-04-01T00:00:00Z' }] },
    ])
  expect(parse([['date', '2026']]).filters).toMatchObject([{ values: [{ prefix: 'eq' }] }])
})

test('used parameters are those that were really used, in the order sent', () => {
  const query = parse([
    ['code', 'a'],
    ['bogus', 'x'],
    ['_format', 'json'],
    ['status', ''],
    ['_count', '3'],
    ['code', 'b'],
  ])

  expect(query.used).toEqual([
    ['code', 'a'],
    ['_count', '3'],
    ['code', 'b'],
  ])
  expect(query.filters).toHaveLength(2)
})

test.each([
  [[], 50],
  [[['_count', '0']], 0],
  [[['_count', '200']], 200],
  [[['_count', '201']], 200],
] as [[string, string][], number][])('%j gives pages of %i', (pairs, count) => {
  expect(parse(pairs).count).toBe(count)
})

test('every fault is named at once', () => {
  expect(
    faultsOf(
      [
        ['date', 'May'],
        ['code:text', 'x'],
        ['_count', '-1'],
        ['_cursor', 'x'],
        ['bogus', '1'],
        ['status', 'a\\b'],
      ],
      'strict',
    ),
  ).toEqual([
    'http.date',
    'http."code:text"',
    'http._count',
    'http._cursor',
    'http.bogus',
    'http.status',
  ])
})

test('a cursor is read as it was written, and no other text is one', () => {
  const cursor = { updatedAt: '2026-03-02T09:00:00.000Z', id: 'a-1' }

  expect(parse([['_cursor', writeCursor(cursor)]]).cursor).toEqual(cursor)
  for (const text of [
    '0000-01-01T00:00:00.000Z~a',
    '2026-99-01T00:00:00.000Z~a',
    'x',
    "2026-03-02T09:00:00.000Z~'",
  ])
    expect(faultsOf([['_cursor', Buffer.from(text).toString('base64url')]])).toEqual([
      'http._cursor',
    ])
})

test('whatever is asked, there is a query or a list of faults', () => {
  const name = fc.oneof(
    fc.constantFrom('code', 'date', 'patient', 'patient:Patient', '_id', '_count', '_cursor'),
    fc.string(),
  )
  fc.assert(
    fc.property(fc.array(fc.tuple(name, fc.string({ unit: 'binary' }))), (pairs) => {
      expect(Array.isArray(faultsOf(pairs, 'strict'))).toBe(true)
    }),
    { numRuns: 500 },
  )
})
