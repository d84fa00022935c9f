import { expect, test } from 'vitest'
import { folded, searchValues } from '../../src/fhir/search-values.ts'

const baseUrl = 'https://footing.example/fhir'
const values = (type: string, resource: object) =>
  searchValues({ type, id: 'own', baseUrl }, resource)

test('an observation is found by patient, code, status and date', () => {
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

  expect(found).toEqual({
    patientId: 'p',
    code: { system: 'http://loinc.org', code: 'a' },
    status: 'final',
    date: { from: '2026-03-01T00:00:00Z', to: '2026-03-02T00:00:00Z' },
    tokens: [
      { param: 'code', system: 'http://b.example', code: 'b' },
      { param: 'category', system: '', code: 'exam' },
      { param: 'identifier', system: 's', code: 'v' },
      { param: 'identifier', system: '', code: 'w' },
    ],
    references: [{ param: 'derived-from', targetType: 'Observation', targetId: 'o' }],
    strings: [],
  })
})

test('a Patient is its own patient', () => {
  expect(values('Patient', { birthDate: '2024-02-01' })).toMatchObject({
    patientId: 'own',
    date: { from: '2024-02-01T00:00:00Z' },
  })
})

test.each([
  'https://other.example/fhir/Patient/p',
  'urn:uuid:11111111-1111-4111-8111-111111111111',
  '#p',
  'Group/p',
])('a subject %s makes no patient', (reference) => {
  expect(values('Observation', { subject: { reference } }).patientId).toBeUndefined()
})

test('names are folded, and every part is found', () => {
  const found = values('Patient', {
    name: [{ family: 'Müller', given: ['Zoë', 'ÉVA'] }, { family: 'Müller' }],
  })

  expect(found.strings).toEqual([
    { param: 'family', value: 'muller' },
    { param: 'given', value: 'zoe' },
    { param: 'given', value: 'eva' },
  ])
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

test('text is compared up to the same length on both sides', () => {
  const long = 'a'.repeat(5_000)

  expect(values('Patient', { name: [{ family: long }] }).strings[0]?.value).toBe(folded(long))
  expect(folded(long)).toHaveLength(256)
})

test('what is of the wrong kind is left out, not thrown', () => {
  for (const odd of [null, 1, true, [], {}, [null], 'x', { coding: [null, 1] }, { reference: 1 }])
    expect(() =>
      values('Observation', { code: odd, subject: odd, effectiveDateTime: odd, identifier: odd }),
    ).not.toThrow()
})
