import { beforeAll, describe, expect, test } from 'vitest'
import type { Json } from '../helpers/referral.ts'
import { observationOf, patientOf, type Searcher, searcher } from '../helpers/searches.ts'
import { type TestService, testService } from '../helpers/service.ts'

// R4 3.1.1.5.5: a contained resource is not found by itself, a chain looks inside it.

let service: TestService
let as: Searcher
const made: Record<string, string> = {}

const person = (id: string, family: string, more: Json = {}): Json => ({
  resourceType: 'Practitioner',
  id,
  name: [{ family }],
  ...more,
})

beforeAll(async () => {
  service = await testService()
  as = searcher(service, (await service.clinic()).staff)
  made['doctor'] = await as.create({ resourceType: 'Practitioner', name: [{ family: 'Omega' }] })
  made['clinic'] = await as.create({ resourceType: 'Organization', name: 'House of Steps' })
  made['inside'] = await as.create(
    observationOf({
      contained: [
        person('one', 'Alpha', { gender: 'female', birthDate: '1980-02-01', active: true }),
        person('two', 'Beta', {
          qualification: [{ code: { text: 'Invented' }, issuer: { reference: '#house' } }],
        }),
        { resourceType: 'Organization', id: 'house', name: 'House of Feet' },
        {
          resourceType: 'PractitionerRole',
          id: 'role',
          practitioner: { reference: '#two' },
          organization: { reference: `Organization/${made['clinic']}` },
          code: [{ coding: [{ system: 'http://a.example/roles', code: 'pt' }] }],
        },
      ],
      performer: [{ reference: '#one' }, { reference: '#role' }],
      note: [{ text: 'By another', authorReference: { reference: '#two' } }],
    }),
  )
  made['outside'] = await as.create(
    observationOf({ performer: [{ reference: `Practitioner/${made['doctor']}` }] }),
  )
  made['child'] = await as.create(patientOf({ name: [{ family: 'Delta' }] }))
  made['derived'] = await as.create(
    observationOf({
      subject: { reference: `Patient/${made['child']}` },
      derivedFrom: [{ reference: `Observation/${made['inside']}` }],
    }),
  )
  return service.close
})

const names = async (query: string) => {
  const found = await as.ids(query)
  return found.map((id) => Object.entries(made).find(([, one]) => one === id)?.[0] ?? id).toSorted()
}

describe('a chain looks inside what is contained', () => {
  test.each([
    ['Observation?performer:Practitioner.family=alpha', ['inside']],
    ['Observation?performer:Practitioner.family=omega', ['outside']],
    ['Observation?performer:Practitioner.family=alpha,omega', ['inside', 'outside']],
    ['Observation?performer:Practitioner.family:exact=Alpha', ['inside']],
    ['Observation?performer:Practitioner.family:contains=lph', ['inside']],
    ['Observation?performer:Practitioner.gender=female', ['inside']],
    ['Observation?performer:Practitioner.gender=male', []],
    ['Observation?performer:Practitioner.active=true', ['inside']],
    ['Observation?performer:PractitionerRole.role=http://a.example/roles|pt', ['inside']],
    ['Observation?performer:PractitionerRole.role:not=pt', []],
    ['Observation?performer:PractitionerRole.role:not=ot', ['inside']],
    ['Observation?performer:Practitioner.name:missing=false', ['inside', 'outside']],
    ['Observation?performer:Practitioner.gender:missing=true', ['outside']],
    ['Observation?performer:Practitioner.gender:missing=false', ['inside']],
    // Contained, but no performer.
    ['Observation?performer:Practitioner.family=beta', []],
    // From what is contained to what it refers to, contained too or not.
    ['Observation?performer:PractitionerRole.practitioner.family=beta', ['inside']],
    ['Observation?performer:PractitionerRole.practitioner.family=alpha', []],
    ['Observation?performer:PractitionerRole.organization.name=house of steps', ['inside']],
    ['Observation?performer:PractitionerRole.organization.name=house of feet', []],
    // A chain to the resource that contains it.
    ['Observation?derived-from:Observation.performer:Practitioner.family=alpha', ['derived']],
    ['Patient?_has:Observation:patient:performer:Practitioner.family=alpha', []],
  ])('%s finds %j', async (query, expected) => {
    expect(await names(query)).toEqual(expected)
  })

  test('by the id of an organization that a contained resource names', async () => {
    const id = made['clinic'] ?? ''

    expect(await names(`Observation?performer:PractitionerRole.organization=${id}`)).toEqual([
      'inside',
    ])
    expect(
      await names(`Observation?performer:PractitionerRole.organization=Organization/${id}`),
    ).toEqual(['inside'])
  })

  test('not by its id, which is known inside the resource alone, nor by when it was changed', async () => {
    expect(await names('Observation?performer:Practitioner._id=one')).toEqual([])
    expect(await names('Observation?performer:Practitioner._lastUpdated=ge2020-01-01')).toEqual([
      'outside',
    ])
  })
})

test('what is contained is not found by itself, nor is the resource by its values', async () => {
  expect(await names('Practitioner?family=alpha')).toEqual([])
  expect(await names('Observation?code=pt')).toEqual([])
  expect(await names('Organization?name=House')).toEqual(['clinic'])
})

test('an update changes what the resource is found by', async () => {
  const { staff } = await service.clinic()
  const own = searcher(service, staff)
  const sent = (family: string) =>
    observationOf({ contained: [person('p', family)], performer: [{ reference: '#p' }] })
  const id = await own.create(sent('Zeta'))
  const found = (family: string) => own.ids(`Observation?performer:Practitioner.family=${family}`)
  expect(await found('zeta')).toEqual([id])

  const answer = await service.send(staff, {
    method: 'PUT',
    url: `/fhir/Observation/${id}`,
    body: { ...sent('Eta'), id },
  })

  expect(answer.status).toBe(200)
  expect(await found('zeta')).toEqual([])
  expect(await found('eta')).toEqual([id])
})
