import { beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { MAX_CALLS } from '../../src/services/batch.ts'
import type { Json } from '../helpers/referral.ts'
import { referralParts } from '../helpers/referral.ts'
import { observationOf, patientOf, searcher } from '../helpers/searches.ts'
import { entries, resources, type TestService, testService, type Who } from '../helpers/service.ts'

// R4 3.1.0.11: an entry of a batch is answered as if it were sent alone, an operation too.

let service: TestService

beforeAll(async () => {
  service = await testService()
  return service.close
})

type Method = 'GET' | 'POST'
type Call = readonly [method: Method, url: string, resource?: Json]

const batchOf = (calls: readonly Call[]): Json => ({
  resourceType: 'Bundle',
  type: 'batch',
  entry: calls.map(([method, url, resource]) => ({
    ...(resource === undefined ? {} : { resource }),
    request: { method, url },
  })),
})
const send = (who: Who, ...calls: Call[]) =>
  service.send(who, { method: 'POST', url: '/fhir', body: batchOf(calls) })
const alone = (who: Who, [method, url, body]: Call) =>
  service.send(who, {
    method,
    url: `/fhir/${url}`,
    ...(body === undefined ? {} : { body }),
  })
const statusesOf = (answer: Awaited<ReturnType<typeof send>>) =>
  entries(answer).map(({ response }) => Number(response?.status?.slice(0, 3)))

const Outcomes = z.object({
  entry: z.array(
    z.object({
      response: z.object({
        outcome: z
          .object({ issue: z.array(z.object({ expression: z.array(z.string()) })) })
          .optional(),
      }),
    }),
  ),
})
/** Where the first fault of each entry stands. */
const placesOf = ({ json }: { readonly json: unknown }) =>
  Outcomes.parse(json).entry.map(({ response }) => response.outcome?.issue[0]?.expression.join())

const parameters = (...parameter: Json[]): Json => ({ resourceType: 'Parameters', parameter })

async function referred() {
  const { staff, partner, other } = await service.clinic()
  await service.refer(partner, referralParts({ key: staff.clinicId }))
  const [task] = resources(await service.send(staff, { url: '/fhir/Task?code=orthotic-referral' }))
  const focus = task?.['focus'] as { reference: string } | undefined
  const child = task?.['for'] as { reference: string } | undefined
  return {
    staff,
    partner,
    other,
    referral: focus?.reference ?? '',
    patient: child?.reference.split('/')[1] ?? '',
  }
}

test('operations that store nothing are answered as they are answered alone', async () => {
  const { staff, referral, patient } = await referred()
  const match = { name: 'resource', resource: patientOf({ birthDate: '2024-02-01' }) }
  const calls: readonly Call[] = [
    ['POST', 'Observation/$validate', parameters({ name: 'resource', resource: observationOf() })],
    ['POST', 'Observation/$validate?mode=create', observationOf()],
    ['GET', `Patient/${patient}/$validate`],
    ['GET', `Patient/${patient}/$everything?_count=2`],
    ['POST', `Patient/${patient}/$everything`, parameters({ name: '_type', valueCode: 'Task' })],
    ['POST', 'Patient/$match', parameters(match, { name: 'count', valueInteger: 1 })],
    ['GET', 'Task/$next'],
    ['GET', `DocumentReference/$docref?patient=${patient}`],
    ['GET', `${referral}/$fitting-plan?language=es`],
    ['POST', `${referral}/$fitting-plan`, parameters({ name: 'language', valueCode: 'es' })],
    ['GET', `${referral}/$follow-up`],
  ]

  const answer = await send(staff, ...calls)
  const each = []
  for (const call of calls) each.push(await alone(staff, call))

  expect(statusesOf(answer)).toEqual(each.map(({ status }) => status))
  expect(new Set(each.map(({ status }) => status))).toEqual(new Set([200, 422]))
  // A plan and the links of a page hold the instant at which they were made.
  const told = (json: unknown) =>
    JSON.stringify(json).replaceAll(/_cursor=[^"]+|\d{4}-\d\d-\d\dT[^"]+/g, '')
  for (const [index, { resource }] of entries(answer).entries())
    if (each[index]?.status === 200)
      expect(told(resource), calls[index]?.[1]).toBe(told(each[index].json))
})

test('a broken resource may be asked about, and its answer says what is wrong', async () => {
  const { staff } = await service.clinic()
  const broken = { ...observationOf(), status: 'finished' }

  const answer = await send(
    staff,
    ['POST', 'Observation/$validate', broken],
    ['POST', 'Observation/$validate', parameters({ name: 'resource', resource: broken })],
  )

  expect(statusesOf(answer)).toEqual([200, 200])
  for (const { resource } of entries(answer))
    expect(resource).toMatchObject({
      resourceType: 'OperationOutcome',
      issue: [{ severity: 'error', code: 'code-invalid', expression: ['Observation.status'] }],
    })
})

test('what an operation is asked wrongly is told at its place in the Bundle', async () => {
  const { staff, referral } = await referred()
  const asOf = parameters({ name: 'asOf', valueDate: '2026-02' })

  const answer = await send(
    staff,
    ['POST', `${referral}/$fitting-plan`, asOf],
    ['GET', `${referral}/$fitting-plan?asOf=soon`],
    ['POST', 'Patient/$match', parameters({ name: 'resource', resource: observationOf() })],
    ['GET', 'Observation/$validate'],
    ['GET', 'ServiceRequest/nobody/$fitting-plan'],
  )

  expect(statusesOf(answer)).toEqual([400, 400, 400, 400, 404])
  const places = placesOf(answer)
  expect(places).toEqual([
    "Bundle.entry[0].resource.parameter.where(name='asOf').value",
    'Bundle.entry[1].request.url',
    "Bundle.entry[2].resource.parameter.where(name='resource').resource",
    "Bundle.entry[3].resource.parameter.where(name='resource')",
    'Bundle.entry[4]',
  ])
})

test.each([
  ['POST', 'ServiceRequest/x/$triage'],
  ['POST', 'AuditEvent/$review'],
  ['GET', '$export'],
  ['GET', 'Patient/$export'],
  ['GET', 'Patient/$constructor'],
  ['GET', '$validate'],
] as const)('%s %s is called by itself', async (method, url) => {
  const { staff } = await service.clinic()

  const answer = await send(staff, [method, url])

  expect(statusesOf(answer)).toEqual([400])
  expect(answer.text).toContain('Any other is called by itself.')
})

test('of more operations than are answered at once the others are refused, and nothing else', async () => {
  const { staff } = await service.clinic()
  const call: Call = ['POST', 'Observation/$validate', observationOf()]
  const calls: Call[] = [...Array.from({ length: MAX_CALLS + 1 }, () => call), ['GET', 'metadata']]

  const answer = await send(staff, ...calls)

  expect(statusesOf(answer)).toEqual([...Array.from({ length: MAX_CALLS }, () => 200), 400, 200])
  expect(placesOf(answer).at(MAX_CALLS)).toBe(`Bundle.entry[${MAX_CALLS}]`)
})

describe('who may', () => {
  test('an operation needs what it needs alone', async () => {
    const { staff, partner, other, referral, patient } = await referred()
    const scope = 'system/Observation.rs'
    const reader = await service.who({ clinicId: staff.clinicId, clientId: 'reader', scope })
    const calls: readonly Call[] = [
      ['GET', `Patient/${patient}/$everything`],
      ['GET', `${referral}/$fitting-plan`],
      ['GET', 'Task/$next'],
      ['GET', `Patient/${patient}/$validate`],
      ['POST', 'Patient/$match', patientOf()],
    ]

    for (const who of [reader, partner, other]) {
      const answer = await send(who, ...calls)
      const each = []
      for (const call of calls) each.push((await alone(who, call)).status)
      expect(statusesOf(answer)).toEqual(each)
    }
  })

  test('a token that sees a part of a type has nothing computed', async () => {
    const { staff, referral, patient } = await referred()
    const narrowed = await service.who({
      clinicId: staff.clinicId,
      clientId: 'narrowed',
      scope:
        'system/Observation.rs?status=final system/ServiceRequest.rs system/CarePlan.rs system/Patient.rs',
    })

    const answer = await send(
      narrowed,
      ['GET', `${referral}/$fitting-plan`],
      ['GET', `Patient/${patient}/$everything`],
      ['GET', `Patient/${patient}/$validate`],
    )

    expect(statusesOf(answer)).toEqual([403, 200, 403])
  })

  test('the child of whom something was asked is in the log', async () => {
    const { staff, referral, patient } = await referred()
    const events = async () =>
      entries(await service.send(staff, { url: `/fhir/AuditEvent?patient=${patient}&_count=100` }))
        .length
    const before = await events()

    await send(staff, ['GET', `${referral}/$fitting-plan`])

    expect(await events()).toBeGreaterThan(before)
  })
})

describe('an entry of a batch that is not valid (3.1.0.11: entries are independent)', () => {
  const gender = { ...patientOf(), gender: 'purple' }

  test('is refused alone, with the status that it has alone', async () => {
    const { staff } = await service.clinic()
    const unknown = {
      ...patientOf(),
      modifierExtension: [{ url: 'http://a.example/changes-all', valueBoolean: true }],
    }

    const answer = await send(
      staff,
      ['POST', 'Patient', gender],
      ['POST', 'Patient', patientOf()],
      ['POST', 'Patient', { ...patientOf(), colour: 'red' }],
      ['POST', 'Patient', unknown],
      ['POST', 'Nowhere', { resourceType: 'Nowhere' }],
    )

    expect(answer.status).toBe(200)
    expect(statusesOf(answer)).toEqual([400, 201, 400, 422, 400])
    const places = placesOf(answer)
    expect(places).toEqual([
      'Bundle.entry[0].resource.gender',
      undefined,
      'Bundle.entry[2].resource.colour',
      'Bundle.entry[3].resource.modifierExtension',
      'Bundle.entry[4].resource.resourceType',
    ])
    const as = searcher(service, staff)
    expect(await as.ids('Patient')).toHaveLength(1)
  })

  test('all of them may be so', async () => {
    const { staff } = await service.clinic()

    expect(statusesOf(await send(staff, ['POST', 'Patient', gender]))).toEqual([400])
  })

  test('what is wrong with the Bundle as a whole refuses the whole', async () => {
    const { staff } = await service.clinic()
    const fullUrl = 'urn:uuid:5e1f0000-0000-4000-8000-000000000001'
    const good = { fullUrl, resource: patientOf(), request: { method: 'POST', url: 'Patient' } }
    const bad = { resource: gender, request: { method: 'POST', url: 'Patient' } }
    const body = { resourceType: 'Bundle', type: 'batch', entry: [good, bad, good] }

    const twice = await service.send(staff, { method: 'POST', url: '/fhir', body })
    const inTransaction = await service.send(staff, {
      method: 'POST',
      url: '/fhir',
      body: { ...body, type: 'transaction', entry: [good, bad] },
    })

    expect([twice.status, inTransaction.status]).toEqual([400, 400])
    expect(await searcher(service, staff).ids('Patient')).toEqual([])
  })

  test('with more faults than are listed nothing is done: some may not have been looked for', async () => {
    const { staff } = await service.clinic()
    const telecom = Array.from({ length: 101 }, () => ({ system: 'pigeon', value: '1' }))

    const answer = await send(
      staff,
      ['POST', 'Patient', { ...patientOf(), telecom }],
      ['POST', 'Patient', gender],
    )

    expect(answer.status).toBe(400)
  })
})
