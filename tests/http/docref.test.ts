import { beforeAll, expect, test } from 'vitest'
import type { Json } from '../helpers/referral.ts'
import { referralParts } from '../helpers/referral.ts'
import {
  type Answer,
  bundle,
  expressions,
  keptAs,
  linkOf,
  resource,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// DocumentReference/$docref of US Core: patient, start, end, type, on-demand; a searchset.

let service: TestService
let staff: Who
let partner: Who
let other: Who
let patientId: string

const LOINC = 'http://loinc.org'
/** Consultation note and progress note; days of care and of making are invented. */
const DOCUMENTS: readonly (readonly [name: string, code: string, Json])[] = [
  ['old reply', '11488-4', { date: '2026-01-10T08:00:00Z' }],
  ['reply', '11488-4', { date: '2026-02-20T08:00:00Z' }],
  ['withdrawn', '11488-4', { date: '2026-02-25T08:00:00Z', status: 'superseded' }],
  [
    'note',
    '11506-3',
    {
      date: '2026-02-26T08:00:00Z',
      context: { period: { start: '2025-12-01', end: '2025-12-05' } },
    },
  ],
]

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner, other } = await service.clinic())
  const parts = referralParts({ key: 'docref' })
  const [, id = ''] = keptAs(await service.refer(partner, parts), parts, 'patient').split('/')
  patientId = id
  for (const [title, code, change] of DOCUMENTS) {
    const body = {
      resourceType: 'DocumentReference',
      status: 'current',
      type: { coding: [{ system: LOINC, code }] },
      subject: { reference: `Patient/${patientId}` },
      content: [{ attachment: { contentType: 'text/plain', title } }],
      ...change,
    }
    const made = await service.send(partner, {
      method: 'POST',
      url: '/fhir/DocumentReference',
      body,
    })
    if (made.status !== 201) throw new Error(made.text)
  }
  return service.close
})

const ask = (who: Who | undefined, query: string) =>
  service.send(who, { url: `/fhir/DocumentReference/$docref?${query}` })
const titles = (answer: Answer): string[] =>
  resources(answer).map((one) => /"title":"([^"]*)"/.exec(JSON.stringify(one))?.[1] ?? '')

test('without a period it is the newest document of each type, newest first', async () => {
  const answer = await ask(partner, `patient=${patientId}`)

  expect(answer.status).toBe(200)
  expect(bundle(answer)).toMatchObject({ type: 'searchset', total: 3 })
  // The third, that came with the referral, says neither its type nor its day: it was made when it came in.
  expect(titles(answer)).toEqual(['An invented report', 'note', 'reply'])
  expect(linkOf(answer, 'self')).toContain('/DocumentReference/$docref?patient=')
})

test('a type is a code, or a code of a system', async () => {
  for (const type of ['11488-4', `${LOINC}|11488-4`])
    expect(titles(await ask(partner, `patient=${patientId}&type=${type}`))).toEqual(['reply'])
  const foreign = await ask(partner, `patient=${patientId}&type=urn:x|11488-4`)

  expect(titles(foreign)).toEqual([])
  expect(bundle(foreign).total).toBe(0)
})

test('a period is of the care, or where that is not said of the making; both ends belong to it', async () => {
  const type = 'type=11488-4,11506-3'
  const within = async (query: string) =>
    titles(await ask(partner, `patient=${patientId}&${type}&${query}`))

  expect(await within('start=2026-01-10&end=2026-02-20')).toEqual(['reply', 'old reply'])
  expect(await within('start=2026-01-11&end=2026-02-19')).toEqual([])
  expect(await within('end=2025-12-01')).toEqual(['note'])
  expect(await within('end=2025-11-30')).toEqual([])
  expect(await within('start=2025-12-05')).toEqual(['note', 'reply', 'old reply'])
  expect(await within('start=2025-12-06')).toEqual(['reply', 'old reply'])
})

test('the same is asked by POST, with the type as a CodeableConcept', async () => {
  const answer = await service.send(partner, {
    method: 'POST',
    url: '/fhir/DocumentReference/$docref',
    body: {
      resourceType: 'Parameters',
      parameter: [
        { name: 'patient', valueId: patientId },
        { name: 'type', valueCodeableConcept: { coding: [{ system: LOINC, code: '11506-3' }] } },
        { name: 'start', valueDate: '2025-12-01' },
      ],
    },
  })

  expect(answer.status, answer.text).toBe(200)
  expect(titles(answer)).toEqual(['note'])
})

test('what is made on demand there is none of', async () => {
  expect(titles(await ask(partner, `patient=${patientId}&on-demand=true`))).toEqual([])
  expect(titles(await ask(partner, `patient=${patientId}&on-demand=false`))).toHaveLength(3)
})

test('of a child of others there is nothing, as of none', async () => {
  const foreign = await ask(other, `patient=${patientId}`)
  const absent = await ask(other, 'patient=nobody')

  expect([foreign.status, titles(foreign)]).toEqual([200, []])
  expect(foreign.text.replaceAll(patientId, 'nobody')).toBe(absent.text)
  expect(titles(await ask(staff, `patient=${patientId}`))).toHaveLength(3)
  expect((await ask(undefined, `patient=${patientId}`)).status).toBe(401)
})

test('it needs the scopes of a search of documents', async () => {
  const { clinicId } = partner
  const scope = 'system/Patient.r system/DocumentReference.r'
  const reader = await service.who({ clinicId, scope, clientId: 'reads-only' })

  expect((await ask(reader, `patient=${patientId}`)).status).toBe(403)
})

test.each([
  ['', 'http.patient'],
  ['patient=a%20b', 'http.patient'],
  [`patient=a&start=yesterday`, 'http.start'],
  [`patient=a&end=2026-13-01`, 'http.end'],
  [`patient=a&on-demand=perhaps`, 'http."on-demand"'],
  [`patient=a&type=`, 'http.type'],
  [`patient=a&profile=urn:x`, 'http.profile'],
])('"%s" is 400 at %s', async (query, place) => {
  const answer = await ask(partner, query)

  expect([answer.status, expressions(answer)]).toEqual([400, [place]])
})

test('that documents of a child were shown is in the log', async () => {
  await ask(partner, `patient=${patientId}&type=11506-3`)
  const events = await service.send(staff, {
    url: `/fhir/AuditEvent?patient=${patientId}&_count=200`,
  })

  expect(events.text).toContain('"code":"docref"')
  expect(resource(events)['resourceType']).toBe('Bundle')
})
