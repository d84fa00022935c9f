import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { AppError } from '../../src/errors.ts'
import { parseCondition, parseQuery, type Query, typesTouched } from '../../src/fhir/query.ts'
import { rowOf } from '../../src/fhir/registry.ts'

const row = rowOf('Observation')
if (row === undefined) throw new Error('Observation is kept')
const baseUrl = 'https://footing.example/fhir'
const now = '2026-03-02T09:00:00Z'
const parse = (pairs: [string, string][], handling: 'strict' | 'lenient' = 'lenient') =>
  parseQuery(row, pairs, { handling, baseUrl, now })
const filtersOf = ({ searches }: Query) => searches.flatMap(({ filters }) => filters)
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
  // Nothing says that this system tells cases apart, so none is told (R4 3.1.1.4.10).
  ['s|X', { system: 's', code: 'x' }],
  ['|X', { system: '', code: 'x' }],
  ['s|', { system: 's' }],
  ['a\\|b', { code: 'a|b' }],
  ['a\\|b|c', { system: 'a|b', code: 'c' }],
  ['s|a|b', { system: 's', code: 'a|b' }],
])('the token %s is %j', (text, expected) => {
  expect(filtersOf(parse([['code', text]]))).toMatchObject([{ kind: 'token', values: [expected] }])
})

test.each([
  ['a,b', ['a', 'b']],
  ['a\\,b', ['a,b']],
  ['xx\\$xx', ['xx$xx']],
  ['xx\\\\xx', ['xx\\xx']],
  [',a,,', ['a']],
  [',', []],
])('the value %s means %j, 3.1.1.4.19', (text, expected) => {
  expect(filtersOf(parse([['_id', text]]))).toEqual([{ kind: 'id', ids: expected }])
})

test('prefixes are read from the value, eq when there is none', () => {
  const prefixes = ['eq', 'ne', 'gt', 'lt', 'ge', 'le', 'sa', 'eb']
  for (const prefix of prefixes)
    expect(filtersOf(parse([['date', `${prefix}2026-03`]]))).toMatchObject([
      { values: [{ prefix, from: '2026-03-01T00:00:00Z', to: '2026-04-01T00:00:00Z' }] },
    ])
  expect(filtersOf(parse([['date', '2026']]))).toMatchObject([{ values: [{ prefix: 'eq' }] }])
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
  expect(filtersOf(query)).toHaveLength(2)
  expect(query.ignored).toEqual(['bogus'])
})

test.each([
  [[], 50],
  [[['_count', '0']], 0],
  [[['_count', '200']], 200],
  [[['_count', '201']], 200],
  [[['_count', '99999999999999999999']], 200],
] as [[string, string][], number][])('%j gives pages of %i', (pairs, count) => {
  expect(parse(pairs).count).toBe(count)
})

test('used is the page that is served and of repeated controls the last, 3.1.1.6', () => {
  const usedOf = (...pairs: [string, string][]) => parse(pairs).used

  expect(usedOf(['_count', '1001'])).toEqual([['_count', '200']])
  expect(usedOf(['_count', '1'], ['code', 'a'], ['_count', '3'])).toEqual([
    ['code', 'a'],
    ['_count', '3'],
  ])
  expect(usedOf(['_summary', 'count'], ['_count', '5'])).toEqual([
    ['_summary', 'count'],
    ['_count', '5'],
  ])
  expect(usedOf(['code', 'a'], ['code', 'a'])).toHaveLength(2)
})

test('every fault is named at once', () => {
  expect(
    faultsOf(
      [
        ['date', 'May'],
        ['code:above', 'x'],
        ['_count', '-1'],
        ['_sort', 'x'],
        ['bogus', '1'],
        ['status', 'a\\b'],
      ],
      'strict',
    ),
  ).toEqual([
    'http.date',
    'http."code:above"',
    'http._count',
    'http._sort',
    'http.bogus',
    'http.status',
  ])
})

test.each(['a"b', 'a\u0000', 'Max Muster', '\ud800'])(
  'the name %j, which no parameter could have, is not repeated in an expression',
  (name) => {
    expect(faultsOf([[name, '1']], 'strict')).toEqual(['http.query'])
  },
)

test.each([
  ['100', '995e-1', '1005e-1'],
  ['100.00', '99995e-3', '100005e-3'],
  ['1e2', '95', '105'],
  ['5.4e-3', '0.00535', '0.00545'],
  ['100.5E0', '100.45', '100.55'],
  ['-5.4', '-545e-2', '-535e-2'],
  ['0.8', '75e-2', '85e-2'],
])('the number %s reaches from %s up to %s, 3.1.1.4.6', (text, from, to) => {
  const [filter] = filtersOf(parse([['value-quantity', text]]))
  const [value] = filter?.kind === 'quantity' ? filter.values : []

  expect([Number(value?.from), Number(value?.to)]).toEqual([Number(from), Number(to)])
})

test.each(['x', '1e', '--1', '1|2', '5|s|c|d', '1e9999', ''])(
  'the quantity %j is refused or ignored',
  (text) => {
    expect(faultsOf([['value-quantity', text]])).toEqual(
      text === '' ? [] : ['http."value-quantity"'],
    )
  },
)

test('ap is a tenth of the time to now, either way', () => {
  expect(filtersOf(parse([['date', 'ap2026-02-20']]))).toMatchObject([
    { values: [{ prefix: 'ap', from: '2026-02-18T23:06:00Z', to: '2026-02-22T00:54:00Z' }] },
  ])
})

test('ap is a tenth of a number, either way', () => {
  expect(filtersOf(parse([['value-quantity', 'ap50']]))).toMatchObject([
    { values: [{ prefix: 'ap', from: '450e-1', to: '550e-1' }] },
  ])
})

test.each([
  ['patient.name', 'x', ['Observation', 'Patient']],
  ['subject:Patient.name', 'x', ['Observation', 'Patient']],
  [
    'patient.general-practitioner:Practitioner.name',
    'x',
    ['Observation', 'Patient', 'Practitioner'],
  ],
  ['_has:Provenance:target:recorded', '2026', ['Observation', 'Provenance']],
  ['_has:Observation:derived-from:patient.name', 'x', ['Observation', 'Patient']],
])('%s looks into %j', (name, value, types) => {
  const touched = typesTouched(parse([[name, value]]))

  expect(touched.map(({ type }) => type)).toEqual(types)
  expect(new Set(touched.map(({ letter }) => letter))).toEqual(new Set(['s']))
})

test('what may come along is only read', () => {
  const query = parse([
    ['_include', 'Observation:patient'],
    ['_revinclude:iterate', 'Provenance:target'],
  ])

  expect(typesTouched(query)).toEqual([
    { type: 'Observation', letter: 's' },
    { type: 'Patient', letter: 'r' },
    { type: 'Provenance', letter: 'r' },
  ])
})

test.each([
  'patient.bogus',
  'subject:Practitioner.name',
  'code.text',
  'patient.name.family',
  '_has:Bogus:patient:code',
  '_has:Observation:code:code',
  '_has:Observation:patient:code',
  '_has:Provenance:target:bogus',
  'derived-from.derived-from.derived-from.derived-from.derived-from.code',
])('%s is refused, also where unknown parameters are ignored', (name) => {
  expect(faultsOf([[name, 'x']])).toHaveLength(1)
})

test('too much is refused, not tried', () => {
  const many = Array.from({ length: 201 }, (_one, index) => `c${index}`).join(',')

  expect(faultsOf([['code', many]])).toEqual(['http.code'])
  expect(faultsOf(Array.from({ length: 61 }, () => ['code', 'x']))).toEqual([''])
  expect(faultsOf([['_sort', 'date,date,date,date,date,date']])).toEqual(['http._sort'])
})

test('a condition has filters that are known, and at least one', () => {
  const conditionOf = (pairs: [string, string][]) => () =>
    parseCondition(row, pairs, { baseUrl, now })

  expect(filtersOf(conditionOf([['code', 'x']])())).toHaveLength(1)
  for (const pairs of [
    [],
    [['code', '']],
    [['bogus', 'x']],
    [
      ['code', 'x'],
      ['_sort', 'date'],
    ],
    [
      ['code', 'x'],
      ['_include', 'Observation:patient'],
    ],
  ] as [string, string][][])
    expect(conditionOf(pairs), JSON.stringify(pairs)).toThrow(AppError)
})

test('whatever is asked, there is a query or a list of faults', () => {
  const name = fc.oneof(
    fc.constantFrom(
      'code',
      'date',
      'patient',
      'patient:Patient',
      '_id',
      '_count',
      '_cursor',
      '_sort',
      'value-quantity',
      'code-value-quantity',
      'patient.name',
      '_include',
      '__proto__',
    ),
    fc.string(),
  )
  fc.assert(
    fc.property(fc.array(fc.tuple(name, fc.string({ unit: 'binary' }))), (pairs) => {
      expect(Array.isArray(faultsOf(pairs, 'strict'))).toBe(true)
    }),
    { numRuns: 500 },
  )
})
