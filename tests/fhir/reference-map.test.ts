import { expect, test } from 'vitest'
import { DecimalText } from '../../src/fhir/decimal.ts'
import { referencesIn, withReferences } from '../../src/fhir/reference-map.ts'

const PATIENT = 'urn:uuid:11111111-1111-4111-8111-111111111111'
const kept = new Map([
  [PATIENT, { place: 'Patient/p', version: 1 }],
  ['https://practice.example/fhir/Patient/7', { place: 'Patient/q', version: 4 }],
  ['https://ours.example/fhir/Patient/r', { place: 'Patient/r' }],
])
const mapped = (elements: object, fullUrl?: string): object =>
  withReferences({ resourceType: 'Basic', ...elements }, kept, fullUrl)

test('every literal reference is found with its path', () => {
  const found = referencesIn(
    {
      subject: { reference: 'Patient/a', display: 'x' },
      performer: [{ display: 'y' }, { reference: '#z' }],
      contained: [{ extension: [{ valueReference: { reference: 'Group/b' } }] }],
      valueDecimal: new DecimalText('1.0'),
    },
    'Observation',
  )

  expect(found).toEqual([
    { expression: 'Observation.subject.reference', reference: 'Patient/a' },
    { expression: 'Observation.performer[1].reference', reference: '#z' },
    {
      expression: 'Observation.contained[0].extension[0].valueReference.reference',
      reference: 'Group/b',
    },
  ])
})

test.each([
  [{ subject: { reference: PATIENT } }, { subject: { reference: 'Patient/p' } }],
  [{ valueUri: PATIENT }, { valueUri: 'Patient/p' }],
  [{ instantiatesUri: [PATIENT, 'x'] }, { instantiatesUri: ['Patient/p', 'x'] }],
  [{ policy: [{ uri: PATIENT }] }, { policy: [{ uri: 'Patient/p' }] }],
  [{ identifier: [{ system: PATIENT }] }, { identifier: [{ system: 'Patient/p' }] }],
  [{ attachment: { url: PATIENT } }, { attachment: { url: 'Patient/p' } }],
])('%j becomes %j', (sent, expected) => {
  expect(mapped(sent)).toEqual({ resourceType: 'Basic', ...expected })
})

test.each([
  [`${PATIENT}/_history/9`, 'Patient/p/_history/1'],
  ['https://practice.example/fhir/Patient/7/_history/2', 'Patient/q/_history/4'],
])('%s stays version-specific, with the new version: %s', (reference, expected) => {
  expect(mapped({ subject: { reference } })).toMatchObject({ subject: { reference: expected } })
  expect(mapped({ div: `<a href="${reference}">x</a>` })).toMatchObject({
    div: `<a href="${expected}">x</a>`,
  })
})

test('an earlier version of what is updated here stays the one that was meant', () => {
  const sent = { subject: { reference: 'https://ours.example/fhir/Patient/r/_history/2' } }

  expect(mapped(sent)).toMatchObject(sent)
})

test.each([
  [{ valueCanonical: PATIENT }],
  [{ valueCanonical: `${PATIENT}/_history/1` }],
  [{ subject: { reference: 'urn:uuid:22222222-2222-4222-8222-222222222222/_history/1' } }],
  [{ instantiatesCanonical: [PATIENT] }],
  [{ meta: { profile: [PATIENT] } }],
  [{ display: PATIENT }],
  [{ valueString: PATIENT }],
  [{ subject: { reference: `${PATIENT}x` } }],
])('%j stays as it is', (sent) => {
  expect(mapped(sent)).toEqual({ resourceType: 'Basic', ...sent })
})

test('a relative reference is read beside the full URL of its own entry, R4 2.36.4.1', () => {
  const sent = { subject: { reference: 'Patient/7' } }

  expect(mapped(sent, 'https://practice.example/fhir/Observation/9')).toMatchObject({
    subject: { reference: 'Patient/q' },
  })
  expect(mapped(sent, 'https://elsewhere.example/fhir/Observation/9')).toMatchObject(sent)
  expect(mapped(sent, 'urn:uuid:22222222-2222-4222-8222-222222222222')).toMatchObject(sent)
})

test('digits stay where a resource is rewritten', () => {
  const value = new DecimalText('6.0')

  expect(mapped({ valueQuantity: { value } })).toMatchObject({ valueQuantity: { value } })
})

test('a uuid stays one: the id of what is kept, and an oid is left alone (R4 3.1.0.11, 2.24.0.1)', () => {
  const id = '22222222-2222-4222-8222-222222222222'
  const oid = 'urn:oid:1.2.3'
  const entries = new Map([
    [PATIENT, { place: `Patient/${id}`, version: 1 }],
    [oid, { place: `Patient/${id}`, version: 1 }],
  ])
  const extension = [{ valueUuid: PATIENT }, { valueOid: oid }, { valueUri: oid }]

  expect(withReferences({ resourceType: 'Basic', extension }, entries)).toMatchObject({
    extension: [{ valueUuid: `urn:uuid:${id}` }, { valueOid: oid }, { valueUri: `Patient/${id}` }],
  })
})
