import { beforeAll, describe, expect, test } from 'vitest'

import { coded, type Json } from '../helpers/referral.ts'
import {
  type Answer,
  entries,
  issues,
  resource,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// R4 resource.html, Meta.profile: a claim that the resource is of a profile. It is up to the server whether it
// is verified: what can be is.

const OURS = 'https://footing.example/fhir/StructureDefinition/'
const R4 = 'http://hl7.org/fhir/StructureDefinition/'

let service: TestService
let staff: Who

beforeAll(async () => {
  service = await testService()
  ;({ staff } = await service.clinic())
  return service.close
})

const send = (method: 'POST' | 'PUT', url: string, body: unknown): Promise<Answer> =>
  service.send(staff, { method, url: `/fhir/${url}`, body })

const told = (answer: Answer): string[] =>
  issues(answer).map(
    ({ details, expression }) => `${details.coding?.[0]?.code} at ${expression?.join()}`,
  )

const observation = (profile: readonly string[], change: Json = {}): Json => ({
  resourceType: 'Observation',
  meta: { profile },
  status: 'final',
  code: { text: 'An invented look' },
  ...change,
})

const BROKEN = observation([`${OURS}fact`], { effectivePeriod: { start: '2026-01-02' } })
const NO_FACT = [
  'observation-code at Observation.code',
  'observation-subject at Observation.subject.reference',
  'observation-date at Observation.effective',
]

describe('a content that is not what its meta.profile says', () => {
  test('is refused when it is created, with every place', async () => {
    const answer = await send('POST', 'Observation', BROKEN)

    expect(answer.status).toBe(422)
    expect(told(answer)).toEqual(NO_FACT)
  })

  test('is refused when it is updated or patched', async () => {
    const kept = await send('POST', 'Observation', observation(['urn:example:x']))
    const id = String(resource(kept).id)
    const update = await send('PUT', `Observation/${id}`, { ...BROKEN, id })
    const patch = await service.send(staff, {
      method: 'PATCH',
      url: `/fhir/Observation/${id}`,
      headers: { 'content-type': 'application/json-patch+json' },
      body: [{ op: 'add', path: '/meta/profile/-', value: `${OURS}fact` }],
    })

    expect([kept.status, update.status, patch.status]).toEqual([201, 422, 422])
    expect(told(update)).toEqual(NO_FACT)
    expect(told(patch)).toEqual(NO_FACT)
  })

  test('keeps its transaction from being done, and is told alone in a batch', async () => {
    const bundle = (type: string) => ({
      resourceType: 'Bundle',
      type,
      entry: [{ resource: BROKEN, request: { method: 'POST', url: 'Observation' } }],
    })
    const placed = NO_FACT.map((one) => one.replace('Observation.', 'Bundle.entry[0].resource.'))

    const transaction = await send('POST', '', bundle('transaction'))
    const batch = await send('POST', '', bundle('batch'))

    expect(transaction.status).toBe(422)
    expect(told(transaction)).toEqual(placed)
    expect(JSON.stringify(entries(batch)[0])).toContain('"status":"422')
  })

  test('is told by $validate, once where the profile is asked for as well', async () => {
    const plain = await send('POST', 'Observation/$validate', BROKEN)
    const asked = `Observation/$validate?profile=${encodeURIComponent(`${OURS}fact`)}`

    expect(told(plain)).toEqual(NO_FACT)
    expect(told(await send('POST', asked, BROKEN))).toEqual(NO_FACT)
  })

  test('is refused by a profile of another type, ours or of R4 itself', async () => {
    const answer = await send(
      'POST',
      'Observation',
      observation([`${R4}Observation`, `${R4}Patient`, `${OURS}referral-task`]),
    )

    expect(answer.status).toBe(422)
    expect(told(answer)).toEqual([
      'profile-type at Observation.meta.profile[1]',
      'profile-type at Observation.meta.profile[2]',
    ])
  })
})

test('a resource that is contained is held to what it claims as well', async () => {
  const inside = { ...observation([`${OURS}referral-task`]), id: 'a' }
  const answer = await send(
    'POST',
    'Observation',
    observation([], { meta: undefined, contained: [inside], hasMember: [{ reference: '#a' }] }),
  )

  expect(answer.status).toBe(422)
  expect(told(answer)).toEqual(['profile-type at Observation.contained[0].meta.profile[0]'])
})

test('a profile that is not known here is claimed as its sender likes', async () => {
  const claims = [
    `${R4}vitalsigns`,
    `${R4}DomainResource`,
    'https://a.example/profile|1.0',
    `${OURS}none`,
  ]

  expect((await send('POST', 'Observation', observation(claims))).status).toBe(201)
})

test('what keeps the profile that it claims is taken', async () => {
  const patient = await send('POST', 'Patient', {
    resourceType: 'Patient',
    meta: { profile: [`${OURS}referred-child`] },
    identifier: [{ system: 'urn:example:invented:patient', value: 'claims' }],
    birthDate: '2024-05-17',
  })
  const fact = observation([`${OURS}fact`], {
    code: coded('observation', 'worn-broken-skin'),
    subject: { reference: `Patient/${String(resource(patient).id)}` },
    effectiveDateTime: '2026-01-02',
    bodySite: coded('side', 'left-foot'),
    valueBoolean: false,
  })

  expect(patient.status).toBe(201)
  expect((await send('POST', 'Observation', fact)).status).toBe(201)
})

test('an extension of ours with another value is refused, for what its definition says (R4 2.5.0)', async () => {
  const answer = await send('POST', 'Task', {
    resourceType: 'Task',
    status: 'requested',
    intent: 'order',
    extension: [{ url: `${OURS}urgency-score`, valueString: 'high' }],
  })

  expect(answer.status).toBe(422)
  expect(told(answer)).toEqual(['extension-value at Task.extension[0].value'])
})
