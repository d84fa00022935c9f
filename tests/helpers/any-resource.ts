import {
  type Arbitrary,
  array,
  boolean,
  constant,
  constantFrom,
  oneof,
  option,
  record,
  tuple,
} from 'fast-check'

// Resources of a few words, so that a random search often finds one of them. They need not be valid: what is
// searched is what the index makes of them.

type Json = Readonly<Record<string, unknown>>

const maybe = <T>(of: Arbitrary<T>) => option(of, { nil: undefined })
const some = <T>(of: Arbitrary<T>) => maybe(array(of, { minLength: 1, maxLength: 3 }))

/** Without the members that are not there. */
const object = (members: Readonly<Record<string, Arbitrary<unknown>>>): Arbitrary<Json> =>
  record(members).map((made) =>
    Object.fromEntries(Object.entries(made).filter(([, value]) => value !== undefined)),
  )

const SYSTEMS = ['urn:s', 'urn:t', 'http://hl7.org/fhir/own'] as const
const UCUM = 'http://unitsofmeasure.org'
const CODES = ['a', 'b', 'A', 'a,b', 'a|b'] as const
const TEXTS = ['Anna', 'anna lena', 'ÄNNE', 'Björn', 'x%y_z', 'ΟΔΥΣΣΕΥΣ', 'a'.repeat(300)] as const
const DATES = [
  '2025',
  '2026',
  '2026-01',
  '2026-02',
  '2026-01-31',
  '2026-02-01',
  '2026-02-01T00:00:00Z',
  '2026-02-01T00:30:00+01:00',
  '2026-02-01T00:00:00.500Z',
] as const
const NUMBERS = [0, 99.5, 100, 100.4, 100.5, 101, -100, 1e-9] as const
const REFERENCES = [
  'Patient/p1',
  'Patient/p2',
  'Group/p1',
  'Practitioner/p1',
  'Observation/p1/_history/2',
  'https://footing.example/fhir/Patient/p2',
  'https://other.example/fhir/Patient/p1',
  '#p1',
] as const

const coding = object({
  system: maybe(constantFrom(...SYSTEMS)),
  code: maybe(constantFrom(...CODES)),
  display: maybe(constantFrom(...TEXTS)),
})
const concept = object({ coding: some(coding), text: maybe(constantFrom(...TEXTS)) })
const identifier = object({
  system: maybe(constantFrom(...SYSTEMS)),
  value: maybe(constantFrom(...CODES)),
  type: maybe(concept),
})
const reference = object({
  reference: maybe(constantFrom(...REFERENCES)),
  identifier: maybe(identifier),
})
const date = constantFrom(...DATES)
/** A start after its end is refused when it is written (per-1). */
const period = object({ start: maybe(date), end: maybe(date) }).filter(
  ({ start, end }) => !(Date.parse(String(start)) > Date.parse(String(end))),
)
const timing = object({ event: some(date) })
const quantity = object({
  value: maybe(constantFrom(...NUMBERS)),
  comparator: maybe(constantFrom('<', '>=')),
  system: maybe(constantFrom(...SYSTEMS, UCUM)),
  code: maybe(constantFrom('mm', 'cm', 'wk', 'd', 'Mm')),
  unit: maybe(constantFrom('mm', 'millimetre')),
})
const range = tuple(maybe(constantFrom(0, 100)), maybe(constantFrom(100.5, 101))).map(
  ([low, high]) => ({
    ...(low === undefined ? {} : { low: { value: low, code: 'a' } }),
    ...(high === undefined ? {} : { high: { value: high, code: 'a' } }),
  }),
)
const meta = object({
  profile: some(constantFrom('http://x.example/p', 'http://x.example/p|1', 'http://x.example/p/q')),
  tag: some(coding),
  source: maybe(constantFrom('urn:s', 'http://x.example/')),
})

/** One of a choice, under the name of its type. */
const choice = (name: string, types: Readonly<Record<string, Arbitrary<unknown>>>) =>
  oneof(
    constant({}),
    ...Object.entries(types).map(([type, value]) =>
      value.map((made) => ({ [`${name}${type}`]: made })),
    ),
  )

const component = tuple(
  object({ code: maybe(concept) }),
  choice('value', { Quantity: quantity, CodeableConcept: concept }),
).map(([head, value]) => ({ ...head, ...value }))

const observation = tuple(
  object({
    meta: maybe(meta),
    status: maybe(constantFrom('final', 'preliminary')),
    code: maybe(concept),
    category: some(concept),
    subject: maybe(reference),
    performer: some(reference),
    derivedFrom: some(reference),
    identifier: some(identifier),
    component: some(component),
  }),
  choice('effective', { DateTime: date, Period: period, Timing: timing }),
  choice('value', {
    Quantity: quantity,
    CodeableConcept: concept,
    String: constantFrom(...TEXTS),
    DateTime: date,
    Period: period,
  }),
).map((parts) => Object.assign({ resourceType: 'Observation' }, ...parts) as Json)

const patient = tuple(
  object({
    meta: maybe(meta),
    active: maybe(boolean()),
    gender: maybe(constantFrom('female', 'other')),
    birthDate: maybe(date),
    identifier: some(identifier),
    telecom: some(
      object({
        system: maybe(constantFrom('phone', 'email')),
        value: maybe(constantFrom(...CODES)),
      }),
    ),
    name: some(
      object({ family: maybe(constantFrom(...TEXTS)), given: some(constantFrom(...TEXTS)) }),
    ),
    link: some(object({ other: maybe(reference) })),
  }),
  choice('deceased', { Boolean: boolean(), DateTime: date }),
).map((parts) => Object.assign({ resourceType: 'Patient' }, ...parts) as Json)

const questionnaire = object({
  resourceType: constant('Questionnaire'),
  url: maybe(
    constantFrom('http://x.example', 'http://x.example/p', 'http://x.example/pq', 'urn:s'),
  ),
  date: maybe(date),
  derivedFrom: some(constantFrom('http://x.example/p|1', 'http://x.example/p')),
  useContext: some(
    tuple(
      object({ code: maybe(coding) }),
      choice('value', { Quantity: quantity, Range: range, CodeableConcept: concept }),
    ).map(([head, value]) => ({ ...head, ...value })),
  ),
})

const documentReference = object({
  resourceType: constant('DocumentReference'),
  subject: maybe(reference),
  relatesTo: some(
    object({ code: maybe(constantFrom('replaces', 'appends')), target: maybe(reference) }),
  ),
})

export const anyResource: Arbitrary<Json> = oneof(
  { arbitrary: observation, weight: 4 },
  { arbitrary: patient, weight: 2 },
  { arbitrary: questionnaire, weight: 1 },
  { arbitrary: documentReference, weight: 1 },
)

const escaped = (text: string) => text.replaceAll(/[\\,|$]/g, '\\$&')
const PREFIXES = ['', 'eq', 'ne', 'gt', 'lt', 'ge', 'le', 'sa', 'eb', 'ap'] as const
const prefixed = <T>(of: Arbitrary<T>) =>
  tuple(constantFrom(...PREFIXES), of).map(([prefix, text]) => `${prefix}${String(text)}`)

const tokenText = tuple(
  constantFrom('', '|', 'urn:s|', 'urn:t|'),
  constantFrom(...CODES.map(escaped)),
).map((parts) => parts.join(''))
const token = oneof(tokenText, constantFrom('urn:s|', 'urn:t|'))
const status = constantFrom('final', 'urn:s|final', '|preliminary', 'urn:s|', 'female')
const truth = constantFrom('true', 'false', 'http://hl7.org/fhir/special-values|true', 'urn:s|true')
const dateText = prefixed(constantFrom(...DATES, '2026-02-01T00:00Z'))
const quantityText = prefixed(
  tuple(
    constantFrom('0', '99.5', '100', '100.5', '1e2', '100.0', '-100', '0.000000001'),
    constantFrom('', '||mm', '|urn:s|mm', '||millimetre', '|urn:s|'),
  ).map((parts) => parts.join('')),
)
const referenceText = constantFrom(...REFERENCES.filter((one) => !one.startsWith('#')), 'p1', 'p2')
const stringText = constantFrom('an', 'Anna', 'ÄNNE', 'x%', 'x_y', 'ΟΔΥΣΣΕΥΣ', 'a'.repeat(280), 'z')
const uriText = constantFrom('http://x.example/p', 'http://x.example', 'http://x.example/p/q/r')
const joined = (first: Arbitrary<string>, second: Arbitrary<string>) =>
  tuple(first, second).map((halves) => halves.join('$'))

const forms = (type: string, name: string, modifiers: readonly string[], text: Arbitrary<string>) =>
  tuple(
    constantFrom('', ...modifiers),
    oneof(
      { arbitrary: text, weight: 4 },
      {
        arbitrary: array(text, { minLength: 2, maxLength: 3 }).map((all) => all.join(',')),
        weight: 1,
      },
    ),
  ).map(([modifier, value]) => ({ type, name: `${name}${modifier}`, value }))

const missing = (type: string, names: readonly string[]) =>
  tuple(constantFrom(...names), constantFrom('true', 'false')).map(([name, value]) => ({
    type,
    name: `${name}:missing`,
    value,
  }))

const ofType = constantFrom('urn:s|a|b', '|a|a', 'urn:t|b|a\\,b')

/** A parameter of a type with one of its modifiers and a value that may find something. */
export const anyParameter = oneof(
  forms('Observation', 'code', [':not'], token),
  forms('Observation', 'code', [':text'], stringText),
  forms('Observation', 'combo-code', [':not'], token),
  forms('Observation', 'category', [':not'], token),
  forms('Observation', 'status', [':not'], status),
  forms('Observation', 'identifier', [':not'], token),
  forms('Observation', 'identifier', [':of-type'], ofType).filter(({ name }) => name.includes(':')),
  forms('Observation', 'subject', [':Patient', ':Group'], referenceText),
  forms('Observation', 'patient', [], referenceText),
  forms('Observation', 'performer', [':Practitioner'], referenceText),
  forms('Observation', 'subject', [':identifier'], token).filter(({ name }) => name.includes(':')),
  forms('Observation', 'derived-from', [], referenceText),
  forms('Observation', 'date', [], dateText),
  forms('Observation', 'value-date', [], dateText),
  forms('Observation', '_lastUpdated', [], dateText),
  forms('Observation', 'value-quantity', [], quantityText),
  forms('Observation', 'combo-value-quantity', [], quantityText),
  forms('Observation', 'value-concept', [':not'], token),
  forms('Observation', 'value-string', [':contains', ':exact'], stringText),
  forms('Observation', '_tag', [':not'], token),
  forms('Observation', '_profile', [':below', ':above'], uriText),
  forms('Observation', '_source', [':below'], uriText),
  forms('Observation', 'code-value-quantity', [], joined(tokenText, quantityText)),
  forms('Observation', 'combo-code-value-quantity', [], joined(tokenText, quantityText)),
  forms('Observation', 'component-code-value-concept', [], joined(tokenText, tokenText)),
  missing('Observation', ['code', 'status', 'subject', 'patient', 'date', 'value-quantity']),
  missing('Observation', ['performer', 'category', '_profile', 'value-string', '_id']),
  forms('Patient', 'name', [':contains', ':exact'], stringText),
  forms('Patient', 'family', [':contains', ':exact'], stringText),
  forms('Patient', 'birthdate', [], dateText),
  forms('Patient', 'active', [':not'], truth),
  forms('Patient', 'deceased', [':not'], truth),
  forms('Patient', 'gender', [':not'], status),
  forms('Patient', 'phone', [':not'], constantFrom('a', 'b')),
  forms('Patient', 'telecom', [], constantFrom('a', 'b')),
  forms('Patient', 'link', [':Patient'], referenceText),
  missing('Patient', ['name', 'birthdate', 'active', 'link', 'telecom']),
  forms('Questionnaire', 'url', [':below', ':above'], uriText),
  forms('Questionnaire', 'context-quantity', [], quantityText),
  forms('Questionnaire', 'context-type-quantity', [], joined(tokenText, quantityText)),
  forms('Questionnaire', 'context-type-value', [], joined(tokenText, tokenText)),
  missing('Questionnaire', ['url', 'date', 'context-quantity']),
  forms('DocumentReference', 'patient', [], referenceText),
  forms('DocumentReference', 'relatesto', [':Patient'], referenceText),
  forms(
    'DocumentReference',
    'relationship',
    [],
    joined(referenceText, constantFrom('replaces', 'appends')),
  ),
)
export type Parameter = { readonly type: string; readonly name: string; readonly value: string }
