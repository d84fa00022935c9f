import { createHash } from 'node:crypto'
import { createLocalJWKSet, flattenedVerify } from 'jose'
import { beforeAll, beforeEach, expect, test } from 'vitest'
import { z } from 'zod'
import { validateResource } from '../../src/fhir/validate.ts'
import type { Sender } from '../../src/services/notification-sending.ts'
import { consentedReferral } from '../helpers/consent-resources.ts'
import { type Json, smallReferral } from '../helpers/referral.ts'
import {
  BASE,
  expressions,
  keptAs,
  resource,
  resources,
  type TestService,
  type Who,
} from '../helpers/service.ts'
import {
  ISSUER,
  read,
  type Receiver,
  subscribed,
  subscription,
  tell,
  tellingService,
} from '../helpers/subscriptions.ts'

let service: TestService
let endpoint: Receiver
let sender: Sender
let staff: Who
let partner: Who
let other: Who
let sent = 0

beforeAll(async () => {
  const telling = await tellingService()
  ;({ service, endpoint, sender } = telling)
  return telling.close
})

beforeEach(async () => {
  ;({ staff, partner, other } = await service.clinic())
  endpoint.received.length = 0
  endpoint.answer = () => 200
})

const path = () => `/hook/${(sent += 1)}`
const statusOf = async (who: Who, id: string) =>
  resource(await service.send(who, { url: `/fhir/Subscription/${id}` }))['status']

/** A small referral of another child; the place of its Task. */
async function refer(who: Who): Promise<string> {
  const parts = smallReferral({ key: `child${(sent += 1)}` })
  return keptAs(await service.refer(who, parts), parts, 'task')
}

/** A Patient alone. */
async function child(who: Who): Promise<string> {
  const parts = smallReferral({ key: `child${(sent += 1)}` })
  const body = parts.get('patient')?.resource
  const { id } = z
    .object({ id: z.string() })
    .parse((await service.send(who, { method: 'POST', url: '/fhir/Patient', body })).json)
  return `Patient/${id}`
}

test('a subscription is requested, shakes hands, is active, and is told of what happens to its own referrals', async () => {
  const at = path()
  const id = await subscribed(service, partner, subscription(`${endpoint.origin}${at}`))
  expect(await statusOf(partner, id)).toBe('requested')
  expect(endpoint.received).toEqual([])

  await tell(service, sender)
  expect(endpoint.at(at).map(read)).toMatchObject([
    { type: 'handshake', status: 'requested', count: '0', events: [] },
  ])
  expect(await statusOf(partner, id)).toBe('active')

  const task = await refer(partner)
  const foreign = await refer(other)
  await tell(service, sender)
  await tell(service, sender)

  const told = endpoint.at(at).slice(1).map(read)
  expect(told.map(({ type, status }) => [type, status])).toEqual([['event-notification', 'active']])
  // The triage moves the referral on at once.
  expect(told[0]?.events[0]).toEqual({ number: '1', focus: task })
  expect(told[0]?.events.map(({ focus }) => focus)).not.toContain(foreign)
  expect(told[0]?.count).toBe(told[0]?.events.at(-1)?.number)
  expect(await statusOf(staff, id)).toBe('active')
})

test('each payload tells what it is to tell, and nothing more', async () => {
  const paths = { empty: path(), 'id-only': path(), 'full-resource': path() }
  for (const [content, at] of Object.entries(paths))
    await subscribed(service, partner, subscription(`${endpoint.origin}${at}`, { content }))
  await tell(service, sender)
  const task = await refer(partner)
  await tell(service, sender)

  const told = (at: string) => read(endpoint.at(at)[1] ?? { text: '{}' })
  expect(told(paths.empty).events[0]).toEqual({ number: '1', focus: undefined })
  expect(endpoint.at(paths.empty)[1]?.text).not.toContain(task)
  expect(told(paths['id-only']).events[0]).toEqual({ number: '1', focus: task })
  expect(told(paths['id-only']).bundle.entry).toHaveLength(1)
  const full = told(paths['full-resource'])
  expect(full.bundle.entry[1]).toMatchObject({
    fullUrl: `${BASE}/${task}`,
    resource: { resourceType: 'Task', id: task.split('/')[1], meta: { versionId: '1' } },
    request: { method: 'POST', url: 'Task' },
  })
  expect(validateResource(full.bundle)).toEqual([])
})

test('a filter leaves out what it does not find', async () => {
  const [all, urgent] = [path(), path()]
  await subscribed(service, staff, subscription(`${endpoint.origin}${all}`))
  await subscribed(
    service,
    staff,
    subscription(`${endpoint.origin}${urgent}`, { filters: ['Task?priority=stat'] }),
  )
  await tell(service, sender)
  await refer(partner)
  await tell(service, sender)

  expect(
    endpoint
      .at(all)
      .map(read)
      .map(({ type }) => type),
  ).toEqual(['handshake', 'event-notification'])
  expect(
    endpoint
      .at(urgent)
      .map(read)
      .map(({ type }) => type),
  ).toEqual(['handshake'])
})

test('events of one resource come in order, each number once, as many at a time as asked for', async () => {
  const at = path()
  const asked = { topic: 'plan-changed', maxCount: 2 }
  await subscribed(service, staff, subscription(`${endpoint.origin}${at}`, asked))
  await tell(service, sender)
  const patient = await child(staff)
  const plan = {
    resourceType: 'CarePlan',
    status: 'draft',
    intent: 'plan',
    subject: { reference: patient },
  }
  const made = await service.send(staff, { method: 'POST', url: '/fhir/CarePlan', body: plan })
  const { id } = z.object({ id: z.string() }).parse(made.json)
  for (const title of ['b', 'c', 'd', 'e'])
    await service.send(staff, {
      method: 'PUT',
      url: `/fhir/CarePlan/${id}`,
      body: { ...plan, id, title },
    })
  await tell(service, sender)

  const told = endpoint.at(at).slice(1).map(read)
  expect(told.map(({ numbers }) => numbers)).toEqual([['1', '2'], ['3', '4'], ['5']])
  expect(told.every(({ count }) => count === '5')).toBe(true)
})

test('a topic that is named with its version is told of like one without', async () => {
  const at = path()
  const asked = { topic: 'referral-changed|1.0.0' }
  const id = await subscribed(service, partner, subscription(`${endpoint.origin}${at}`, asked))
  await tell(service, sender)
  const task = await refer(partner)
  await tell(service, sender)

  expect(endpoint.at(at).map(read).at(-1)?.events[0]).toEqual({ number: '1', focus: task })
  const kept = resource(await service.send(partner, { url: `/fhir/Subscription/${id}` }))
  expect(kept['criteria']).toMatch(/\|1\.0\.0$/)
})

test('a heartbeat comes when nothing else came for so long, and counts nothing', async () => {
  const at = path()
  await subscribed(service, partner, subscription(`${endpoint.origin}${at}`, { heartbeatS: 60 }))
  await tell(service, sender)
  service.clock.advance(59_999)
  await tell(service, sender)
  expect(endpoint.at(at)).toHaveLength(1)

  service.clock.advance(1)
  await tell(service, sender)
  expect(endpoint.at(at).map(read).at(-1)).toMatchObject({
    type: 'heartbeat',
    count: '0',
    events: [],
  })

  service.clock.advance(60_000)
  await tell(service, sender)
  expect(endpoint.at(at)).toHaveLength(3)
  const ids = endpoint
    .at(at)
    .map(read)
    .map(({ bundle }) => bundle.id)
  expect(new Set(ids).size).toBe(3)
})

test('a subscription that is over or turned off is told nothing, and says so', async () => {
  const [over, off] = [path(), path()]
  const end = new Date(service.service.context.now().getTime() + 60_000).toISOString()
  const first = await subscribed(
    service,
    partner,
    subscription(`${endpoint.origin}${over}`, { end }),
  )
  const second = await subscribed(service, partner, subscription(`${endpoint.origin}${off}`))
  await tell(service, sender)
  service.clock.advance(60_000)
  const body = resource(await service.send(partner, { url: `/fhir/Subscription/${second}` }))
  const put = {
    method: 'PUT',
    url: `/fhir/Subscription/${second}`,
    body: { ...body, status: 'off' },
  } as const
  expect((await service.send(partner, put)).status).toBe(200)
  await refer(partner)
  await tell(service, sender)

  expect(await statusOf(partner, first)).toBe('off')
  expect(await statusOf(partner, second)).toBe('off')
  expect([endpoint.at(over).length, endpoint.at(off).length]).toEqual([1, 1])
})

test('a subscription that is changed shakes hands again; one that is deleted is told nothing', async () => {
  const at = path()
  const id = await subscribed(service, partner, subscription(`${endpoint.origin}${at}`))
  await tell(service, sender)
  const body = resource(await service.send(partner, { url: `/fhir/Subscription/${id}` }))
  const url = `/fhir/Subscription/${id}`
  await service.send(partner, { method: 'PUT', url, body: { ...body, reason: 'Another one' } })
  expect(await statusOf(partner, id)).toBe('requested')
  await tell(service, sender)
  expect(
    endpoint
      .at(at)
      .map(read)
      .map(({ type }) => type),
  ).toEqual(['handshake', 'handshake'])

  await service.send(partner, { method: 'DELETE', url })
  await refer(partner)
  await tell(service, sender)
  expect(endpoint.at(at)).toHaveLength(2)
  expect((await service.send(partner, { url: `${url}/$status` })).status).toBe(410)
})

test('the state is the service’s, and an endpoint within is refused where it was sent', async () => {
  const refusals: readonly (readonly [Json, string])[] = [
    [{ ...subscription(`${endpoint.origin}/x`), status: 'active' }, 'Subscription.status'],
    [{ ...subscription(`${endpoint.origin}/x`), status: 'off' }, 'Subscription.status'],
    [subscription('https://127.0.0.1/x'), 'Subscription.channel.endpoint'],
    [subscription('http://hooks.example/x'), 'Subscription.channel.endpoint'],
    [subscription(`${endpoint.origin}/x`, { topic: 'none' }), 'Subscription.criteria'],
    [
      subscription(`${endpoint.origin}/x`, { topic: 'referral-changed|2.0.0' }),
      'Subscription.criteria',
    ],
  ]
  for (const [body, place] of refusals) {
    const answer = await service.send(partner, { method: 'POST', url: '/fhir/Subscription', body })
    expect(answer.status).toBe(422)
    expect(expressions(answer)).toEqual([place])
  }
})

// R4 Subscription.end: "The time for the server to turn the subscription off."
test('a subscription that would be over before it begins is refused', async () => {
  const ending = (ms: number): Json => ({
    ...subscription(`${endpoint.origin}${path()}`),
    end: new Date(service.service.context.now().getTime() + ms).toISOString(),
  })
  const send = (body: Json) =>
    service.send(partner, { method: 'POST', url: '/fhir/Subscription', body })

  const over = await send(ending(-1))
  const later = await send(ending(60_000))

  expect([over.status, expressions(over)]).toEqual([422, ['Subscription.end']])
  expect(later.status, later.text).toBe(201)
  service.clock.advance(120_000)
  const url = `/fhir/Subscription/${String(resource(later)['id'])}`
  const off = { ...resource(later), status: 'off' }
  expect((await service.send(partner, { method: 'PUT', url, body: resource(later) })).status).toBe(
    422,
  )
  expect((await service.send(partner, { method: 'PUT', url, body: off })).status).toBe(200)
})

test('nobody subscribes to what the token does not let it read', async () => {
  const { clinicId } = staff
  const scope = 'system/Subscription.cruds system/Observation.rs'
  const narrow = await service.who({ clinicId, scope, clientId: `narrow-${(sent += 1)}` })
  const body = subscription(`${endpoint.origin}${path()}`)

  const answer = await service.send(narrow, { method: 'POST', url: '/fhir/Subscription', body })
  expect(answer.status).toBe(403)
  expect(expressions(answer)).toEqual(['Subscription.criteria'])
})

test('a subscription of another partner is as if it were not there', async () => {
  const id = await subscribed(service, partner, subscription(`${endpoint.origin}${path()}`))
  for (const url of [
    `/fhir/Subscription/${id}`,
    `/fhir/Subscription/${id}/$status`,
    `/fhir/Subscription/${id}/$events`,
  ])
    expect((await service.send(other, { url })).status).toBe(404)

  const all = await service.send(other, { url: '/fhir/Subscription/$status' })
  expect(all.status).toBe(200)
  expect(all.text).not.toContain(id)
})

test('a client that was revoked, or registered for less, is told nothing more', async () => {
  const at = path()
  const clientId = `leaving-${(sent += 1)}`
  const { clinicId, partnerId = '' } = partner
  const leaving = await service.who({ clinicId, partnerId, clientId })
  await subscribed(service, leaving, subscription(`${endpoint.origin}${at}`))
  await tell(service, sender)
  await service.sql('update clients set scope = $2 where client_id = $1', [
    clientId,
    'system/Patient.rs',
  ])
  await refer(partner)
  await tell(service, sender)
  await service.sql('update clients set scope = $2, revoked_at = now() where client_id = $1', [
    clientId,
    'system/*.cruds',
  ])
  await refer(partner)
  await tell(service, sender)

  expect(
    endpoint
      .at(at)
      .map(read)
      .map(({ type }) => type),
  ).toEqual(['handshake'])
})

test('what a consent does not let go any more is counted, told to nobody, and not answered', async () => {
  const at = path()
  const under = await service.clinic('part-c')
  const parts = consentedReferral(`told${(sent += 1)}`, under.partner.clinicId, {
    identifier: [{ system: 's', value: 'told' }],
  })
  const id = await subscribed(
    service,
    under.partner,
    subscription(`${endpoint.origin}${at}`, { content: 'full-resource' }),
  )
  await tell(service, sender)
  const answer = await service.refer(under.partner, parts)
  const consent = keptAs(answer, parts, 'consent')
  const body = resource(await service.send(under.staff, { url: `/fhir/${consent}` }))
  const refused = { ...body, status: 'inactive' }
  expect(
    (await service.send(under.staff, { method: 'PUT', url: `/fhir/${consent}`, body: refused }))
      .status,
  ).toBe(200)
  await tell(service, sender)

  expect(
    endpoint
      .at(at)
      .map(read)
      .map(({ type }) => type),
  ).toEqual(['handshake'])
  const status = await service.send(under.partner, { url: `/fhir/Subscription/${id}/$status` })
  expect(status.text).toMatch(/"events-since-subscription-start","valueString":"[1-9]/)
  const events = await service.send(under.partner, { url: `/fhir/Subscription/${id}/$events` })
  expect(read(events).events).toEqual([])
  expect(events.text).not.toContain('Task/')
})

test('$status and $events answer what is asked', async () => {
  const id = await subscribed(service, partner, subscription(`${endpoint.origin}${path()}`))
  await tell(service, sender)
  const tasks = [await refer(partner), await refer(partner)]
  const events = `/fhir/Subscription/${id}/$events`

  const all = await service.send(partner, { url: events })
  expect(all.status).toBe(200)
  const told = read(all)
  expect(told.type).toBe('query-event')
  expect(told.numbers).toEqual(told.numbers.map((_, index) => String(index + 1)))
  expect(tasks.every((task) => told.events.some(({ focus }) => focus === task))).toBe(true)
  expect(validateResource(all.json)).toEqual([])

  const one = read(
    await service.send(partner, { url: `${events}?eventsSinceNumber=2&eventsUntilNumber=2` }),
  )
  expect(one.numbers).toEqual(['2'])
  const full = await service.send(partner, {
    method: 'POST',
    url: events,
    body: {
      resourceType: 'Parameters',
      parameter: [
        { name: 'eventsUntilNumber', valueString: '1' },
        { name: 'content', valueCode: 'full-resource' },
      ],
    },
  })
  expect(read(full).bundle.entry[1]?.resource['resourceType']).toBe('Task')

  const status = await service.send(partner, {
    url: `/fhir/Subscription/$status?id=${id}&status=active`,
  })
  expect(validateResource(status.json)).toEqual([])
  expect(status.json).toMatchObject({ type: 'searchset', total: 1 })
  const off = await service.send(partner, { url: `/fhir/Subscription/$status?status=off` })
  expect(off.json).toMatchObject({ total: 0 })
  for (const query of ['eventsSinceNumber=x', 'content=some', 'eventsUntilNumber=-1'])
    expect((await service.send(partner, { url: `${events}?${query}` })).status).toBe(400)
})

test('a receiver verifies body, sender, addressee and time with the published keys', async () => {
  const at = path()
  const header = ['Authorization: Bearer invented', 'X-Case: 1']
  await subscribed(service, partner, subscription(`${endpoint.origin}${at}`, { header }))
  await tell(service, sender)
  const received = z.object({ text: z.string(), headers: z.record(z.string(), z.unknown()) })
  const { text, headers } = received.parse(endpoint.at(at)[0])
  const keys = createLocalJWKSet({ keys: [...(await service.service.tokens.publicKeys()).keys] })
  const [head = '', , signature = ''] = String(headers['x-jws-signature']).split('.')
  const verified = (body: string) =>
    flattenedVerify(
      { protected: head, payload: Buffer.from(body).toString('base64url'), signature },
      keys,
    )

  const { protectedHeader } = await verified(text)
  const [key] = (await service.service.tokens.publicKeys()).keys
  expect(protectedHeader).toEqual({
    alg: 'ES256',
    kid: key?.kid,
    typ: 'notification+jws',
    iss: ISSUER,
    aud: `${endpoint.origin}${at}`,
    iat: Math.floor(service.service.context.now().getTime() / 1_000),
    jti: read({ text }).bundle.id,
  })
  await expect(verified(text.replace('handshake', 'heartbeat'))).rejects.toMatchObject({
    code: 'ERR_JWS_SIGNATURE_VERIFICATION_FAILED',
  })
  expect(headers).toMatchObject({
    'content-type': 'application/fhir+json',
    'content-digest': `sha-256=:${createHash('sha256').update(text).digest('base64')}:`,
    authorization: 'Bearer invented',
    'x-case': '1',
  })
})

test('every notification is an AuditEvent that names whom it went to and what it was about', async () => {
  await subscribed(service, partner, subscription(`${endpoint.origin}${path()}`))
  await tell(service, sender)
  const task = await refer(partner)
  await tell(service, sender)

  const found = resources(
    await service.send(staff, {
      url: `/fhir/AuditEvent?entity=${task}&subtype=event-notification`,
    }),
  )
  expect(found).toHaveLength(1)
  const text = JSON.stringify(found[0])
  expect(text).toContain(partner.clientId)
  expect(text).toContain(`${task}/_history/1`)
  expect(text).toMatch(/Patient\/[0-9a-f-]+/)
})

test('where nobody subscribed nothing is noted', async () => {
  await refer(partner)

  expect(
    await service.sql('select from written_versions where clinic_id = $1', [partner.clinicId]),
  ).toEqual([])
})
