import { describe, expect, test } from 'vitest'
import { type ConsentEntry, consentOnRecord, consentsOnRecord } from '../../src/fhir/consents.ts'
import type { Resource } from '../../src/fhir/r4/types.ts'
import { isResource, validateResource } from '../../src/fhir/validate.ts'
import {
  CLINIC_SYSTEM,
  coding,
  concept,
  consentResource,
  mother,
  recipient,
} from '../helpers/consent-resources.ts'
import type { Json } from '../helpers/referral.ts'

const CLINIC = '5c1c0000-0000-4000-8000-000000000001'
const NAMES = { patient: 'Patient/p', performer: 'RelatedPerson/m', clinicId: CLINIC }

type Change = Json & { readonly provision?: Json }

function entryOf(change: Change = {}, reference = 'Consent/c/_history/1'): ConsentEntry {
  // As it is sent: what is undefined is not there.
  const resource: unknown = JSON.parse(JSON.stringify(consentResource(NAMES, change)))
  expect(validateResource(resource)).toEqual([])
  if (!isResource(resource) || resource.resourceType !== 'Consent') throw new Error('no Consent')
  return { reference, resource }
}

const around = (people: Readonly<Record<string, Json>> = {}) => ({
  baseUrl: 'https://footing-test.example/fhir',
  clinicId: CLINIC,
  patientId: 'p',
  find: (place: string): Resource | undefined => {
    const found: unknown = { 'RelatedPerson/m': mother('Patient/p'), ...people }[place]
    return isResource(found) ? found : undefined
  },
})

const read = (change: Change = {}, people: Readonly<Record<string, Json>> = {}) =>
  consentOnRecord(entryOf(change), around(people))

test('a whole Consent is read in every element that the law asks for', () => {
  expect(read()).toEqual({
    status: 'active',
    decision: 'permit',
    scope: 'disclosure',
    grantor: 'parent-or-guardian',
    written: 'yes',
    givenOn: '2026-02-20',
    from: '2026-02-20',
    until: '2026-08-31',
    recipient: 'this-one',
    namesRecords: 'yes',
    namesPurpose: 'yes',
    evidence: 'Consent/c/_history/1',
  })
})

test.each([
  ['active', 'active'],
  ['inactive', 'withdrawn'],
  ['draft', 'draft'],
  ['proposed', 'draft'],
  ['entered-in-error', 'entered-in-error'],
  ['rejected', 'unknown'],
])('status %s is read as %s', (status, expected) => {
  expect(read({ status }).status).toBe(expected)
})

describe('the decision', () => {
  const decision = (provision: Json, change: Json = {}) => read({ ...change, provision }).decision
  const optOut = concept('v3-ActCode', 'OPTOUT')

  test('is of the provision, else of the policy rule, else unknown', () => {
    expect(decision({ type: 'deny' })).toBe('deny')
    expect(decision({ type: 'permit' }, { policyRule: optOut })).toBe('permit')
    expect(decision({ type: undefined })).toBe('permit')
    expect(decision({ type: undefined }, { policyRule: optOut })).toBe('deny')
    expect(decision({ type: undefined }, { policyRule: { text: 'By agreement' } })).toBe('unknown')
  })

  test('an exception that denies counts unless it is for another recipient', () => {
    const exception = (actor?: readonly Json[]) => ({ provision: [{ type: 'deny', actor }] })

    expect(decision(exception())).toBe('deny')
    expect(decision(exception([recipient(CLINIC)]))).toBe('deny')
    expect(decision(exception([recipient('a-school')]))).toBe('permit')
    expect(decision({ provision: [{ type: 'permit', provision: [{ type: 'deny' }] }] })).toBe(
      'deny',
    )
  })

  test('an exception that permits does not open what the consent denies', () => {
    expect(decision({ type: 'deny', provision: [{ type: 'permit' }] })).toBe('deny')
  })

  test('what the family rejected is a refusal', () => {
    expect(decision({}, { status: 'rejected' })).toBe('deny')
    expect(decision({ type: 'deny' }, { status: 'rejected' })).toBe('unknown')
  })
})

describe('what it is about', () => {
  const scope = (provision: Json, change: Json = {}) => read({ ...change, provision }).scope

  test('the scope says it', () => {
    expect(scope({}, { scope: concept('consentscope', 'treatment') })).toBe('other')
    expect(scope({}, { scope: concept('consentscope', 'research') })).toBe('other')
    expect(scope({}, { scope: { text: 'Privacy' } })).toBe('unknown')
  })

  test('one that names actions is about these alone', () => {
    const actions = (...codes: string[]) => codes.map((code) => concept('consentaction', code))

    expect(scope({ action: actions('disclose') })).toBe('disclosure')
    expect(scope({ action: actions('collect', 'access') })).toBe('disclosure')
    expect(scope({ action: actions('collect', 'use', 'correct') })).toBe('other')
    expect(scope({ action: [...actions('use'), { text: 'send' }] })).toBe('unknown')
  })

  test('one that names purposes is about these alone', () => {
    const purpose = (...codes: string[]) => ({
      purpose: codes.map((code) => coding('v3-ActReason', code)),
    })

    expect(scope(purpose('HRESCH', 'COC'))).toBe('disclosure')
    expect(scope(purpose('HRESCH'))).toBe('other')
    expect(read({ provision: purpose('HRESCH') }).namesPurpose).toBe('no')
    expect(read({ provision: { purpose: undefined } }).namesPurpose).toBe('no')
    expect(scope({ purpose: undefined })).toBe('disclosure')
  })
})

describe('who gave it', () => {
  const grantor = (person: Json, change: Json = {}) =>
    read(change, { 'RelatedPerson/m': person }).grantor
  const role = (...codes: string[]) => concept('v3-RoleCode', ...codes)

  test.each(['PRN', 'MTH', 'FTH', 'NPRN', 'NMTH', 'NFTH', 'ADOPTP', 'ADOPTM', 'ADOPTF', 'GUARD'])(
    'a related person of this child with the relationship %s is a parent or guardian',
    (code) => {
      expect(grantor(mother('Patient/p', role(code)))).toBe('parent-or-guardian')
    },
  )

  test('a guardian by role class is one, another relative is not', () => {
    const guardian = concept('v3-RoleClass', 'GUARD')

    expect(grantor(mother('Patient/p', guardian))).toBe('parent-or-guardian')
    expect(grantor(mother('Patient/p', role('GRPRN')))).toBe('other')
    expect(grantor(mother('Patient/p', role('GRPRN'), role('PRN')))).toBe('parent-or-guardian')
  })

  test('a parent of another child is not', () => {
    expect(grantor(mother('Patient/q'))).toBe('other')
  })

  test('it is unknown without a relationship, without a performer, of one who is not found', () => {
    const { relationship, ...person } = mother('Patient/p')

    expect(grantor(person)).toBe('unknown')
    expect(grantor({ ...mother('Patient/p'), active: false })).toBe('unknown')
    expect(read({ performer: undefined }).grantor).toBe('unknown')
    expect(read({ performer: [{ reference: 'RelatedPerson/x' }] }).grantor).toBe('unknown')
    expect(read({ performer: [{ display: 'Mother' }] }).grantor).toBe('unknown')
  })

  test('a parent who is contained in the Consent is found, the child itself is no parent', () => {
    const contained = [{ ...mother('Patient/p'), id: 'mother' }]
    const child = { 'Patient/p': { resourceType: 'Patient' } }

    expect(read({ contained, performer: [{ reference: '#mother' }] }).grantor).toBe(
      'parent-or-guardian',
    )
    expect(read({ performer: [{ reference: 'Patient/p' }] }, child).grantor).toBe('other')
  })
})

describe('to whom', () => {
  const to = (...actor: readonly Json[]) => read({ provision: { actor } }).recipient
  const byReference = (reference: string, role = 'PRCP'): Json => ({
    role: concept('v3-ParticipationType', role),
    reference: { reference },
  })

  test('the clinic by its identifier, another one, or nobody', () => {
    expect(to(recipient(CLINIC))).toBe('this-one')
    expect(to(recipient('another'), recipient(CLINIC))).toBe('this-one')
    expect(to(recipient('another'))).toBe('another')
    expect(to(recipient(CLINIC, 'IRCP', 'https://practice.example/clinics'))).toBe('another')
    expect(read({ provision: { actor: undefined } }).recipient).toBe('not-named')
    expect(to(recipient('a-practice', 'CST'))).toBe('not-named')
  })

  test('the clinic by an Organization that carries its identifier', () => {
    const organisation = (value: string) => ({
      'Organization/o': {
        resourceType: 'Organization',
        identifier: [{ system: CLINIC_SYSTEM, value }],
      },
    })
    const change = { provision: { actor: [byReference('Organization/o')] } }

    expect(read(change, organisation(CLINIC)).recipient).toBe('this-one')
    expect(read(change, organisation('x')).recipient).toBe('another')
    expect(read(change).recipient).toBe('unknown')
  })

  test('it is unknown in a role that is not known, and of one who is not found', () => {
    expect(to(recipient(CLINIC, 'XYZ'))).toBe('unknown')
    expect(to(byReference('https://elsewhere.example/fhir/Organization/1'))).toBe('unknown')
  })
})

describe('the form and its days', () => {
  test.each([
    ['data', { data: 'YQ==', contentType: 'text/plain' }, 'yes'],
    ['a url', { url: 'https://practice.example/form.pdf' }, 'yes'],
    ['a hash', { hash: 'YQ==' }, 'yes'],
    ['a title alone', { title: 'Form' }, 'unknown'],
  ])('an attachment with %s: written is %s', (_, sourceAttachment, expected) => {
    expect(read({ sourceAttachment }).written).toBe(expected)
  })

  test('a reference to the form counts, its display alone does not', () => {
    const from = (sourceReference: Json) =>
      read({ sourceAttachment: undefined, sourceReference }).written

    expect(from({ reference: 'DocumentReference/d' })).toBe('yes')
    expect(from({ identifier: { value: 'F-1' } })).toBe('yes')
    expect(from({ display: 'In the file' })).toBe('unknown')
    expect(read({ sourceAttachment: undefined }).written).toBe('unknown')
  })

  test('a day that is not written to the day is unknown, an absent end is open', () => {
    const period = (start?: string, end?: string) => read({ provision: { period: { start, end } } })

    expect(read({ dateTime: '2026-02' }).givenOn).toBe('unknown')
    expect(read({ dateTime: undefined }).givenOn).toBe('unknown')
    expect(read({ dateTime: '2026-02-20T23:30:00-05:00' }).givenOn).toBe('2026-02-20')
    expect(period('2026-02').from).toBe('unknown')
    expect(period(undefined, '2026').until).toBe('unknown')
    expect(period('2026-02-20').until).toBe('open')
    expect(read({ provision: { period: undefined } })).toMatchObject({
      from: 'when-given',
      until: 'open',
    })
  })

  test.each(['class', 'code', 'data'])('records are named by provision.%s', (element) => {
    const named = {
      class: [{ system: 'http://hl7.org/fhir/resource-types', code: 'Observation' }],
      code: [{ text: 'Motor observations' }],
      data: [{ meaning: 'instance', reference: { reference: 'Observation/1' } }],
    }
    const provision = { class: undefined, [element]: named[element as keyof typeof named] }

    expect(read({ provision }).namesRecords).toBe('yes')
    expect(read({ provision: { class: undefined } }).namesRecords).toBe('no')
  })
})

describe('several of one child', () => {
  const identifier = (value: string) => ({
    identifier: [{ system: 'https://practice.example/ids', value }],
  })
  const first = entryOf(identifier('a'), 'Consent/a/_history/1')
  const withdrawn = entryOf({ ...identifier('a'), status: 'inactive' }, 'Consent/b/_history/1')

  test('of two with one identifier the one received later says how it stands', () => {
    expect(consentsOnRecord([first, withdrawn], around()).map(({ status }) => status)).toEqual([
      'withdrawn',
    ])
    expect(consentsOnRecord([withdrawn, first], around()).map(({ status }) => status)).toEqual([
      'active',
    ])
  })

  test('consents with different identifiers, or without one, stand beside each other', () => {
    const other = entryOf(identifier('b'), 'Consent/c/_history/1')
    const bare = entryOf({}, 'Consent/d/_history/1')

    expect(consentsOnRecord([first, other, bare, bare], around())).toHaveLength(4)
  })
})
