import { assert, property, string } from 'fast-check'
import { expect, test } from 'vitest'
import { decimal } from '../../src/fhir/decimal.ts'
import { folded, indexed } from '../../src/fhir/search-text.ts'
import { searchValues } from '../../src/fhir/search-values.ts'

const baseUrl = 'https://footing.example/fhir'
const values = (type: string, resource: object) =>
  searchValues({ type, id: 'own', baseUrl }, resource)

test('strings: names are folded, and every part is found', () => {
  const { strings } = values('Patient', {
    name: [{ family: 'Müller', given: ['Zoë', 'ÉVA'] }, { family: 'Müller' }],
  })

  expect(strings).toEqual([
    { path: 'name.family', value: 'muller', exact: 'Müller' },
    { path: 'name.given', value: 'zoe', exact: 'Zoë' },
    { path: 'name.given', value: 'eva', exact: 'ÉVA' },
  ])
})

test('strings: text is compared up to the same length on both sides', () => {
  const long = 'a'.repeat(5_000)

  expect(values('Patient', { name: [{ family: long }] }).strings[0]?.value).toBe(folded(long))
  expect(folded(long)).toHaveLength(256)
  expect(indexed(long).length).toBeLessThan(257)
  expect(indexed(long)).not.toBe(indexed(`${long}b`))
})

test('strings: what a text begins with, it begins with when folded', () => {
  const text = string({ unit: 'binary', maxLength: 60 })
  assert(
    property(text, text, (start, rest) => {
      expect(folded(start + rest).startsWith(folded(start))).toBe(true)
    }),
  )
  // The sigma at the end of a Greek word is another letter in lower case than the one within it.
  expect(folded('ΟΔΥΣΣΕΥΣ Α').startsWith(folded('ΟΔΥΣΣΕΥΣ'))).toBe(true)
  expect(folded('ΟΔΥΣΣΕΥΣΑ').startsWith(folded('ΟΔΥΣΣΕΥΣ'))).toBe(true)
})

test('strings: folding knows neither case nor accents', () => {
  assert(
    property(string({ maxLength: 60 }), (text) => {
      expect(folded(text.toUpperCase())).toBe(folded(text))
    }),
  )
  expect(folded('Ångström, İstanbul')).toBe('angstrom, istanbul')
  expect(folded('Groß')).toBe(folded('GROSS'))
  // Letters with a stroke have no accent that could be taken off; keyboards without them write these.
  expect(folded('Łódź, Đorđe, Ærø, Ħal')).toBe('lodz, dorde, aero, hal')
  expect(folded('IŞIK')).toBe(folded('ışık'))
})

// R4 3.1.1.4.8 recommends it of double family names.
test.each([
  ['Smith-Jones', ['jones']],
  ['Carreno Quiñones', ['quinones']],
  ['de la  Cruz–Löw', ['la  cruz–low', 'cruz–low', 'low']],
  ['-', []],
  ['Jones ', []],
  ['O’Hara', []],
  [
    'a '.repeat(500),
    Array.from({ length: 8 }, (_, index) => 'a '.repeat(499 - index).slice(0, 256)),
  ],
])('strings: %j is found by each of its parts', (family, parts) => {
  const { strings } = values('Patient', { name: [{ family, given: ['Ann-Lee'] }] })

  const at = (path: string) => strings.filter((row) => row.path === path).map(({ value }) => value)
  expect(at('name.family')).toEqual([folded(family)])
  expect(at('name.family:part')).toEqual(parts)
  expect(at('name.given')).toEqual(['ann-lee'])
})

test('tokens: a code, a Coding, an Identifier and a telephone number each have their own system', () => {
  expect(
    values('Patient', {
      gender: 'female',
      active: true,
      telecom: [{ system: 'phone', value: '555' }, { system: 'email' }],
      identifier: [{ system: 'urn:s', value: 'v' }],
    }).tokens,
  ).toEqual(
    expect.arrayContaining([
      { path: 'gender', system: '', code: 'female' },
      { path: 'active', system: '', code: 'true' },
      { path: 'telecom', system: '', code: '555' },
      { path: 'telecom[system=phone]', system: '', code: '555' },
      { path: 'identifier', system: 'urn:s', code: 'v' },
    ]),
  )
})

test('tokens: a telephone number is found by phone and not by email', () => {
  const paths = values('Patient', { telecom: [{ system: 'phone', value: '555' }] }).tokens.map(
    ({ path }) => path,
  )

  expect(paths).toContain('telecom[system=phone]')
  expect(paths).not.toContain('telecom[system=email]')
})

test('tokens: a Coding is found by its system alone', () => {
  expect(values('Observation', { method: { coding: [{ system: 'urn:s' }, {}] } }).tokens).toEqual([
    { path: 'method', system: 'urn:s', code: '' },
  ])
})

test('tokens: :of-type is the type of an identifier with its value', () => {
  const type = { text: 'Record', coding: [{ system: 'urn:t', code: 'MR' }] }

  const { tokens, strings } = values('Patient', { identifier: [{ type, value: '1' }, { type }] })

  expect(tokens).toEqual([
    { path: 'identifier', system: '', code: '1' },
    { path: 'identifier:of-type', system: 'urn:t|MR', code: '1' },
  ])
  expect(strings).toEqual([{ path: 'identifier:text', value: 'record', exact: 'Record' }])
})

test('tokens: :text is the text and every display', () => {
  const method = { text: 'By Eye', coding: [{ code: 'a', display: 'Inspection' }] }

  expect(values('Observation', { method }).strings).toEqual([
    { path: 'method:text', value: 'by eye', exact: 'By Eye' },
    { path: 'method:text', value: 'inspection', exact: 'Inspection' },
  ])
})

test('tokens: somebody is deceased by a date or by a yes', () => {
  expect(values('Patient', { deceasedDateTime: '2026' }).tokens).toEqual([
    { path: 'deceasedDateTime', system: '', code: 'true' },
  ])
  expect(values('Patient', { deceasedBoolean: false }).tokens).toEqual([
    { path: 'deceasedBoolean', system: '', code: 'false' },
  ])
})

test.each([
  ['Practitioner/p', 'Practitioner', 'p'],
  [`${baseUrl}/Practitioner/p`, 'Practitioner', 'p'],
  ['Practitioner/p/_history/3', 'Practitioner', 'p'],
])('references: %s is a resource of ours', (reference, targetType, targetId) => {
  const found = values('Observation', { performer: [{ reference }] })

  expect(found.references).toEqual([{ path: 'performer', targetType, targetId }])
  expect(found.uris).toEqual([])
})

test('references: what leads elsewhere is found by its URL', () => {
  const reference = 'https://other.example/fhir/Practitioner/p'

  const found = values('Observation', { performer: [{ reference }] })

  expect(found.references).toEqual([])
  expect(found.uris).toEqual([{ path: 'performer', value: reference, version: '' }])
})

test('references: one that names nobody, or somebody inside its own resource, is a value', () => {
  const performer = [{ display: 'Somebody' }, { reference: '#inside' }]

  expect(values('Observation', { performer }).uris).toEqual([
    { path: 'performer', value: '', version: '' },
    { path: 'performer', value: '#inside', version: '' },
  ])
})

test('references: an identifier in place of a reference is found by :identifier', () => {
  const identifier = { system: 'urn:s', value: 'v', type: { coding: [{ code: 'NPI' }] } }

  expect(values('Observation', { performer: [{ identifier }] }).tokens).toEqual([
    { path: 'performer:identifier', system: 'urn:s', code: 'v' },
  ])
})

test('references: a canonical is a URL with its version apart, and a resource of ours below our base', () => {
  const found = values('QuestionnaireResponse', {
    questionnaire: `${baseUrl}/Questionnaire/q`,
    meta: { profile: ['urn:x|1.0'] },
  })

  expect(found.uris).toEqual(
    expect.arrayContaining([
      { path: 'questionnaire', value: `${baseUrl}/Questionnaire/q`, version: '' },
      { path: 'meta.profile', value: 'urn:x', version: '1.0' },
    ]),
  )
  expect(found.references).toEqual([
    { path: 'questionnaire', targetType: 'Questionnaire', targetId: 'q' },
  ])
})

const quantity = (valueQuantity: object) =>
  values('Observation', { valueQuantity }).quantities.map(({ path, ...rest }) => rest)

test('quantities: a number is a point, a comparator opens one end', () => {
  const unit = { system: 'http://unitsofmeasure.org', code: 'mm', unit: 'millimetre' }

  expect(quantity({ value: decimal('5.40'), ...unit })).toEqual([
    { low: '5.40', high: '5.40', ...unit },
  ])
  expect(quantity({ value: 5, comparator: '<', ...unit })).toEqual([
    { low: '-Infinity', high: '5', ...unit },
  ])
  expect(quantity({ value: 5, comparator: '>=', ...unit })).toEqual([
    { low: '5', high: 'Infinity', ...unit },
  ])
  expect(quantity({ code: 'mm' })).toEqual([])
})

test('quantities: a number out of all measure is not indexed', () => {
  expect(quantity({ value: decimal('1e999') })).toHaveLength(1)
  expect(quantity({ value: decimal('1e1001') })).toEqual([])
  expect(quantity({ value: decimal(`1.${'0'.repeat(1_000)}`) })).toEqual([])
})

test('quantities: a range has two ends, one that is not given is open', () => {
  const bounds = (valueRange: object) =>
    values('Questionnaire', { useContext: [{ code: { code: 'age' }, valueRange }] }).quantities.map(
      ({ low, high, code }) => [low, high, code],
    )

  expect(bounds({ low: { value: 1, code: 'a' }, high: { value: 5 } })).toEqual([['1', '5', 'a']])
  expect(bounds({ high: { value: 5, code: 'a' } })).toEqual([['-Infinity', '5', 'a']])
  expect(bounds({ low: { value: 1, code: 'a' } })).toEqual([['1', 'Infinity', 'a']])
})

test('dates: a Timing spans its outer limits', () => {
  expect(
    values('Observation', { effectiveTiming: { event: ['2026-03-02', '2026-01-01'] } }).date,
  ).toEqual({ from: '2026-01-01T00:00:00Z', to: '2026-03-03T00:00:00Z' })
  expect(
    values('Observation', {
      effectiveTiming: { repeat: { boundsPeriod: { start: '2026-01', end: '2026-02' } } },
    }).date,
  ).toEqual({ from: '2026-01-01T00:00:00Z', to: '2026-03-01T00:00:00Z' })
})
