import { expect, test } from 'vitest'
import { matches } from '../../src/fhir/matches.ts'
import { parseQuery } from '../../src/fhir/query.ts'
import { rowOf } from '../../src/fhir/registry.ts'
import { searchValues } from '../../src/fhir/search-values.ts'

// R4 3.1.1.5.5: a chain looks inside contained resources, and nothing else does.

const baseUrl = 'https://footing.example/fhir'
const values = (resource: object) =>
  searchValues({ type: 'Observation', id: 'o', baseUrl }, resource)

const doctor = { resourceType: 'Practitioner', id: 'd', name: [{ family: 'Alpha' }] }

test('what is contained is indexed at the place that refers to it, by its type', () => {
  const { strings, uris, tokens } = values({
    contained: [{ ...doctor, gender: 'female' }],
    performer: [{ reference: '#d' }],
  })

  expect(strings).toEqual([
    { path: 'performer#Practitioner name.family', value: 'alpha', exact: 'Alpha' },
  ])
  expect(tokens).toEqual([{ path: 'performer#Practitioner gender', system: '', code: 'female' }])
  expect(uris).toEqual([
    { path: 'performer', value: '#d', version: '' },
    { path: 'performer#Practitioner', value: '#d', version: '' },
  ])
})

test('a contained patient gives the resource no child', () => {
  const found = values({
    contained: [
      { resourceType: 'Patient', id: 'p', birthDate: '2024-02-01' },
      { resourceType: 'RelatedPerson', id: 'r', patient: { reference: 'Patient/x' } },
    ],
    subject: { reference: '#p' },
    performer: [{ reference: '#r' }],
  })

  expect(found.patientId).toBeUndefined()
  expect(found.date).toBeUndefined()
  expect(found.references).toEqual([
    { path: 'performer#RelatedPerson patient', targetType: 'Patient', targetId: 'x' },
  ])
})

test.each<[string, object]>([
  ['nothing refers to it', { contained: [doctor] }],
  ['the reference leads to nothing', { contained: [doctor], performer: [{ reference: '#e' }] }],
  ['it leads to the resource itself', { contained: [doctor], performer: [{ reference: '#' }] }],
  [
    'its type is not kept here',
    {
      contained: [{ resourceType: 'Medication', id: 'd' }],
      performer: [{ reference: '#d' }],
    },
  ],
  ['it is no list', { contained: 'd', performer: [{ reference: '#d' }] }],
  ['it is no object', { contained: ['d', null], performer: [{ reference: '#d' }] }],
])('nothing contained is indexed when %s', (_, resource) => {
  const found = values(resource)

  expect(found.strings).toEqual([])
  expect(found.uris.filter(({ path }) => path !== 'performer')).toEqual([])
})

test('resources that refer to one another in a circle are followed three steps', () => {
  const ring = (id: string, next: string) => ({
    resourceType: 'Organization',
    id,
    name: id,
    partOf: { reference: `#${next}` },
  })

  const { strings } = values({
    contained: [ring('a', 'b'), ring('b', 'a')],
    performer: [{ reference: '#a' }],
  })

  expect(strings.map(({ value }) => value)).toEqual(['a', 'b', 'a'])
})

test('what is contained adds no more than 2,000 rows and their marks', () => {
  const contained = Array.from({ length: 3_000 }, (_, index) => ({
    ...doctor,
    id: `d${index}`,
    name: [{ family: `Name ${index}`, given: [`A ${index}`, `B ${index}`] }],
  }))

  const { strings, uris } = values({
    contained,
    performer: contained.map(({ id }) => ({ reference: `#${id}` })),
  })

  expect(strings.length).toBeLessThanOrEqual(2_000)
  expect(strings.length).toBeGreaterThan(1_900)
  expect(uris.length).toBeLessThan(3_000 + 1_000)
})

test('a resource that is not stored is searched in the same way', () => {
  const row = rowOf('Observation')
  if (row === undefined) throw new Error('Observation is kept')
  const resource = {
    type: 'Observation',
    id: 'o',
    updatedAt: '2026-03-02T09:00:00.000Z',
    values: values({ contained: [doctor], performer: [{ reference: '#d' }] }),
  }
  const isFound = (name: string, value: string) =>
    matches(
      parseQuery(row, [[name, value]], {
        handling: 'strict',
        baseUrl,
        now: '2026-03-02T09:00:00Z',
      }),
      resource,
      () => false,
    )

  expect(isFound('performer:Practitioner.family', 'alp')).toBe(true)
  expect(isFound('performer:Practitioner.family', 'beta')).toBe(false)
  expect(isFound('performer:Practitioner.gender:missing', 'true')).toBe(true)
  expect(isFound('performer:Organization.name:missing', 'true')).toBe(false)
  expect(isFound('performer:Practitioner._id', 'd')).toBe(false)
})
