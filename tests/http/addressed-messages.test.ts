import { randomUUID } from 'node:crypto'
import { beforeAll, beforeEach, expect, test } from 'vitest'
import type { Sender } from '../../src/services/notification-sending.ts'
import { consentedReferral } from '../helpers/consent-resources.ts'
import { type Json, smallReferral } from '../helpers/referral.ts'
import {
  type Answer,
  expressions,
  issues,
  kept,
  keptAs,
  resource,
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

// Who reads, and is told of, what staff write: a partner what is addressed to it, and nobody else.

const PARTNER = 'https://footing.example/fhir/NamingSystem/partner'
const CLINIC = 'https://footing.example/fhir/NamingSystem/clinic'

let service: TestService
let endpoint: Receiver
let sender: Sender
let staff: Who
let partner: Who
let other: Who
/** What the two partners sent, each of the same child and of itself. */
let own: Sent
let foreign: Sent

interface Sent {
  readonly patient: string
  readonly referral: string
  readonly organisation: string
  readonly practitioner: string
}

beforeAll(async () => {
  const telling = await tellingService()
  ;({ service, endpoint, sender } = telling)
  ;({ staff, partner, other } = await service.clinic())
  own = await sentBy(partner)
  foreign = await sentBy(other)
  for (const [who, path] of [
    [partner, '/partner'],
    [other, '/other'],
  ] as const)
    for (const topic of ['message-sent', 'document-issued'])
      await subscribed(service, who, subscription(`${endpoint.origin}${path}`, { topic }))
  await tell(service, sender)
  return telling.close
})

beforeEach(async () => {
  // What a test before left to be told.
  await tell(service, sender)
  endpoint.received.length = 0
})

const create = (who: Who, body: Json): Promise<Answer> =>
  service.send(who, { method: 'POST', url: `/fhir/${String(body['resourceType'])}`, body })
const placeOf = (answer: Answer): string => {
  const { resourceType, id } = resource(answer)
  return `${String(resourceType)}/${String(id)}`
}

async function sentBy(who: Who): Promise<Sent> {
  const parts = smallReferral({ key: 'addressed' })
  const answer = await service.refer(who, parts)
  const name = [{ family: 'Invented' }]
  return {
    patient: keptAs(answer, parts, 'patient'),
    referral: keptAs(answer, parts, 'referral'),
    organisation: placeOf(await create(who, { resourceType: 'Organization', name: 'Invented' })),
    practitioner: placeOf(await create(who, { resourceType: 'Practitioner', name })),
  }
}

const to = (reference: string): Json => ({ reference })
const named = (value: string | undefined, system = PARTNER): Json => ({
  type: 'Organization',
  identifier: { system, value },
})
const message = (recipient: readonly Json[], more: Json = {}): Json => ({
  resourceType: 'Communication',
  status: 'completed',
  subject: to(own.patient),
  ...(recipient.length === 0 ? {} : { recipient }),
  payload: [{ contentString: 'An invented message' }],
  ...more,
})

/** Who reads it: one letter each for staff, the partner and the other one. */
async function readers(place: string): Promise<string> {
  const letters: string[] = []
  for (const [letter, who] of [
    ['s', staff],
    ['p', partner],
    ['o', other],
  ] as const)
    if ((await service.send(who, { url: `/fhir/${place}` })).status === 200) letters.push(letter)
  return letters.join('')
}

/** What an address was told of. */
const toldAt = (path: string) =>
  endpoint
    .at(path)
    .map(read)
    .flatMap(({ events }) => events.map(({ focus }) => focus))

const READ_BY: readonly (readonly [string, () => Json, string])[] = [
  ['the partner, by its identifier', () => message([named(partner.partnerId)]), 'sp'],
  [
    'the partner and the clinic',
    () => message([named(partner.partnerId), named(staff.clinicId, CLINIC)]),
    'sp',
  ],
  ['an organisation that the partner sent', () => message([to(own.organisation)]), 'sp'],
  ['a person whom the partner sent', () => message([to(own.practitioner)]), 'sp'],
  [
    'the partner, contained',
    () =>
      message([to('#o')], {
        contained: [
          {
            resourceType: 'Organization',
            id: 'o',
            name: 'Invented',
            identifier: [{ system: PARTNER, value: partner.partnerId }],
          },
        ],
      }),
    'sp',
  ],
  [
    'the partner, about its referral',
    () => message([named(partner.partnerId)], { basedOn: [to(own.referral)] }),
    'sp',
  ],
  [
    'the other partner, about no child',
    () => message([named(other.partnerId)], { subject: undefined }),
    'so',
  ],
  [
    'the other partner, about its own copy',
    () => message([to(foreign.organisation)], { subject: to(foreign.patient) }),
    'so',
  ],
  ['the clinic itself', () => message([named(staff.clinicId, CLINIC)]), 's'],
  ['the family', () => message([to(own.patient)]), 's'],
  ['nobody', () => message([]), 's'],
  ['nobody yet', () => message([], { status: 'preparation' }), 's'],
]

test.each(READ_BY)('a message of staff to %s', async (_to, body, expected) => {
  const answer = await create(staff, body())
  expect(answer.status).toBe(201)
  await tell(service, sender)

  const place = placeOf(answer)
  expect(await readers(place)).toBe(expected)
  expect(toldAt('/partner')).toEqual(expected.includes('p') ? [place] : [])
  expect(toldAt('/other')).toEqual(expected.includes('o') ? [place] : [])
})

const REFUSED: readonly (readonly [string, () => Json, string])[] = [
  [
    'two partners',
    () => message([named(partner.partnerId), named(other.partnerId)]),
    'Communication.recipient[1]',
  ],
  [
    'a partner that is not registered',
    () => message([named(randomUUID())]),
    'Communication.recipient[0]',
  ],
  [
    'a partner while it is in preparation',
    () => message([named(partner.partnerId)], { status: 'preparation' }),
    'Communication.status',
  ],
  [
    'a partner about the other one’s child',
    () => message([named(partner.partnerId)], { subject: to(foreign.patient) }),
    'Communication.subject.reference',
  ],
  [
    'a partner about a referral without its child',
    () => message([named(partner.partnerId)], { subject: undefined, about: [to(own.referral)] }),
    'Communication.subject',
  ],
]

test.each(REFUSED)('staff send no message to %s', async (_to, body, place) => {
  const answer = await create(staff, body())

  expect([answer.status, ...expressions(answer)]).toEqual([422, place])
})

test('a partner is not sent what is about a child of the clinic alone, nor a document that it does not see', async () => {
  const patient = placeOf(await create(staff, { resourceType: 'Patient' }))
  const document = placeOf(
    await create(staff, {
      resourceType: 'DocumentReference',
      status: 'current',
      content: [{ attachment: { title: 'Invented' } }],
    }),
  )
  const child = await create(staff, message([named(partner.partnerId)], { subject: to(patient) }))
  const paper = await create(
    staff,
    message([named(partner.partnerId)], { payload: [{ contentReference: to(document) }] }),
  )

  expect(expressions(child)).toEqual(['Communication.subject.reference'])
  expect(expressions(paper)).toEqual(['Communication.payload[0].contentReference.reference'])
})

test('a message stays whose it is: it gets no partner, and no other partner, afterwards', async () => {
  const put = async (before: Answer, recipient: readonly Json[]) => {
    const { id } = resource(before)
    const body = { ...message(recipient), id }
    return service.send(staff, { method: 'PUT', url: `/fhir/Communication/${String(id)}`, body })
  }
  const note = await create(staff, message([]))
  const sent = await create(staff, message([named(partner.partnerId)]))

  const late = await put(note, [named(partner.partnerId)])
  const more = await put(sent, [named(partner.partnerId), named(other.partnerId)])
  const same = await put(sent, [to(own.organisation)])

  expect([late.status, ...expressions(late)]).toEqual([422, 'Communication.recipient[0]'])
  expect([more.status, ...expressions(more)]).toEqual([422, 'Communication.recipient[1]'])
  expect(same.status).toBe(200)
  expect(await readers(placeOf(sent))).toBe('sp')
})

test('a document that a message carries goes with it, with its bytes', async () => {
  const [letter, paper, bytes] = [randomUUID(), randomUUID(), randomUUID()].map(
    (id) => `urn:uuid:${id}`,
  )
  const subject = to(own.patient)
  const entry = [
    [
      letter,
      message([named(partner.partnerId)], { payload: [{ contentReference: to(paper ?? '') }] }),
    ],
    [
      paper,
      {
        resourceType: 'DocumentReference',
        status: 'current',
        subject,
        content: [{ attachment: { contentType: 'text/plain', url: bytes } }],
      },
    ],
    [
      bytes,
      {
        resourceType: 'Binary',
        contentType: 'text/plain',
        data: 'SW52ZW50ZWQ=',
        securityContext: to(paper ?? ''),
      },
    ],
  ] as const
  const body = {
    resourceType: 'Bundle',
    type: 'transaction',
    entry: entry.map(([fullUrl, one]) => ({
      fullUrl,
      resource: one,
      request: { method: 'POST', url: one['resourceType'] },
    })),
  }
  const answer = await service.send(staff, { method: 'POST', url: '/fhir', body })
  expect(answer.status).toBe(200)
  await tell(service, sender)

  const places = kept(answer)
  for (const place of places) expect(await readers(place), place).toBe('sp')
  expect(new Set(toldAt('/partner'))).toEqual(new Set(places.slice(0, 2)))
  expect(toldAt('/other')).toEqual([])
})

test('what the clinic wrote is changed by the clinic alone, also where the partner reads it', async () => {
  const url = `/fhir/${placeOf(await create(staff, message([named(partner.partnerId)])))}`
  const body = { ...resource(await service.send(partner, { url })), language: 'es' }
  const patch = [{ op: 'add', path: '/language', value: 'es' }]
  const headers = { 'content-type': 'application/json-patch+json' }
  for (const change of [
    { method: 'PUT', url, body },
    { method: 'PATCH', url, headers, body: patch },
    { method: 'DELETE', url },
  ] as const) {
    const refused = await service.send(partner, change)
    expect([refused.status, issues(refused)[0]?.code], change.method).toEqual([403, 'forbidden'])
  }
  expect((await service.send(staff, { method: 'PUT', url, body })).status).toBe(200)
})

test('what the partner wrote it changes itself, also after the clinic did', async () => {
  const sent = placeOf(await create(partner, message([named(staff.clinicId, CLINIC)])))
  const url = `/fhir/${sent}`
  for (const [who, language] of [
    [staff, 'es'],
    [partner, 'en'],
  ] as const) {
    const body = { ...resource(await service.send(who, { url })), language }
    expect((await service.send(who, { method: 'PUT', url, body })).status).toBe(200)
  }
})

test('what a partner addresses to another one stays its own', async () => {
  const answer = await create(partner, message([named(other.partnerId)]))
  await tell(service, sender)

  expect(answer.status).toBe(201)
  expect(await readers(placeOf(answer))).toBe('sp')
  expect(toldAt('/other')).toEqual([])
})

test('where a consent is refused the partner neither reads nor is told what is addressed to it', async () => {
  const under = await service.clinic('part-c')
  const asked = { topic: 'message-sent' }
  const url = `${endpoint.origin}/closed`
  await subscribed(service, under.partner, subscription(url, asked))
  await tell(service, sender)
  const parts = consentedReferral('closed', under.partner.clinicId)
  const answer = await service.refer(under.partner, parts)
  const consent = keptAs(answer, parts, 'consent')
  const body = {
    ...resource(await service.send(under.staff, { url: `/fhir/${consent}` })),
    status: 'inactive',
  }
  await service.send(under.staff, { method: 'PUT', url: `/fhir/${consent}`, body })
  const subject = to(keptAs(answer, parts, 'patient'))
  const sent = await create(under.staff, message([named(under.partner.partnerId)], { subject }))
  expect(sent.status).toBe(201)
  await tell(service, sender)

  const found = await service.send(under.partner, { url: `/fhir/${placeOf(sent)}` })
  expect(found.status).toBe(404)
  expect(toldAt('/closed')).toEqual([])
})
