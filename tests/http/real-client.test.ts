import { Client } from 'fhir-kit-client'
import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { listeningFor } from '../helpers/listening.ts'
import { bundleOf, identifierOf, referralParts } from '../helpers/referral.ts'

// fhir-kit-client is written by nobody here and speaks FHIR R4 over HTTP: a stand-in for a partner's system.

const Reference = z.object({ reference: z.string() })
const Entry = z.object({
  fullUrl: z.string().optional(),
  resource: z.looseObject({ resourceType: z.string(), id: z.string().optional() }).optional(),
  response: z.object({ status: z.string(), location: z.string() }).optional(),
})
const Bundle = z.looseObject({
  resourceType: z.literal('Bundle'),
  type: z.string(),
  entry: z.array(Entry).optional(),
})
const Task = z.looseObject({
  status: z.string(),
  priority: z.string(),
  focus: Reference,
  output: z.array(z.object({ valueReference: Reference })),
})

const CODES = 'https://footing.example/fhir/CodeSystem/observation'
const AT = '2026-03-02T09:00:00.000Z'
const parts = referralParts({ key: 'real-client' })
let client: Client

beforeAll(async () => {
  const listening = await listeningFor('partner', AT)
  client = new Client({ baseUrl: listening.base, bearerToken: listening.token })
  return listening.close
})

const entriesOf = (answer: unknown) => Bundle.parse(answer).entry ?? []
const idOf = (location: string, type: string) => location.split(`/${type}/`)[1]?.split('/')[0] ?? ''

test('it reads what the service can do', async () => {
  const statement = await client.capabilityStatement()

  expect(statement).toMatchObject({ resourceType: 'CapabilityStatement', fhirVersion: '4.0.1' })
})

test('it sends a referral, follows its Task, and reads the findings and the plan', async () => {
  const sent = entriesOf(
    await client.transaction({ body: { ...bundleOf(parts), resourceType: 'Bundle' } }),
  )
  const location = sent.find(({ response }) => response?.location.includes('/ServiceRequest/'))
  const id = idOf(location?.response?.location ?? '', 'ServiceRequest')
  const focus = `ServiceRequest/${id}`

  const tasks = await client.search({ resourceType: 'Task', searchParams: { focus } })
  const task = Task.parse(entriesOf(tasks)[0]?.resource)
  expect([task.status, task.focus.reference]).toEqual(['received', focus])
  for (const { valueReference } of task.output) {
    const [resourceType = '', resultId = ''] = valueReference.reference.split('/')
    expect(await client.read({ resourceType, id: resultId })).toMatchObject({ id: resultId })
  }

  const again = await client.operation({
    name: '$triage',
    resourceType: 'ServiceRequest',
    id,
    method: 'POST',
    input: { resourceType: 'Parameters', parameter: [{ name: 'asOf', valueDate: '2026-03-02' }] },
  })
  expect(entriesOf(again).length).toBe(task.output.length + 1)

  const plan = entriesOf(
    await client.operation({
      name: '$fitting-plan',
      resourceType: 'ServiceRequest',
      id,
      method: 'GET',
    }),
  )
  expect(new Set(plan.map(({ resource }) => resource?.resourceType))).toEqual(
    new Set(['CarePlan', 'DeviceRequest', 'Goal', 'ServiceRequest', 'Questionnaire']),
  )
})

test('it walks through a search page by page, each resource once', async () => {
  const seen: string[] = []
  let page: unknown = await client.search({
    resourceType: 'Observation',
    searchParams: {
      _count: 7,
      code: `${CODES}|foot-length,${CODES}|open-skin,${CODES}|motor-tempo`,
    },
  })
  while (page !== undefined) {
    seen.push(...entriesOf(page).flatMap(({ resource }) => resource?.id ?? []))
    page = await client.nextPage({ bundle: Bundle.parse(page) as never })
  }

  expect(new Set(seen).size).toBe(seen.length)
  expect(seen.length).toBe(5)
})

test('it creates once on a condition and reads the version it was told of', async () => {
  const body = {
    resourceType: 'Organization',
    identifier: [identifierOf('real-client', 'second-practice')],
    name: 'Another invented practice',
  }
  const options = {
    headers: {
      'If-None-Exist': 'identifier=https://practice.example/ids|real-client-second-practice',
    },
  }

  const first = await client.create({ resourceType: 'Organization', body, options })
  const second = await client.create({ resourceType: 'Organization', body, options })
  const id = z.object({ id: z.string() }).parse(first).id

  expect(second).toMatchObject({ id })
  expect(await client.vread({ resourceType: 'Organization', id, version: '1' })).toMatchObject({
    name: body.name,
  })
})

test('a refusal reaches it as an OperationOutcome', async () => {
  const refused = client.read({ resourceType: 'Patient', id: 'nobody' })

  await expect(refused).rejects.toMatchObject({
    response: { status: 404, data: { resourceType: 'OperationOutcome' } },
  })
})
