import { randomUUID } from 'node:crypto'
import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { cardsOf, prefetchOf, SIGN, signCall, VIEW, viewCall } from '../helpers/cds.ts'
import { coded, type Json, referralParts } from '../helpers/referral.ts'
import {
  entries,
  resource,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// What a card of CDS Hooks 2.0 proposes, taken as it is and sent as a transaction: it is triaged like every referral.

let service: TestService
let partner: Who
let child: string
let requester: string
let prefetch: Json
let asks = 0

beforeAll(async () => {
  service = await testService()
  return service.close
})

/** A child of whom everything is known here but that it is referred. */
async function childWithoutReferral(): Promise<void> {
  ;({ partner } = await service.clinic())
  const parts = referralParts({ key: `card${(asks += 1)}` })
  const post = async (body: Json): Promise<string> => {
    const url = `/fhir/${String(body['resourceType'])}`
    const made = await service.send(partner, { method: 'POST', url, body })
    expect(made.status, made.text).toBe(201)
    return String(resource(made)['id'])
  }
  child = await post(parts.get('patient')?.resource ?? {})
  requester = await post(parts.get('practitioner')?.resource ?? {})
  for (const { resource: sent } of parts.values())
    if (['Observation', 'Condition'].includes(String(sent['resourceType']))) {
      const { performer: _seenBy, ...rest } = sent
      await post({ ...rest, subject: { reference: `Patient/${child}` } })
    }
  prefetch = prefetchOf(parts, child)
}

const Proposed = z.object({ resource: z.record(z.string(), z.unknown()) })

async function proposedBy(url: string, body: Json): Promise<Json> {
  const headers = { 'content-type': 'application/json' }
  const [card] = cardsOf(await service.send(partner, { method: 'POST', url, body, headers }))
  return Proposed.parse(card?.suggestions?.[0]?.actions[0]).resource
}

/** Signed by whoever decided, with the Task that asks the clinic to take it. */
async function sent(request: Json): Promise<{ readonly request: string; readonly task: string }> {
  const [requestUrn, taskUrn] = [`urn:uuid:${randomUUID()}`, `urn:uuid:${randomUUID()}`]
  const task = {
    resourceType: 'Task',
    status: 'requested',
    intent: 'order',
    code: coded('exchange', 'orthotic-referral'),
    focus: { reference: requestUrn },
    for: { reference: `Patient/${child}` },
    authoredOn: '2026-03-02',
  }
  const answer = await service.send(partner, {
    method: 'POST',
    url: '/fhir',
    body: {
      resourceType: 'Bundle',
      type: 'transaction',
      entry: [
        {
          fullUrl: requestUrn,
          resource: request,
          request: { method: 'POST', url: 'ServiceRequest' },
        },
        { fullUrl: taskUrn, resource: task, request: { method: 'POST', url: 'Task' } },
      ],
    },
  })
  expect(answer.status, answer.text).toBe(200)
  const places = entries(answer).map(
    ({ response }) => /\/fhir\/([^/]+\/[^/]+)\//.exec(response?.location ?? '')?.[1] ?? '',
  )
  return { request: places[0] ?? '', task: places[1] ?? '' }
}

const find = async (query: string) =>
  resources(await service.send(partner, { url: `/fhir/${query}` }))
const suitabilities = () => find(`Observation?subject=Patient/${child}&code=orthosis-suitability`)

test.each([
  [
    'patient-view',
    () => proposedBy(VIEW, viewCall(prefetch, { context: { ...contextOf(), patientId: child } })),
  ],
  [
    'order-sign',
    () =>
      proposedBy(
        SIGN,
        signCall(prefetch, [draftOf()], {
          context: {
            ...contextOf(),
            patientId: child,
            draftOrders: {
              resourceType: 'Bundle',
              type: 'collection',
              entry: [{ resource: draftOf() }],
            },
          },
        }),
      ),
  ],
])('the referral that a card of %s proposes is triaged when it is sent', async (_hook, ask) => {
  await childWithoutReferral()
  const { id: _draftsOwn, ...proposed } = await ask()
  expect(proposed).toMatchObject({
    resourceType: 'ServiceRequest',
    status: 'draft',
    subject: { reference: `Patient/${child}` },
  })
  expect(await suitabilities()).toEqual([])

  const { request, task } = await sent({ ...proposed, status: 'active', intent: 'order' })

  expect(await suitabilities()).toMatchObject([
    { valueCodeableConcept: { coding: [{ code: 'suitable' }] } },
  ])
  const [after] = await find(`Task?_id=${task.split('/')[1]}`)
  expect(after).toMatchObject({
    status: 'received',
    focus: { reference: request },
    priority: proposed['priority'],
  })
  expect(JSON.stringify(after?.['output'])).toContain('Provenance/')
})

const contextOf = (): Json => ({ userId: `Practitioner/${requester}` })
const draftOf = (): Json => ({
  resourceType: 'ServiceRequest',
  id: 'draft-1',
  status: 'draft',
  intent: 'order',
  code: coded('exchange', 'orthotic-referral'),
  subject: { reference: `Patient/${child}` },
  requester: { reference: `Practitioner/${requester}` },
})
