import { expect, test } from 'vitest'
import { AppError } from '../../src/errors.ts'
import { parameterPairs } from '../../src/fhir/parameter-pairs.ts'

const parameters = (...parameter: readonly unknown[]) => ({
  resourceType: 'Parameters',
  parameter,
})

test('simple values are read as a query would have them, in their order', () => {
  const body = parameters(
    { name: '_type', valueString: 'Patient,Task' },
    { name: '_count', valueInteger: 10 },
    { name: '_since', valueInstant: '2026-03-02T09:00:00Z' },
    { name: '_type', valueCode: 'Condition' },
    { name: '_pretty', valueBoolean: false },
  )

  expect(parameterPairs(body)).toEqual([
    ['_type', 'Patient,Task'],
    ['_count', '10'],
    ['_since', '2026-03-02T09:00:00Z'],
    ['_type', 'Condition'],
    ['_pretty', 'false'],
  ])
})

test.each([
  ['a reference without a target', { name: 'patient', valueReference: { display: 'Somebody' } }],
  ['a quantity', { name: 'patient', valueQuantity: { value: 1, unit: 'mm' } }],
  ['a resource', { name: 'patient', resource: { resourceType: 'Patient' } }],
  ['parts', { name: 'patient', part: [] }],
  ['no value', { name: 'patient' }],
])('%s keeps its name, with a value that nobody takes', (_, one) => {
  expect(parameterPairs(parameters(one))).toEqual([['patient', '?']])
})

test.each([
  ['a reference', { valueReference: { reference: 'Patient/1' } }, 'Patient/1'],
  ['a coding', { valueCoding: { system: 'urn:s', code: 'c' } }, 'urn:s|c'],
  ['a coding without a system', { valueCoding: { code: 'c' } }, 'c'],
  [
    'a concept, each coding a token',
    { valueCodeableConcept: { coding: [{ system: 'urn:s', code: 'c' }, { code: 'd' }] } },
    'urn:s|c,d',
  ],
])('%s is said as a query says it', (_, value, said) => {
  expect(parameterPairs(parameters({ name: 'subject', ...value }))).toEqual([['subject', said]])
})

test('a Parameters resource may be without any', () => {
  expect(parameterPairs({ resourceType: 'Parameters' })).toEqual([])
})

test.each([
  ['nothing', undefined, 'Parameters'],
  ['null', null, 'Parameters'],
  ['another resource', { resourceType: 'Patient', parameter: [] }, 'Parameters'],
  ['a list', [parameters()], 'Parameters'],
  ['no list of parameters', { ...parameters(), parameter: {} }, 'Parameters.parameter'],
  ['a parameter that is a text', parameters('a'), 'Parameters.parameter[0].name'],
  ['a second one without a name', parameters({ name: 'a' }, {}), 'Parameters.parameter[1].name'],
])('%s is refused', (_, body, expression) => {
  const failure = (() => {
    try {
      return parameterPairs(body)
    } catch (error) {
      return error
    }
  })()

  expect(failure).toBeInstanceOf(AppError)
  expect(failure).toMatchObject({ status: 400, faults: [{ expression }] })
})
