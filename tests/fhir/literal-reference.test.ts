import { expect, test } from 'vitest'
import { isForeign, ownTarget } from '../../src/fhir/literal-reference.ts'

const BASE = 'https://footing.example/fhir'

test.each([
  'Patient/a-1.B',
  'Patient/a-1.B/_history/3',
  `${BASE}/Patient/a-1.B`,
  `${BASE}/Patient/a-1.B/_history/3`,
])('%s is ours', (reference) => {
  expect(ownTarget(reference, BASE)).toEqual({ type: 'Patient', id: 'a-1.B' })
  expect(isForeign(reference, BASE)).toBe(false)
})

test.each([
  'https://other.example/fhir/Patient/a',
  `${BASE}2/Patient/a`,
  `http://footing.example/fhir/Patient/a`,
  'ftp://files.example/Patient/a',
  'urn:example:Patient/a',
  '#a',
])('%s leads elsewhere', (reference) => {
  expect(ownTarget(reference, BASE)).toBeUndefined()
  expect(isForeign(reference, BASE)).toBe(true)
})

test.each([
  'Patient',
  'Patient/',
  'patient/a',
  'Patient/a/b',
  'Patient/a/Patient/b',
  'x/Patient/a',
  'Patient/a#b',
  'Patient/a_b',
  `Patient/${'a'.repeat(65)}`,
  'Patient?identifier=a|b',
  `${BASE}/Patient`,
  'urn:uuid:00000000-0000-4000-8000-000000000000',
  'urn:oid:1.2.3',
])('%s leads nowhere and is not elsewhere', (reference) => {
  expect(ownTarget(reference, BASE)).toBeUndefined()
  expect(isForeign(reference, BASE)).toBe(false)
})

test('what is no text is no reference', () => {
  expect(ownTarget(undefined, BASE)).toBeUndefined()
  expect(ownTarget({ reference: 'Patient/a' }, BASE)).toBeUndefined()
})
