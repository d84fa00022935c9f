import { expect, test } from 'vitest'
import { searchValues } from '../../src/fhir/search-values.ts'

const baseUrl = 'https://footing.example/fhir'
const values = (type: string, resource: object) =>
  searchValues({ type, id: 'own', baseUrl }, resource)

test('an observation is found by patient, code, status and date in columns of their own', () => {
  const found = values('Observation', {
    status: 'final',
    code: {
      coding: [
        { system: 'http://loinc.org', code: 'a' },
        { system: 'http://b.example', code: 'b' },
      ],
    },
    category: [{ coding: [{ code: 'exam' }] }],
    subject: { reference: `${baseUrl}/Patient/p` },
    effectiveDateTime: '2026-03-01',
    derivedFrom: [{ reference: 'Observation/o/_history/2' }],
    identifier: [{ system: 's', value: 'v' }, { value: 'w' }],
  })

  expect(found).toMatchObject({
    patientId: 'p',
    code: { system: 'http://loinc.org', code: 'a' },
    status: 'final',
    date: { from: '2026-03-01T00:00:00Z', to: '2026-03-02T00:00:00Z' },
    references: [{ path: 'derivedFrom', targetType: 'Observation', targetId: 'o' }],
    strings: [],
    uris: [],
    dates: [],
    quantities: [],
    pairs: [],
  })
  expect(found.tokens).toHaveLength(4)
  expect(found.tokens).toEqual(
    expect.arrayContaining([
      { path: 'code', system: 'http://b.example', code: 'b' },
      { path: 'category', system: '', code: 'exam' },
      { path: 'identifier', system: 's', code: 'v' },
      { path: 'identifier', system: '', code: 'w' },
    ]),
  )
})

test('a Patient is its own patient', () => {
  expect(values('Patient', { birthDate: '2024-02-01' })).toMatchObject({
    patientId: 'own',
    date: { from: '2024-02-01T00:00:00Z' },
  })
})

test('of several patients the first has the column, all are in the index', () => {
  const participant = ['Practitioner/x', 'Patient/a', 'Patient/b'].map((reference) => ({
    actor: { reference },
    status: 'accepted',
  }))

  const found = values('Appointment', { participant })

  expect(found.patientId).toBe('a')
  expect(found.references.map(({ targetType, targetId }) => `${targetType}/${targetId}`)).toEqual([
    'Practitioner/x',
    'Patient/a',
    'Patient/b',
  ])
})

test.each([
  'https://other.example/fhir/Patient/p',
  'urn:uuid:11111111-1111-4111-8111-111111111111',
  '#p',
  'Group/p',
])('a subject %s makes no patient', (reference) => {
  expect(values('Observation', { subject: { reference } }).patientId).toBeUndefined()
})

test('a Practitioner at a place where a Patient may stand makes no patient', () => {
  const found = values('Observation', {
    subject: { reference: 'Group/g' },
    performer: [{ reference: 'Patient/p' }],
  })

  expect(found.patientId).toBeUndefined()
  expect(found.references).toContainEqual({
    path: 'performer',
    targetType: 'Patient',
    targetId: 'p',
  })
})

test('a period and a choice of date are read, whatever the element is called', () => {
  expect(values('Observation', { effectivePeriod: { start: '2026' } }).date).toEqual({
    from: '2026-01-01T00:00:00Z',
    to: '9999-12-31T23:59:59Z',
  })
  expect(values('Observation', { effectiveInstant: '2026-03-01T00:00:00Z' }).date?.from).toBe(
    '2026-03-01T00:00:00Z',
  )
  expect(values('Observation', { effectiveTiming: {} }).date).toBeUndefined()
})

test('the same value twice at one place is one row, at two places two', () => {
  const concept = { coding: [{ code: 'a' }, { code: 'a' }] }

  const { tokens } = values('Observation', { category: [concept, concept], method: concept })

  expect(tokens).toHaveLength(2)
  expect(tokens).toEqual(
    expect.arrayContaining([
      { path: 'category', system: '', code: 'a' },
      { path: 'method', system: '', code: 'a' },
    ]),
  )
})

test('of many values too each stands once', () => {
  const identifier = Array.from({ length: 100 }, (_, index) => ({ value: `v${index % 50}` }))

  expect(values('Observation', { identifier }).tokens).toHaveLength(50)
})

test('a pair is of one component, and stands once however many parameters read it', () => {
  const component = [
    { code: { coding: [{ code: 'left' }] }, valueQuantity: { value: 1, code: 'mm' } },
    { code: { coding: [{ code: 'right' }] }, valueQuantity: { value: 2, code: 'mm' } },
    { code: { coding: [{ code: 'none' }] } },
  ]

  expect(values('Observation', { component }).pairs).toEqual([
    {
      path: 'component code$valueQuantity',
      system: '',
      code: 'left',
      low: '1',
      high: '1',
      unit: '',
      secondSystem: '',
      secondCode: 'mm',
    },
    expect.objectContaining({ code: 'right', low: '2' }),
  ])
})

test('the token of a pair stands first also where the parameter has it second', () => {
  const relatesTo = [{ code: 'replaces', target: { reference: 'DocumentReference/d' } }]

  expect(values('DocumentReference', { relatesTo }).pairs).toEqual([
    {
      path: 'relatesTo code$target',
      system: '',
      code: 'replaces',
      targetType: 'DocumentReference',
      targetId: 'd',
    },
  ])
})

test('the common parameters are read of every type', () => {
  const found = values('Binary', {
    meta: {
      profile: ['http://a.example/p|2'],
      tag: [{ code: 't' }],
      security: [{ system: 's', code: 'R' }],
      source: 'urn:x',
    },
  })

  expect(found.uris).toEqual(
    expect.arrayContaining([
      { path: 'meta.profile', value: 'http://a.example/p', version: '2' },
      { path: 'meta.source', value: 'urn:x', version: '' },
    ]),
  )
  expect(found.tokens).toEqual(
    expect.arrayContaining([
      { path: 'meta.tag', system: '', code: 't' },
      { path: 'meta.security', system: 's', code: 'r' },
    ]),
  )
})

test('what is of the wrong kind is left out, not thrown', () => {
  const odds = [null, 1, true, [], {}, [null], 'x', { coding: [null, 1] }, { reference: 1 }]
  for (const odd of odds)
    expect(() =>
      values('Observation', {
        code: odd,
        subject: odd,
        effectiveDateTime: odd,
        effectivePeriod: odd,
        effectiveTiming: odd,
        identifier: odd,
        valueQuantity: odd,
        component: odd,
        meta: odd,
      }),
    ).not.toThrow()
})

test('of a type that is not kept there is nothing to find', () => {
  expect(values('Unknown', { code: { coding: [{ code: 'a' }] } }).tokens).toEqual([])
})
