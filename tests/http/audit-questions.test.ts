import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { ask, assertionOf, formOf, newKeys, register } from '../helpers/assertions.ts'
import { type Parts, referralParts } from '../helpers/referral.ts'
import { kept, type Sent, type TestService, testService, type Who } from '../helpers/service.ts'

// What administrators ask of the log, on a day whose answers are known: one child sent by a practice
// (HIPAA), one by a programme of early intervention (Part C). Everything is invented.

let service: TestService
let staff: Who
let practice: Who
let programme: Who
let child: string
let programmesChild: string

const patientIn = (places: readonly string[]): string =>
  places.find((place) => place.startsWith('Patient/')) ?? ''

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner: practice } = await service.clinic())
  programme = await service.who({
    clinicId: staff.clinicId,
    partnerId: '3f6f0f0e-1111-4222-8333-444455556666',
  })
  const parts: Parts = referralParts({ key: 'question-practice' })
  child = patientIn(kept(await service.refer(practice, parts)))
  programmesChild = patientIn(
    kept(await service.refer(programme, referralParts({ key: 'question-programme' }))),
  )
  // Registered under Part C after its referral was taken, so that no consent stands in this story's way.
  await service.sql(`update partners set regime = 'part-c' where partner_id = $1`, [
    programme.partnerId,
  ])
  return service.close
})

const Part = z.object({
  name: z.string(),
  valueString: z.string().optional(),
  valueCode: z.string().optional(),
  valueInteger: z.number().optional(),
  valueReference: z.object({ reference: z.string() }).optional(),
})
const Answered = z.object({
  parameter: z.array(Part.extend({ part: z.array(Part).optional() })),
})

async function rows(url: string, name: string, headers: Sent['headers'] = {}) {
  const answer = await service.send(staff, { url, headers })
  expect(answer.status, answer.text).toBe(200)
  return Answered.parse(answer.json)
    .parameter.filter((one) => one.name === name)
    .map(({ part = [] }) =>
      Object.fromEntries(
        part.map((one) => [
          one.name,
          one.valueString ?? one.valueCode ?? one.valueInteger ?? one.valueReference?.reference,
        ]),
      ),
    )
}

const EventIds = z.object({
  entry: z.array(z.object({ resource: z.object({ id: z.string() }) })).optional(),
})
async function found(query: string): Promise<number> {
  const answer = await service.send(staff, { url: `/fhir/AuditEvent?_count=1000&${query}` })
  expect(answer.status, answer.text).toBe(200)
  return EventIds.parse(answer.json).entry?.length ?? 0
}

test('AQ-01: who opened the record of a child in a period', async () => {
  await service.send(practice, { url: `/fhir/${child}` })
  await service.send(staff, { url: `/fhir/${child}`, headers: { 'purpose-of-use': 'TREAT' } })

  const query = `patient=${child}&date=ge2026-03-02&date=le2026-03-02&subtype=read,vread,search`
  expect(await found(query)).toBe(2)
  expect(await found(query.replaceAll('03-02', '03-03'))).toBe(0)
})

test('AQ-02: what a system did', async () => {
  const reader = await service.who({ ...staff, clientId: 'one-reader' })
  await service.send(reader, { url: `/fhir/${child}` })
  await service.send(reader, { url: '/fhir/Patient?name=invented' })

  expect(await found('altid=one-reader')).toBe(2)
})

test('AQ-03: what failed or was refused', async () => {
  const before = await found('outcome=4,8,12')
  await service.send(practice, { url: '/fhir/Patient/never-was' })

  expect(await found('outcome=4,8,12')).toBe(before + 1)
})

test('AQ-05 and AQ-15: emergency access waits for its review, which is recorded', async () => {
  await service.send(staff, { url: `/fhir/${child}`, headers: { 'purpose-of-use': 'BTG' } })
  const [waiting, ...others] = await rows('/fhir/AuditEvent/$awaiting-review', 'row')
  expect(others).toEqual([])

  const review = await service.send(staff, {
    method: 'POST',
    url: '/fhir/AuditEvent/$review',
    body: {
      resourceType: 'Parameters',
      parameter: [
        { name: 'start', valueDate: '2026-03-02' },
        { name: 'end', valueDate: '2026-03-02' },
        { name: 'result', valueCode: 'no-finding' },
        { name: 'event', valueString: waiting?.['event'] },
      ],
    },
  })

  expect(review.status, review.text).toBe(200)
  expect(await rows('/fhir/AuditEvent/$awaiting-review', 'row')).toEqual([])
  expect(await found('type=110101&date=2026-03-02')).toBe(1)
})

test('AQ-06: exports', async () => {
  await service.send(staff, { url: '/fhir/$export', headers: { prefer: 'respond-async' } })

  expect(await found('type=110106')).toBe(1)
})

test('AQ-07: 45 CFR 164.528 leaves treatment out of the accounting, and sums repeats up', async () => {
  expect(await rows(`/fhir/${child}/$disclosures`, 'disclosure')).toEqual([])
  for (let time = 0; time < 3; time += 1)
    await service.send(practice, {
      url: `/fhir/${child}`,
      headers: { 'purpose-of-use': 'PUBHLTH' },
    })

  expect(await rows(`/fhir/${child}/$disclosures`, 'disclosure')).toEqual([
    expect.objectContaining({
      recipient: 'An invented partner',
      purpose: 'PUBHLTH',
      times: 3,
      description: 'read, Patient',
    }),
  ])
})

test('AQ-08: 34 CFR 303.406 keeps treatment in the record of access, and the programme out', async () => {
  await service.send(programme, { url: `/fhir/${programmesChild}` })
  await service.send(staff, {
    url: `/fhir/${programmesChild}`,
    headers: { 'purpose-of-use': 'TREAT' },
  })

  const access = await rows(`/fhir/${programmesChild}/$part-c-access`, 'access')
  expect(access).toEqual([expect.objectContaining({ recipient: 'the clinic', purpose: 'TREAT' })])
  const other = await service.send(staff, { url: `/fhir/${child}/$part-c-access` })
  expect(other.status).toBe(422)
})

test('AQ-09: a day with more than is usual', async () => {
  const many = await service.who({ ...staff, clientId: 'many-reads' })
  for (let time = 0; time < 6; time += 1) await service.send(many, { url: `/fhir/${child}` })
  const usual = await rows('/fhir/AuditEvent/$unusual-use', 'row')
  const strict = await rows('/fhir/AuditEvent/$unusual-use?calls=5', 'row')

  expect(usual).toEqual([])
  expect(strict.filter(({ system }) => system === 'many-reads')).toEqual([
    expect.objectContaining({ calls: 6, children: 1, refused: 0, over: 'calls' }),
  ])
})

test('AQ-10: staff who look at a child without an open referral', async () => {
  const made = await service.send(staff, {
    method: 'POST',
    url: '/fhir/Patient',
    body: {
      resourceType: 'Patient',
      identifier: [{ system: 'https://clinic.example/own', value: 'no-referral' }],
      birthDate: '2024-05-05',
      gender: 'unknown',
    },
  })
  expect(made.status, made.text).toBe(201)
  const place = /Patient\/[^/"]+/.exec(String(made.headers['location']))?.[0] ?? ''
  await service.send(staff, { url: `/fhir/${place}` })
  await service.send(staff, { url: `/fhir/${child}` })

  const without = await rows('/fhir/AuditEvent/$unrelated-access', 'row')
  expect(new Set(without.map((row) => row['child']))).toEqual(new Set([place]))
})

test('AQ-11: what the consent gate refused', async () => {
  const held = await service.who({
    clinicId: staff.clinicId,
    partnerId: '3f6f0f0e-9999-4222-8333-444455556666',
    regime: 'part-c',
  })
  await expect(service.refer(held, referralParts({ key: 'question-refused' }))).rejects.toThrow(
    'not taken',
  )

  expect(await found('subtype=consent-deny')).toBe(1)
})

test('AQ-12: who read the log', async () => {
  await service.send(staff, { url: '/fhir/AuditEvent?action=C' })
  const [first] =
    EventIds.parse((await service.send(staff, { url: '/fhir/AuditEvent?_count=1' })).json).entry ??
    []
  const event = `AuditEvent/${first?.resource.id ?? ''}`
  // Whichever comes first while the clock stands still: it may be the one that a review named.
  const before = await found(`entity=${event}`)
  await service.send(staff, { url: `/fhir/${event}` })

  expect(await found(`entity=${event}`)).toBe(before + 1)
})

test('AQ-13: the history of a referral: what changed its Task', async () => {
  const task = await service.send(practice, { url: `/fhir/Task?patient=${child}` })
  const id = /"fullUrl":"[^"]*\/(Task\/[^"]+)"/.exec(task.text)?.[1] ?? ''

  expect(await found(`entity=${id}&action=C,U,E`)).toBeGreaterThan(0)
})

test('a partner is told none of it', async () => {
  for (const url of [
    `/fhir/${child}/$disclosures`,
    '/fhir/AuditEvent/$unusual-use',
    '/fhir/AuditEvent/$unrelated-access',
    '/fhir/AuditEvent/$awaiting-review',
  ])
    expect((await service.send(practice, { url })).status, url).toBe(404)
})

test('AQ-04: a system that was revoked asks for a token', async () => {
  const keys = await newKeys()
  const { clinicId } = staff
  const client = await register(service, { clinicId, jwks: [keys.publicJwk] })
  const nowS = Math.floor(service.service.context.now().getTime() / 1000)
  const asked = async () => ask(service, formOf(await assertionOf(client, keys, { nowS })))
  expect((await asked()).status).toBe(200)
  await service.sql('update clients set revoked_at = now() where client_id = $1', [client.clientId])
  expect((await asked()).status).toBe(400)

  expect(await found(`type=110114&altid=${client.clientId}&outcome=0`)).toBe(1)
  expect(await found(`type=110114&altid=${client.clientId}&outcome=4`)).toBe(1)
})

test('a token that names nobody is refused in the log of no clinic, without what was sent', async () => {
  expect((await ask(service, formOf('not-a-token'))).status).toBe(400)

  const [row] = await service.sql<{ record: string }>(
    `select record from audit_log where record like '%no-assertion%'`,
  )
  expect(row?.record).toContain('token-refused')
  expect(row?.record).not.toContain('not-a-token')
})
