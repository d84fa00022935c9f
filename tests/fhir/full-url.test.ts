import { describe, expect, test } from 'vitest'

import { isOfAnother } from '../../src/fhir/full-url.ts'
import { patient, rulesOf } from '../helpers/told-rules.ts'

// R4 2.36.4.1 and Bundle.entry.fullUrl: the absolute URL of an entry, or a URN where it has none.

const faultsOf = (fullUrl: string) =>
  rulesOf({
    resourceType: 'Bundle',
    type: 'collection',
    entry: [{ fullUrl, resource: patient({}) }],
  })

describe('the fullUrl of an entry is absolute', () => {
  test.each([
    'https://practice.example/fhir/Patient/7',
    'http://127.0.0.1:8080/Patient/7',
    'urn:uuid:11111111-1111-4111-8111-111111111111',
    'urn:uuid:ABCDEF11-1111-4111-8111-111111111111',
    'urn:oid:1.2.3',
    'urn:example:patient:7',
  ])('%s', (fullUrl) => {
    expect(faultsOf(fullUrl)).toEqual([])
  })

  test.each([
    'Patient/7',
    '/Patient/7',
    '//practice.example/Patient/7',
    '7',
    '#7',
    'http:/practice.example/Patient/7',
    'https://',
    'urn:uuid:patient-7',
    'urn:uuid:11111111-1111-4111-8111-11111111111',
    'urn:oid:patient.7',
  ])('and %s is not', (fullUrl) => {
    expect(faultsOf(fullUrl)).toEqual(['full-url at Bundle.entry[0].fullUrl'])
  })

  test('what is no URI at all is told as that', () => {
    expect(faultsOf('a b')).toEqual(['primitive.uri at Bundle.entry[0].fullUrl'])
    expect(faultsOf('')).toEqual(['empty at Bundle.entry[0].fullUrl'])
  })
})

describe('it does not disagree with the resource beside it (Bundle.entry.fullUrl)', () => {
  const own = { resourceType: 'Patient', id: '7' }

  test.each<[string | undefined, object]>([
    [undefined, own],
    ['https://a.example/fhir/Patient/7', own],
    ['https://a.example/fhir/Patient/7', { resourceType: 'Patient' }],
    ['https://a.example/Any/8', own],
    ['urn:uuid:11111111-1111-4111-8111-111111111111', own],
  ])('%s beside %j', (fullUrl, resource) => {
    expect(isOfAnother(fullUrl, resource as typeof own)).toBe(false)
  })

  test.each<[string, object]>([
    ['https://a.example/fhir/Patient/8', own],
    ['https://a.example/fhir/Group/7', own],
    ['https://a.example/fhir/Group/7', { resourceType: 'Patient' }],
  ])('as %s does beside %j', (fullUrl, resource) => {
    expect(isOfAnother(fullUrl, resource as typeof own)).toBe(true)
  })
})
