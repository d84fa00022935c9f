import { assert, integer, property, tuple } from 'fast-check'
import { describe, expect, test } from 'vitest'
import { compareDecimals } from '../../src/fhir/decimal-order.ts'
import { type Findable, matches } from '../../src/fhir/matches.ts'
import { parseQuery } from '../../src/fhir/query.ts'
import { rowOf } from '../../src/fhir/registry.ts'
import { searchValues } from '../../src/fhir/search-values.ts'
import { searchCases } from '../helpers/search-cases.ts'

// The same cases as over HTTP, without a database; search-matches.test.ts compares the two at large.

const cases = searchCases()
const baseUrl = 'https://footing.example/fhir'
const reading = { handling: 'strict', baseUrl, now: '2026-03-02T09:00:00Z' } as const

const queryOf = (type: string, ...pairs: (readonly [string, string])[]) => {
  const row = rowOf(type)
  if (row === undefined) throw new Error(`${type} is not kept`)
  return parseQuery(row, pairs, reading)
}

const findable = (type: string, content: object, base = baseUrl): Findable => ({
  type,
  id: 'own',
  updatedAt: '2026-03-02T09:00:00.000Z',
  values: searchValues({ type, id: 'own', baseUrl: base }, content),
})

const isFound = (type: string, content: object, ...pairs: (readonly [string, string])[]) =>
  matches(queryOf(type, ...pairs), findable(type, content))

test.each(cases.date.cases)('date: $param against $value: $match', ({ param, value, match }) => {
  const content =
    typeof value === 'string' ? { effectiveDateTime: value } : { effectivePeriod: value }

  expect(isFound('Observation', content, ['date', param])).toBe(match)
})

test.each(cases.number.cases)(
  'number: $param against $value: $match',
  ({ param, value, match }) => {
    const content = { valueQuantity: { value } }

    expect(isFound('Observation', content, ['value-quantity', param])).toBe(match)
  },
)

// 3.1.1.4.10: in doubt without regard to case; code systems of R4 and UCUM are known to tell cases apart.
describe.each(['code', 'method'])('the case of a code: %s', (name) => {
  const UNKNOWN = 'http://a.example/cs'
  const ACT_CODES = 'http://terminology.hl7.org/CodeSystem/v3-ActCode'
  const ICD = 'http://hl7.org/fhir/sid/icd-10'
  const OBSERVATIONS = 'https://footing.example/fhir/CodeSystem/observation'
  const CASES: readonly [system: string | undefined, code: string, asked: string, boolean][] = [
    [UNKNOWN, 'Ab', 'aB', true],
    [UNKNOWN, 'Ab', `${UNKNOWN}|aB`, true],
    [UNKNOWN, 'ab', 'AB', true],
    [UNKNOWN, 'Ab', 'Ac', false],
    [ICD, 'q66.0', `${ICD}|Q66.0`, true],
    [ICD, 'Q66.0', 'q66.0', true],
    [undefined, 'Ab', '|aB', true],
    [undefined, 'Ab', 'aB', true],
    [ACT_CODES, 'Ab', `${ACT_CODES}|Ab`, true],
    [ACT_CODES, 'Ab', `${ACT_CODES}|ab`, false],
    [ACT_CODES, 'Ab', 'ab', false],
    [ACT_CODES, 'Ab', 'Ab', true],
    [ACT_CODES, 'ab', 'AB', false],
    [OBSERVATIONS, 'footLength', `${OBSERVATIONS}|footLength`, true],
    [OBSERVATIONS, 'footLength', `${OBSERVATIONS}|footlength`, false],
    [OBSERVATIONS, 'footLength', 'FOOTLENGTH', false],
  ]

  test.each(CASES)('%s, %s is asked for as %s: %j', (system, code, asked, match) => {
    const content = { [name]: { coding: [system === undefined ? { code } : { system, code }] } }

    expect(isFound('Observation', content, [name, asked])).toBe(match)
    expect(isFound('Observation', content, [`${name}:not`, asked])).toBe(!match)
  })

  test('a code that is longer than what the index keeps is compared without case too', () => {
    const content = { [name]: { coding: [{ code: 'Long'.repeat(100) }] } }

    expect(isFound('Observation', content, [name, 'lONG'.repeat(100)])).toBe(true)
    expect(isFound('Observation', content, [name, `${'lONG'.repeat(100)}x`])).toBe(false)
  })
})

test.each<[string, object, string, string, boolean]>([
  ['Patient', { identifier: [{ value: 'Ab' }] }, 'identifier', 'Ab', true],
  ['Patient', { identifier: [{ value: 'Ab' }] }, 'identifier', 'ab', false],
  ['Patient', { gender: 'female' }, 'gender', 'Female', false],
  [
    'Patient',
    { telecom: [{ system: 'email', value: 'A@a.example' }] },
    'email',
    'a@A.example',
    true,
  ],
  ['Questionnaire', { version: '1.A' }, 'version', '1.a', false],
])('%s %j by %s=%s: %j', (type, content, name, asked, match) => {
  expect(isFound(type, content, [name, asked])).toBe(match)
})

const UCUM = 'http://unitsofmeasure.org'

// 3.1.1.4.11: units of one dimension. The factors are those of UCUM; the search range is that of the digits.
test.each<[number, string, string, boolean]>([
  [12, 'mm', '1.2|cm', true],
  [12.4, 'mm', '1.2|cm', true],
  [11.5, 'mm', '1.2|cm', true],
  [12.5, 'mm', '1.2|cm', false],
  [11.4, 'mm', '1.2|cm', false],
  [0.012, 'm', '1.2|cm', true],
  [1.2, 'cm', '12|mm', true],
  [1.26, 'cm', '12|mm', false],
  [1, '[in_i]', '25.4|mm', true],
  [5.4, 'mg', '5.40e-3|g', true],
  [5.4, 'mg', '5.4|kg', false],
  [14, 'kg', 'gt13999|g', true],
  [14, 'kg', 'gt14000|g', false],
  [14, 'kg', 'ge14000|g', true],
  [7, 'd', '1|wk', true],
  [3, 'd', '1|wk', false],
  [1, 'wk', '7|d', true],
  [1, 'a', '12|mo', true],
  [1, 'a', 'gt365|d', true],
  [1, 'a', 'gt365.25|d', false],
  [1, 'a', 'ge365.25|d', true],
  [18, 'mo', 'lt1.5|a', false],
  [18, 'mo', 'le1.5|a', true],
  [50, '%', '0.5|1', true],
  [0.5, '1', '50|%', true],
  [30, 'deg', '30|deg', true],
  [12, 'mm', '12|kg', false],
  [12, 'mm', '12|mg', false],
  [12, 'mm', 'ne1.2|cm', false],
  [13, 'mm', 'ne1.2|cm', true],
  [13, 'kg', 'ne1.2|cm', false],
  [12, 'MM', '1.2|cm', false],
])('quantity: %d %s is found by %s: %j', (value, unit, asked, match) => {
  const quantity = { value, system: UCUM, code: unit }
  const component = { code: { coding: [{ code: 'x' }] }, valueQuantity: quantity }
  const [number = '', code = ''] = asked.split('|')
  const param = `${number}|${UCUM}|${code}`

  expect(isFound('Observation', { valueQuantity: quantity }, ['value-quantity', param])).toBe(match)
  expect(
    isFound('Observation', { component: [component] }, [
      'component-code-value-quantity',
      `x$${param}`,
    ]),
  ).toBe(match)
})

test('a quantity of no system, or of a unit that is not known, is compared with its own unit alone', () => {
  const isFoundBy = (quantity: object, asked: string) =>
    isFound('Observation', { valueQuantity: quantity }, ['value-quantity', asked])

  expect(isFoundBy({ value: 12, code: 'mm' }, `1.2|${UCUM}|cm`)).toBe(false)
  expect(isFoundBy({ value: 12, system: UCUM, code: 'mm' }, '1.2||cm')).toBe(false)
  expect(isFoundBy({ value: 12, system: UCUM, code: 'mm' }, '12||mm')).toBe(true)
  expect(isFoundBy({ value: 2, system: UCUM, code: 'N' }, `2|${UCUM}|N`)).toBe(true)
  expect(isFoundBy({ value: 2, system: UCUM, code: 'N' }, `2|${UCUM}|kN`)).toBe(false)
  expect(isFoundBy({ value: 12, system: UCUM, code: 'mm' }, `1.2|urn:other|cm`)).toBe(false)
})

test('both halves of a composite are compared as their systems have it', () => {
  const component = {
    code: { coding: [{ system: 'http://a.example/cs', code: 'Ab' }] },
    valueCodeableConcept: { coding: [{ system: 'http://hl7.org/fhir/own', code: 'Cd' }] },
  }
  const pair = (asked: string) =>
    isFound('Observation', { component: [component] }, ['component-code-value-concept', asked])

  expect(pair('aB$Cd')).toBe(true)
  expect(pair('http://a.example/cs|AB$http://hl7.org/fhir/own|Cd')).toBe(true)
  expect(pair('Ab$cd')).toBe(false)
  expect(pair('Ab$CD')).toBe(false)
})

describe.each(['code', 'method'])('token: %s', (name) => {
  const { value, absent, modifiers } = cases.token

  test.each(cases.token.cases)('$param: $match', ({ param, match }) => {
    expect(isFound('Observation', { [name]: value }, [name, param])).toBe(match)
  })

  test.each(modifiers)('$modifier $param: $match', ({ modifier, param, match }) => {
    expect(isFound('Observation', { [name]: value }, [`${name}${modifier}`, param])).toBe(match)
  })

  test.each(absent)('$modifier $param without a value: $match', ({ modifier, param, match }) => {
    expect(isFound('Observation', {}, [`${name}${modifier}`, param])).toBe(match)
  })
})

test.each(cases.string.cases)(
  'string: $param=$search against $value: $match',
  ({ param, search, value, match }) => {
    const name = param.startsWith('family') ? { family: value } : { given: [value] }

    expect(isFound('Patient', { name: [name] }, [param, search])).toBe(match)
  },
)

test.each(cases.quantity.cases)('quantity: $param: $match', ({ param, match }) => {
  const content = { valueQuantity: cases.quantity.value }

  expect(isFound('Observation', content, ['value-quantity', param])).toBe(match)
})

test.each(cases.reference.cases)(
  'reference: $param against $value: $match',
  ({ param, value, match }) => {
    const ours = (text: string) => text.replace(cases.reference.base, baseUrl)
    const content = { subject: { reference: ours(value) } }

    expect(isFound('Observation', content, ['patient', ours(param)])).toBe(match)
  },
)

test('all parameters must hold', () => {
  const content = { status: 'final', method: { coding: [{ code: 'a' }] } }

  expect(isFound('Observation', content, ['status', 'final'], ['method', 'a'])).toBe(true)
  expect(isFound('Observation', content, ['status', 'final'], ['method', 'b'])).toBe(false)
})

test('a search of another type finds nothing', () => {
  expect(matches(queryOf('Patient'), findable('Patient', {}))).toBe(true)
  expect(matches(queryOf('Patient'), findable('Observation', {}))).toBe(false)
})

test('a resource is found by its id and by when it was written, to the millisecond', () => {
  const found = (...pair: readonly [string, string]) => isFound('Patient', {}, pair)

  expect(found('_id', 'other,own')).toBe(true)
  expect(found('_id', 'other')).toBe(false)
  expect(found('_lastUpdated', '2026-03-02T09:00:00Z')).toBe(true)
  expect(found('_lastUpdated', 'gt2026-03-02T08:59:59.999Z')).toBe(true)
  expect(found('_lastUpdated', 'gt2026-03-02T09:00:00.000Z')).toBe(false)
  expect(found('_lastUpdated', 'lt2026-03-02')).toBe(false)
})

test('both halves of a composite are true of one component', () => {
  const component = [
    { code: { coding: [{ code: 'left' }] }, valueQuantity: { value: 10 } },
    { code: { coding: [{ code: 'right' }] }, valueQuantity: { value: 20 } },
  ]
  const name = 'component-code-value-quantity'

  expect(isFound('Observation', { component }, [name, 'left$10'])).toBe(true)
  expect(isFound('Observation', { component }, [name, 'left$20'])).toBe(false)
})

test('a composite of the resource itself is both halves', () => {
  const content = { code: { coding: [{ code: 'left' }] }, valueQuantity: { value: 10 } }

  expect(isFound('Observation', content, ['code-value-quantity', 'left$10'])).toBe(true)
  expect(isFound('Observation', content, ['code-value-quantity', 'left$11'])).toBe(false)
})

test('a chain is decided by whoever knows other resources, and refused when nobody does', () => {
  const query = queryOf('Observation', ['subject:Patient.name', 'anna'])
  const resource = findable('Observation', { subject: { reference: 'Patient/p' } })

  expect(() => matches(query, resource)).toThrow(/chain/)
  expect(matches(query, resource, () => true)).toBe(true)
  expect(matches(query, resource, ({ type }) => type === 'Group')).toBe(false)
  expect(() =>
    matches(queryOf('Patient', ['_has:Observation:patient:code', 'a']), findable('Patient', {})),
  ).toThrow(/has/)
})

test.each([
  ['0.10', '0.1', 0],
  ['1e2', '100', 0],
  ['-0', '0', 0],
  ['1e-245', '0', 1],
  ['9007199254740993', '9007199254740992', 1],
  ['-1.5', '-1.50001', 1],
  ['-Infinity', '-1e999', -1],
  ['Infinity', '1e999', 1],
  ['Infinity', 'Infinity', 0],
])('the decimal %s stands to %s as %d to 0', (a, b, order) => {
  expect(Math.sign(compareDecimals(a, b))).toBe(order)
  // Of zero too the other way round.
  expect(Math.sign(compareDecimals(b, a))).toBe(order === 0 ? 0 : -order)
})

test('decimals with as many places stand in the order of their whole numbers', () => {
  const whole = integer({ min: -100_000, max: 100_000 })
  assert(
    property(tuple(whole, whole, integer({ min: -300, max: 300 })), ([a, b, power]) => {
      expect(Math.sign(compareDecimals(`${a}e${power}`, `${b}e${power}`))).toBe(
        a === b ? 0 : Math.sign(a - b),
      )
    }),
  )
})

test('the halves of a composite may be written with their systems', () => {
  const related = (asked: string) =>
    isFound(
      'DocumentReference',
      { relatesTo: [{ code: 'replaces', target: { reference: 'DocumentReference/d1' } }] },
      ['relationship', asked],
    )
  const relations = 'http://hl7.org/fhir/document-relationship-type'

  expect(related('DocumentReference/d1$replaces')).toBe(true)
  expect(related(`d1$${relations}|replaces`)).toBe(true)
  expect(related(`${baseUrl}/DocumentReference/d1$${relations}|replaces`)).toBe(true)
  expect(related(`d2$${relations}|replaces`)).toBe(false)
  expect(related(`d1$${relations}|appends`)).toBe(false)
  expect(related(`d1$${relations}|Replaces`)).toBe(false)
  expect(related('Patient/d1$replaces')).toBe(false)
})
