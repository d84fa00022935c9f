import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { type Json } from '../helpers/referral.ts'
import {
  type Answer,
  BASE,
  entries,
  expressions,
  issues,
  resource,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// One child, sent by two partners: staff link the copies, and no partner learns of the other's.

let service: TestService
let staff: Who
let partner: Who
let other: Who
/** The copies of one invented child. */
let its: Json
let others: Json
let own: Json

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner, other } = await service.clinic())
  return service.close
})

let count = 0
const child = (): Json => ({
  resourceType: 'Patient',
  identifier: [{ system: 'https://practice.example/ids', value: `link-${(count += 1)}` }],
  name: [{ family: 'Quillfeather', given: ['Martha'] }],
  birthDate: '2024-03-05',
})

const send = (who: Who, method: 'POST' | 'PUT' | 'PATCH' | 'DELETE', url: string, body?: unknown) =>
  service.send(who, {
    method,
    url: `/fhir${url}`,
    ...(body === undefined ? {} : { body }),
    headers: method === 'PATCH' ? { 'content-type': 'application/json-patch+json' } : {},
  })
const read = (who: Who, url: string): Promise<Answer> => service.send(who, { url: `/fhir/${url}` })
async function kept(who: Who, body: Json): Promise<Json> {
  const answer = await send(who, 'POST', `/${String(body['resourceType'])}`, body)
  expect(answer.status, answer.text).toBe(201)
  return resource(answer)
}
const placeOf = (one: Json): string => `${String(one['resourceType'])}/${String(one['id'])}`
const linkTo = (one: Json, type = 'seealso'): Json => ({
  other: { reference: placeOf(one) },
  type,
})

beforeEach(async () => {
  its = await kept(partner, child())
  others = await kept(other, child())
  own = await kept(staff, child())
})

/** Searches that follow a link, forwards and back. */
const FROM_COPIES = [
  'Patient?_has:Patient:link:family=Quillfeather',
  'Patient?link.family=Quillfeather',
  'Patient?link:missing=false',
]

async function linked(): Promise<void> {
  const link = [linkTo(its), linkTo(others)]
  const answer = await send(staff, 'PUT', `/${placeOf(own)}`, { ...own, link })
  expect(answer.status, answer.text).toBe(200)
}

describe('staff link the clinic’s own Patient to the copies of partners', () => {
  test('by an update, which is then read and searched', async () => {
    await linked()

    expect(resource(await read(staff, placeOf(own)))['link']).toEqual([linkTo(its), linkTo(others)])
    const found = await read(staff, `Patient?link=${placeOf(its)}`)
    expect(entries(found).map((entry) => entry.resource?.['id'])).toEqual([own['id']])
  })

  test('by a create', async () => {
    const link = [linkTo(its), linkTo(others)]

    expect((await kept(staff, { ...child(), link }))['link']).toEqual(link)
  })

  test('and no partner’s copy says so, nor any search or history of a partner', async () => {
    const before = await read(partner, placeOf(its))
    await linked()

    expect((await read(partner, placeOf(its))).text).toBe(before.text)
    const id = String(its['id'])
    const asked = [
      `Patient?link=${placeOf(its)}`,
      `Patient?_id=${id}&_revinclude=Patient:link`,
      `Patient?_id=${id}&_include=Patient:link`,
      ...FROM_COPIES,
      `Patient/${id}/$everything`,
      `Patient/${id}/_history`,
      'Patient/_history?_count=100',
      '_history?_count=100',
    ]
    for (const url of asked) {
      const { status, text } = await read(partner, url)
      expect(status, url).toBe(200)
      expect(text, url).not.toContain(String(own['id']))
      expect(text, url).not.toContain(String(others['id']))
      expect(text, url).not.toContain('seealso')
    }
    for (const url of FROM_COPIES)
      expect([url, entries(await read(partner, url))]).toEqual([url, []])
    expect((await read(partner, placeOf(own))).status).toBe(404)
  })

  test('and a partner deletes its copy as if there were no link, and no audit of it', async () => {
    await linked()
    const audited = await read(staff, `AuditEvent?patient=${placeOf(its)}`)
    expect(entries(audited).length).toBeGreaterThan(0)

    expect((await send(partner, 'DELETE', `/${placeOf(its)}`)).status).toBe(204)
  })
})

describe('on a partner’s copy no link leads out of its compartment', () => {
  const expectRefusal = (answer: Answer, at: string): void => {
    expect(answer.status, answer.text).toBe(422)
    expect(expressions(answer)).toEqual([at])
    expect(issues(answer)[0]?.details.coding?.[0]?.code).toBe('partner-compartment')
  }

  test('by an update of staff', async () => {
    for (const target of [others, own])
      expectRefusal(
        await send(staff, 'PUT', `/${placeOf(its)}`, { ...its, link: [linkTo(target, 'refer')] }),
        'Patient.link[0].other',
      )
  })

  test('also written absolute, with a version, as an identifier, to elsewhere or contained', async () => {
    const ways: Json[] = [
      { reference: `${BASE}/${placeOf(others)}` },
      { reference: `${placeOf(others)}/_history/1` },
      { identifier: { system: 'https://practice.example/ids', value: 'of-the-other' } },
      { reference: 'https://elsewhere.example/fhir/Patient/1' },
      { display: 'A child of the other practice' },
    ]
    for (const way of ways)
      expectRefusal(
        await send(staff, 'PUT', `/${placeOf(its)}`, {
          ...its,
          link: [{ other: way, type: 'seealso' }],
        }),
        'Patient.link[0].other',
      )
  })

  test('by a patch of staff', async () => {
    const patch = [{ op: 'add', path: '/link', value: [linkTo(others)] }]

    expectRefusal(await send(staff, 'PATCH', `/${placeOf(its)}`, patch), 'Patient.link[0].other')
  })

  test('by a conditional update of staff', async () => {
    const value = 'link-of-a-condition'
    const named = await kept(partner, {
      ...child(),
      identifier: [{ system: 'https://practice.example/ids', value }],
    })
    const url = `/Patient?identifier=https://practice.example/ids%7C${value}`

    expectRefusal(
      await send(staff, 'PUT', url, { ...named, link: [linkTo(own)] }),
      'Patient.link[0].other',
    )
  })

  test('by a transaction of staff that creates the target, and nothing of it is kept', async () => {
    const urn = 'urn:uuid:6e0f3a52-0000-4000-8000-000000000001'
    const identifier = 'made-beside-a-link'
    const made = {
      ...child(),
      identifier: [{ system: 'https://practice.example/ids', value: identifier }],
    }
    const answer = await send(staff, 'POST', '', {
      resourceType: 'Bundle',
      type: 'transaction',
      entry: [
        { fullUrl: urn, resource: made, request: { method: 'POST', url: 'Patient' } },
        {
          resource: { ...its, link: [{ other: { reference: urn }, type: 'seealso' }] },
          request: { method: 'PUT', url: placeOf(its) },
        },
      ],
    })

    expectRefusal(answer, 'Bundle.entry[1].resource.link[0].other')
    const found = await read(staff, `Patient?identifier=${identifier}`)
    expect(entries(found)).toEqual([])
  })

  test('by an entry of a batch of staff', async () => {
    const answer = await send(staff, 'POST', '', {
      resourceType: 'Bundle',
      type: 'batch',
      entry: [
        {
          resource: { ...its, link: [linkTo(others)] },
          request: { method: 'PUT', url: placeOf(its) },
        },
      ],
    })

    expect(entries(answer)[0]?.response?.status).toMatch(/^422/)
    expect(resource(await read(partner, placeOf(its)))['link']).toBeUndefined()
  })

  test('by its partner, for whom the other copy is not there', async () => {
    const known = await send(partner, 'PUT', `/${placeOf(its)}`, { ...its, link: [linkTo(others)] })
    const unknown = await send(partner, 'PUT', `/${placeOf(its)}`, {
      ...its,
      link: [linkTo({ ...others, id: 'nobody' })],
    })

    expect(known.status).toBe(422)
    expect(known.text).toBe(unknown.text)
  })

  test('but to another copy of the same partner it may', async () => {
    const second = await kept(partner, child())

    const answer = await send(staff, 'PUT', `/${placeOf(its)}`, { ...its, link: [linkTo(second)] })

    expect(answer.status, answer.text).toBe(200)
  })

  test('and a link that the partner sent itself stays through an update of staff', async () => {
    const link = [
      { other: { reference: 'https://elsewhere.example/fhir/Patient/1' }, type: 'seealso' },
    ]
    const sent = await send(partner, 'PUT', `/${placeOf(its)}`, { ...its, link })

    const answer = await send(staff, 'PUT', `/${placeOf(its)}`, { ...resource(sent), active: true })

    expect([sent.status, answer.status]).toEqual([200, 200])
  })
})

test('nothing of a partner is made by staff to refer to what another partner sent', async () => {
  const observation = (of: Json): Json => ({
    resourceType: 'Observation',
    status: 'final',
    code: { text: 'An invented note' },
    subject: { reference: placeOf(of) },
  })
  const mine = await kept(partner, observation(its))
  const foreign = await kept(other, observation(others))

  const answer = await send(staff, 'PUT', `/${placeOf(mine)}`, {
    ...mine,
    derivedFrom: [{ reference: placeOf(foreign) }],
  })

  expect(answer.status, answer.text).toBe(422)
  expect(expressions(answer)).toEqual(['Observation.derivedFrom[0].reference'])
})
