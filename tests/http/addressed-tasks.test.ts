import { randomUUID } from 'node:crypto'
import { beforeAll, beforeEach, expect, test } from 'vitest'
import type { Sender } from '../../src/services/notification-sending.ts'
import { coded, type Json, smallReferral } from '../helpers/referral.ts'
import {
  type Answer,
  expressions,
  kept,
  keptAs,
  resource,
  resources,
  type TestService,
  type Who,
} from '../helpers/service.ts'
import {
  read,
  type Receiver,
  subscribed,
  subscription,
  tell,
  tellingService,
} from '../helpers/subscriptions.ts'

// A Task of staff belongs to whoever owns it: a partner that is to do something reads it and is told of it.

const PARTNER = 'https://footing.example/fhir/NamingSystem/partner'
const CLINIC = 'https://footing.example/fhir/NamingSystem/clinic'

let service: TestService
let endpoint: Receiver
let sender: Sender
let staff: Who
let partner: Who
let other: Who
let own: { readonly patient: string; readonly referral: string; readonly organisation: string }

beforeAll(async () => {
  const telling = await tellingService()
  ;({ service, endpoint, sender } = telling)
  ;({ staff, partner, other } = await service.clinic())
  const parts = smallReferral({ key: 'tasks' })
  const answer = await service.refer(partner, parts)
  const organisation = await create(partner, { resourceType: 'Organization', name: 'Invented' })
  own = {
    patient: keptAs(answer, parts, 'patient'),
    referral: keptAs(answer, parts, 'referral'),
    organisation: placeOf(organisation),
  }
  for (const [who, path] of [
    [partner, '/partner'],
    [other, '/other'],
  ] as const) {
    const topic = 'information-requested'
    await subscribed(service, who, subscription(`${endpoint.origin}${path}`, { topic }))
  }
  await tell(service, sender)
  await tell(service, sender)
  return telling.close
})

beforeEach(() => {
  endpoint.received.length = 0
})

const create = (who: Who, body: Json): Promise<Answer> =>
  service.send(who, { method: 'POST', url: `/fhir/${String(body['resourceType'])}`, body })
const placeOf = (answer: Answer): string => {
  const { resourceType, id } = resource(answer)
  return `${String(resourceType)}/${String(id)}`
}
const named = (value: string | undefined, system = PARTNER): Json => ({
  type: 'Organization',
  identifier: { system, value },
})
const task = (owner: Json | undefined, more: Json = {}): Json => ({
  resourceType: 'Task',
  status: 'requested',
  intent: 'order',
  code: coded('task', 'information-request'),
  for: { reference: own.patient },
  focus: { reference: own.referral },
  description: 'Send the letter of the paediatrician (invented).',
  ...(owner === undefined ? {} : { owner }),
  ...more,
})
const statusFor = async (who: Who, place: string) =>
  (await service.send(who, { url: `/fhir/${place}` })).status
const toldAt = (path: string) =>
  endpoint
    .at(path)
    .map(read)
    .flatMap(({ events }) => events.map(({ focus }) => focus))

test.each<[string, () => Json | undefined, number]>([
  ['a partner, by its identifier', () => named(partner.partnerId), 200],
  ['an organisation that the partner sent', () => ({ reference: own.organisation }), 200],
  ['the clinic', () => named(staff.clinicId, CLINIC), 404],
  ['nobody', () => undefined, 404],
])('a Task of staff that is owned by %s', async (_owner, owner, status) => {
  const made = await create(staff, task(owner()))
  expect(made.status, made.text).toBe(201)
  await tell(service, sender)

  const place = placeOf(made)
  expect(await statusFor(staff, place)).toBe(200)
  expect(await statusFor(partner, place)).toBe(status)
  expect(await statusFor(other, place)).toBe(404)
  expect(toldAt('/partner')).toEqual(status === 200 ? [place] : [])
  expect(toldAt('/other')).toEqual([])
})

test('its owner finds it, takes it on and completes it', async () => {
  const place = placeOf(await create(staff, task(named(partner.partnerId))))
  const url = `/fhir/Task?owner:identifier=${PARTNER}|${partner.partnerId}&_count=100`
  const sent = resources(await service.send(partner, { url })).find(
    ({ id }) => place === `Task/${String(id)}`,
  )

  for (const status of ['accepted', 'completed']) {
    const body = { ...sent, status }
    const answer = await service.send(partner, { method: 'PUT', url: `/fhir/${place}`, body })
    expect(answer.status, answer.text).toBe(200)
  }

  const after = resource(await service.send(staff, { url: `/fhir/${place}` }))
  expect(after).toMatchObject({ status: 'completed', meta: { versionId: '3' } })
})

test('the document that it names goes along when it is created with it', async () => {
  const [taskUrn, documentUrn] = [`urn:uuid:${randomUUID()}`, `urn:uuid:${randomUUID()}`]
  const document = {
    resourceType: 'DocumentReference',
    status: 'current',
    subject: { reference: own.patient },
    content: [{ attachment: { contentType: 'text/plain', data: 'SW52ZW50ZWQ=' } }],
  }
  const input = [{ type: { text: 'Form' }, valueReference: { reference: documentUrn } }]
  const body = {
    resourceType: 'Bundle',
    type: 'transaction',
    entry: [
      {
        fullUrl: taskUrn,
        resource: task(named(partner.partnerId), { input }),
        request: { method: 'POST', url: 'Task' },
      },
      {
        fullUrl: documentUrn,
        resource: document,
        request: { method: 'POST', url: 'DocumentReference' },
      },
    ],
  }

  const places = kept(await service.send(staff, { method: 'POST', url: '/fhir', body }))

  for (const place of places) {
    expect(await statusFor(partner, place), place).toBe(200)
    expect(await statusFor(other, place), place).toBe(404)
  }
})

test.each<[string, () => Json, string]>([
  ['an unknown partner', () => task(named(randomUUID())), 'Task.owner'],
  [
    'a draft that names a partner',
    () => task(named(partner.partnerId), { status: 'draft' }),
    'Task.status',
  ],
  [
    'one about a child that its owner did not send',
    () => task(named(other.partnerId)),
    'Task.focus.reference',
  ],
  [
    'one that does not name the child',
    () => task(named(partner.partnerId), { for: undefined }),
    'Task.for',
  ],
])('%s is refused', async (_what, body, at) => {
  const answer = await create(staff, body())

  expect(answer.status, answer.text).toBe(422)
  expect(expressions(answer)).toContain(at)
})

test('what was kept for the clinic does not become a partner’s by an update', async () => {
  const made = await create(staff, task(undefined))
  const body = { ...resource(made), owner: named(partner.partnerId) }

  const answer = await service.send(staff, { method: 'PUT', url: `/fhir/${placeOf(made)}`, body })

  expect([answer.status, ...expressions(answer)]).toEqual([422, 'Task.owner'])
  expect(await statusFor(partner, placeOf(made))).toBe(404)
})
