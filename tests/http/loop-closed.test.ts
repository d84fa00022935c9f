import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { z } from 'zod'
import type { Json } from '../helpers/referral.ts'
import { validateResource } from '../../src/fhir/validate.ts'
import { documentIn, warningsIn } from '../helpers/signed.ts'
import { changeOf, TO, type UnderWay, underWay } from '../helpers/referrals-under-way.ts'
import {
  type Answer,
  resource,
  resources,
  type Sent,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'
import { read, subscribed, subscription, tell, tellingService } from '../helpers/subscriptions.ts'

// A loop is closed when the referrer has opened the reply: judgement, since the open guides for referrals
// end at the reply being sent. What counts is the content of the reply, not that it is listed.

const DETAIL = 'https://footing.example/fhir/CodeSystem/task-detail'

const SIGNER = {
  resourceType: 'Practitioner',
  name: [{ text: 'Odo Invented' }],
  qualification: [{ code: { text: 'Certified orthotist' } }],
}

let service: TestService
let staff: Who
let partner: Who
let other: Who
let orthotist: string
let of: UnderWay
let referrals = 0

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner, other } = await service.clinic())
  const made = await service.send(staff, {
    method: 'POST',
    url: '/fhir/Practitioner',
    body: SIGNER,
  })
  orthotist = `Practitioner/${String(resource(made)['id'])}`
  return service.close
})

beforeEach(async () => {
  of = await underWay(service, partner, `loop${(referrals += 1)}`)
})

const get = (who: Who, url: string): Promise<Answer> => service.send(who, { url: `/fhir/${url}` })

async function taken(...steps: readonly (keyof typeof TO)[]): Promise<void> {
  for (const name of steps)
    expect((await changeOf(service, staff, of.task, TO[name] ?? {})).status, name).toBe(200)
}

const Reply = z.looseObject({
  id: z.string(),
  content: z.array(z.object({ attachment: z.object({ url: z.string() }) })),
})

function pageOf({ content }: z.infer<typeof Reply>): string {
  return content[0]?.attachment.url ?? ''
}

const signOff = (kind = 'reply'): Promise<Answer> =>
  service.send(staff, {
    method: 'POST',
    url: `/fhir/${of.request}/$sign-off?kind=${kind}&person=${orthotist}`,
  })

async function signed(): Promise<z.infer<typeof Reply>> {
  const answer = await signOff()
  expect(answer.status, answer.text).toBe(200)
  return Reply.parse(documentIn(answer).json)
}

const TaskOfReferral = z.looseObject({
  status: z.string(),
  meta: z.object({ versionId: z.string() }),
  businessStatus: z.object({ coding: z.array(z.object({ code: z.string() })) }),
  output: z
    .array(
      z.looseObject({
        type: z.looseObject({
          coding: z.array(z.object({ system: z.string(), code: z.string() })).optional(),
        }),
        valueDateTime: z.string().optional(),
      }),
    )
    .default([]),
})

/** Whoever asks for AuditEvents has all that came into the log looked at. */
async function looked(): Promise<void> {
  expect((await get(staff, 'AuditEvent?_summary=count')).status).toBe(200)
}

async function standing() {
  await looked()
  const { status, businessStatus, output, meta } = TaskOfReferral.parse(
    (await get(staff, of.task)).json,
  )
  const opened = output.filter(({ type }) =>
    type.coding?.some(({ system, code }) => system === DETAIL && code === 'reply-opened'),
  )
  return {
    status,
    state: businessStatus.coding[0]?.code,
    guide: businessStatus.coding[1]?.code,
    opened: opened.map(({ valueDateTime }) => valueDateTime),
    version: meta.versionId,
  }
}

/** A finding that changes what the reply says. */
async function sentFinding(): Promise<string> {
  const finding = {
    resourceType: 'Observation',
    status: 'final',
    code: {
      coding: [
        {
          system: 'https://footing.example/fhir/CodeSystem/observation',
          code: 'habitual-w-sitting',
        },
      ],
    },
    subject: { reference: of.patient },
    effectiveDateTime: '2026-03-02',
    valueBoolean: true,
  }
  const sent = await service.send(partner, {
    method: 'POST',
    url: '/fhir/Observation',
    body: finding,
  })
  expect(sent.status, sent.text).toBe(201)
  return `Observation/${String(resource(sent)['id'])}`
}

test('a referral goes from sent to its reply being opened, and so its loop is closed', async () => {
  await taken('received', 'accepted', 'scheduled', 'done')
  const { id } = await signed()
  expect(await standing()).toMatchObject({ status: 'completed', state: 'completed', opened: [] })
  expect(resource(await get(staff, of.request))['status']).toBe('completed')

  const at = '2026-03-02T09:20:00.000Z'
  service.clock.set(at)
  expect((await get(partner, `Composition/${id}`)).status).toBe(200)

  // 7.0 is the row of the open guide for referrals for what is fulfilled; it has none for a reply that was read.
  expect(await standing()).toMatchObject({
    status: 'completed',
    state: 'loop-closed',
    guide: '7.0',
    opened: [at],
  })
})

test.each([
  ['its page', pageOf],
  ['its file', (reply: z.infer<typeof Reply>) => reply.content[1]?.attachment.url ?? ''],
  ['the whole document', ({ id }: z.infer<typeof Reply>) => `Composition/${id}/$document`],
  ['it, and no summary', ({ id }: z.infer<typeof Reply>) => `Composition/${id}?_summary=false`],
])('the reply is opened by reading %s', async (_what, place) => {
  await taken('received', 'accepted', 'scheduled', 'done')
  const reply = await signed()
  expect((await get(partner, place(reply))).status).toBe(200)

  expect(await standing()).toMatchObject({ state: 'loop-closed' })
})

/** What shows or names the reply, and is no opening of it: its reader asked for something else. */
test.each<[string, (reply: z.infer<typeof Reply>) => string, Partial<Sent>?]>([
  ['a search of documents', () => `DocumentReference?patient=${of.patient}`],
  ['a search of compositions', () => `Composition?subject=${of.patient}`],
  ['a search by its id', ({ id }) => `Composition?_id=${id}`],
  ['its DocumentReference', ({ id }) => `DocumentReference/${id}`],
  ['the list of documents', () => `DocumentReference/$docref?patient=${of.patient.split('/')[1]}`],
  ['the whole record', () => `${of.patient}/$everything`],
  ['its history', ({ id }) => `Composition/${id}/_history`],
  ['a summary of it', ({ id }) => `Composition/${id}?_summary=true`],
  ['its name alone', ({ id }) => `Composition/${id}?_elements=title`],
  ['the headers of it', ({ id }) => `Composition/${id}`, { method: 'HEAD' }],
  ['the headers of its page', pageOf, { method: 'HEAD' }],
  ['the headers of the document', ({ id }) => `Composition/${id}/$document`, { method: 'HEAD' }],
  ['being told that it is as before', pageOf, { headers: { 'if-none-match': 'W/"1"' } }],
])('the reply is not opened by %s', async (_what, place, how = {}) => {
  await taken('received', 'accepted', 'scheduled', 'done')
  const url = `/fhir/${place(await signed()).replace(/^.*\/fhir\//, '')}`

  const answer = await service.send(partner, { url, ...how })

  expect(answer.status, answer.text).toBeOneOf([200, 304])
  expect(await standing()).toMatchObject({ state: 'completed', opened: [] })
})

test('nor in a Bundle with other reads', async () => {
  await taken('received', 'accepted', 'scheduled', 'done')
  const { id } = await signed()
  const entry = [{ request: { method: 'GET', url: `Composition/${id}` } }]
  const body = { resourceType: 'Bundle', type: 'batch', entry }

  const answer = await service.send(partner, { method: 'POST', url: '/fhir', body })

  expect(answer.text).toContain('"200 OK"')
  expect(await standing()).toMatchObject({ state: 'completed', opened: [] })
})

test('nor by the staff, or by another partner', async () => {
  await taken('received', 'accepted', 'scheduled', 'done')
  const { id, content } = await signed()
  expect((await get(staff, `Composition/${id}`)).status).toBe(200)
  expect((await get(staff, content[0]?.attachment.url ?? '')).status).toBe(200)
  expect((await get(other, `Composition/${id}`)).status).toBe(404)

  expect(await standing()).toMatchObject({ state: 'completed', opened: [] })
})

test('opened again it is not closed again: the first opening stays, and the Task as it is', async () => {
  await taken('received', 'accepted', 'scheduled', 'done')
  const { id } = await signed()
  await get(partner, `Composition/${id}`)
  const first = await standing()
  service.clock.advance(1_000)
  await get(partner, `Composition/${id}`)

  expect(await standing()).toEqual(first)
})

test('another reply opens the loop again, until that one was opened too', async () => {
  await taken('received', 'accepted', 'scheduled', 'done')
  await get(partner, `Composition/${(await signed()).id}`)
  expect(await standing()).toMatchObject({ state: 'loop-closed' })
  await sentFinding()

  const later = await signed()

  expect(await standing()).toMatchObject({ status: 'completed', state: 'completed', opened: [] })
  await get(partner, `Composition/${later.id}`)
  expect(await standing()).toMatchObject({ status: 'completed', state: 'loop-closed' })
})

const typed = (code: string): Json => ({ coding: [{ system: DETAIL, code }] })

test('so does a reply that staff put down by hand; that a reply was opened they neither say nor take away', async () => {
  await taken('received', 'accepted', 'scheduled', 'done')
  const { id } = await signed()
  const { output } = TaskOfReferral.parse((await get(staff, of.task)).json)
  const forged = { type: typed('reply-opened'), valueDateTime: '2026-03-02T10:00:00Z' }
  await changeOf(service, staff, of.task, { output: [...output, forged] })
  expect(await standing()).toMatchObject({ state: 'completed', opened: [] })

  await get(partner, `Composition/${id}`)
  await looked()
  // As a system does that read the Task before.
  await changeOf(service, staff, of.task, { output })
  expect(await standing()).toMatchObject({ state: 'loop-closed', opened: [expect.any(String)] })

  const letter = { type: typed('reply'), valueString: 'A second letter (invented).' }
  const added = await changeOf(service, staff, of.task, { output: [...output, letter] })
  expect(added.status, added.text).toBe(200)
  expect(await standing()).toMatchObject({ state: 'completed', opened: [] })
})

test('a loop is closed once, however many processes look at the log at a time', async () => {
  await taken('received', 'accepted', 'scheduled', 'done')
  const { id } = await signed()
  const before = Number((await standing()).version)
  await Promise.all(Array.from({ length: 5 }, () => get(partner, `Composition/${id}`)))
  await Promise.all(Array.from({ length: 5 }, looked))

  expect(Number((await standing()).version)).toBe(before + 1)
})

test('of a visit that is still to come the reply is a word in between; opened, it closes with the end', async () => {
  await taken('received', 'accepted', 'scheduled')
  const { id } = await signed()
  await get(partner, `Composition/${id}`)
  expect(await standing()).toMatchObject({ status: 'in-progress', state: 'scheduled' })

  const { output } = TaskOfReferral.parse((await get(staff, of.task)).json)
  await taken('done')
  const ended = await changeOf(service, staff, of.task, { status: 'completed', output })
  expect(ended.status, ended.text).toBe(200)
  expect(await standing()).toMatchObject({ status: 'completed', state: 'loop-closed' })
})

test('a sign-off says when its reply leaves the referral open, and why', async () => {
  await taken('received', 'accepted', 'scheduled')

  const early = await signOff()
  const again = await signOff()
  const sheet = await signOff('family-sheet')

  expect(validateResource(early.json)).toEqual([])
  expect(warningsIn(early)).toMatchObject([
    { severity: 'warning', expression: ['Task.businessStatus'] },
  ])
  expect(warningsIn(early)[0]?.details.text).toContain('stands at scheduled')
  expect(again.json).toEqual(early.json)
  expect(warningsIn(sheet)).toEqual([])
  expect(await standing()).toMatchObject({ status: 'in-progress' })
})

test('of a reply that completes the referral there is nothing to say', async () => {
  await taken('received', 'accepted', 'scheduled', 'done')

  expect(warningsIn(await signOff())).toEqual([])
  expect(warningsIn(await signOff())).toEqual([])
  expect(await standing()).toMatchObject({ status: 'completed' })
})

test('a reply that was signed and opened before the visit closes the loop when it is signed again after it', async () => {
  await taken('received', 'accepted', 'scheduled')
  const { id } = await signed()
  await get(partner, `Composition/${id}`)
  expect(await standing()).toMatchObject({ status: 'in-progress' })
  await taken('done')

  const again = await signOff()

  expect(Reply.parse(documentIn(again).json).id).toBe(id)
  expect(warningsIn(again)).toEqual([])
  expect(await standing()).toMatchObject({ status: 'completed', state: 'loop-closed' })
  expect((await standing()).opened).toHaveLength(1)
  const { version } = await standing()
  expect((await signOff()).status).toBe(200)
  expect((await standing()).version).toBe(version)
})

test('words signed again after others had taken their place are a document anew, made once', async () => {
  await taken('received', 'accepted', 'scheduled')
  const first = await signed()
  const sitting = await sentFinding()
  const second = await signed()
  await service.send(staff, { method: 'DELETE', url: `/fhir/${sitting}` })

  const third = await signed()

  expect(new Set([first.id, second.id, third.id]).size).toBe(3)
  expect((await signed()).id).toBe(third.id)
  const kept = resources(await get(staff, `DocumentReference?subject=${of.patient}`))
  expect(kept.map(({ id, status }) => [id, status])).toEqual(
    expect.arrayContaining([
      [first.id, 'superseded'],
      [second.id, 'superseded'],
      [third.id, 'current'],
    ]),
  )
})

test('a later reply has to be opened too', async () => {
  await taken('received', 'accepted', 'scheduled')
  const { id } = await signed()
  await get(partner, `Composition/${id}`)
  expect((await standing()).opened).toHaveLength(1)
  service.clock.advance(1_000)
  await taken('done')
  await sentFinding()
  expect((await signed()).id).not.toBe(id)

  expect(await standing()).toMatchObject({ state: 'completed', opened: [] })
})

test('that the exchange closed it stands in the log, as its own doing', async () => {
  await taken('received', 'accepted', 'scheduled', 'done')
  const { id } = await signed()
  await get(partner, `Composition/${id}`)
  await looked()
  const told = resources(await get(staff, `AuditEvent?entity=${of.task}&action=U`))
  const closing = told.filter(({ outcomeDesc }) => outcomeDesc === 'reply-opened')

  expect(closing).toHaveLength(1)
  expect(closing[0]).toMatchObject({ outcome: '0' })
  expect(JSON.stringify(closing)).not.toContain(partner.clientId)
})

describe('a subscriber', () => {
  test('of the referrer hears that the loop is closed, as a change of the referral', async () => {
    const { service: told, endpoint, sender, close } = await tellingService()
    try {
      const clinic = await told.clinic()
      const own = await underWay(told, clinic.partner, 'told')
      const hears = async (who: Who, path: string) =>
        subscribed(
          told,
          who,
          subscription(`${endpoint.origin}${path}`, { content: 'full-resource' }),
        )
      await hears(clinic.partner, '/own')
      await hears(clinic.other, '/other')
      for (const name of ['received', 'accepted', 'scheduled', 'done'] as const)
        await changeOf(told, clinic.staff, own.task, TO[name] ?? {})
      const made = await told.send(clinic.staff, {
        method: 'POST',
        url: '/fhir/Practitioner',
        body: SIGNER,
      })
      const url = `/fhir/${own.request}/$sign-off?kind=reply&person=Practitioner/${String(resource(made)['id'])}`
      const reply = documentIn(await told.send(clinic.staff, { method: 'POST', url }))
      await tell(told, sender)
      await tell(told, sender)
      const before = endpoint.at('/own').length
      await told.send(clinic.partner, { url: `/fhir/Composition/${Reply.parse(reply.json).id}` })
      await told.send(clinic.staff, { url: '/fhir/AuditEvent?_summary=count' })
      await tell(told, sender)

      const [last, ...more] = endpoint.at('/own').slice(before).map(read)
      expect(more).toEqual([])
      expect(last?.events.map(({ focus }) => focus)).toEqual([own.task])
      expect(last?.bundle.entry[1]?.resource).toMatchObject({
        status: 'completed',
        businessStatus: { coding: [{ code: 'loop-closed' }, { code: '7.0' }] },
      })
      // A handshake and nothing else.
      expect(endpoint.at('/other').map(read)).toMatchObject([{ type: 'handshake' }])
    } finally {
      await close()
    }
  })
})
