import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { smallReferral } from '../helpers/referral.ts'
import { validateResource } from '../../src/fhir/validate.ts'
import {
  BASE,
  issues,
  kept,
  linkOf,
  ORIGIN,
  START,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

let service: TestService
let staff: Who
let partner: Who
let other: Who

beforeAll(async () => {
  service = await testService()
  const made = await service.clinic()
  const { clinicId } = made.staff
  staff = await service.who({ clinicId, scope: 'system/*.cruds' })
  const partnerId = made.partner.partnerId ?? ''
  partner = await service.who({ clinicId, partnerId, scope: 'system/*.cruds' })
  other = made.other
  return service.close
})

const History = z.object({
  resourceType: z.literal('Bundle'),
  type: z.literal('history'),
  meta: z.object({ lastUpdated: z.string() }),
  total: z.number().optional(),
  entry: z
    .array(
      z.object({
        fullUrl: z.string(),
        resource: z.record(z.string(), z.unknown()).optional(),
        request: z.object({ method: z.string(), url: z.string() }),
        response: z.object({ status: z.string(), etag: z.string(), lastModified: z.string() }),
      }),
    )
    .default([]),
})

const organization = (name: string) => ({ resourceType: 'Organization', name })
const MINUTE = 60_000

/** Created, updated, deleted, a minute apart; of its id. */
async function lived(who: Who, name: string): Promise<string> {
  const created = await service.send(who, {
    method: 'POST',
    url: '/fhir/Organization',
    body: organization(name),
  })
  const { id } = z.object({ id: z.string() }).parse(created.json)
  const url = `/fhir/Organization/${id}`
  service.clock.advance(MINUTE)
  await service.send(who, { method: 'PUT', url, body: { ...organization(`${name} 2`), id } })
  service.clock.advance(MINUTE)
  const deleted = await service.send(who, { method: 'DELETE', url })
  expect([created.status, deleted.status]).toEqual([201, 204])
  return id
}

const get = (who: Who, url: string) => service.send(who, { url })
const read = async (who: Who, url: string) => {
  const answer = await get(who, url)
  expect(answer.status, answer.text).toBe(200)
  return {
    ...History.parse(answer.json),
    next: linkOf(answer, 'next'),
    self: linkOf(answer, 'self'),
  }
}
const local = (url: string | undefined) => (url ?? '').replace(ORIGIN, '')

/** Every page of a walk, one after the other. */
async function walked(who: Who, url: string) {
  const pages = [await read(who, url)]
  for (let next = pages[0]?.next; next !== undefined; ) {
    const page = await read(who, local(next))
    pages.push(page)
    next = page.next
  }
  return pages
}

test('I1, 1.3: the history of an instance is newest first, with its deletion', async () => {
  service.clock.set(START)
  const id = await lived(partner, 'An invented practice')
  service.clock.advance(MINUTE)

  const { entry, total } = await read(partner, `/fhir/Organization/${id}/_history`)

  const fullUrl = `${BASE}/Organization/${id}`
  expect(total).toBe(3)
  const told = entry.map(({ resource, ...rest }) => ({ name: resource?.['name'], ...rest }))
  expect(told).toEqual([
    {
      fullUrl,
      name: undefined,
      request: { method: 'DELETE', url: `Organization/${id}` },
      response: {
        status: '204 No Content',
        etag: 'W/"3"',
        lastModified: '2026-03-02T09:02:00.000Z',
      },
    },
    {
      fullUrl,
      name: 'An invented practice 2',
      request: { method: 'PUT', url: `Organization/${id}` },
      response: { status: '200 OK', etag: 'W/"2"', lastModified: '2026-03-02T09:01:00.000Z' },
    },
    {
      fullUrl,
      name: 'An invented practice',
      request: { method: 'POST', url: 'Organization' },
      response: { status: '201 Created', etag: 'W/"1"', lastModified: '2026-03-02T09:00:00.000Z' },
    },
  ])
})

test('1.3: a walk shows the history as it was at its start, page by page', async () => {
  const { staff: own } = await service.clinic()
  const all = await service.who({ clinicId: own.clinicId, scope: 'system/*.cruds' })
  await lived(all, 'First')
  await lived(all, 'Second')
  service.clock.advance(MINUTE)
  const whole = await read(all, '/fhir/Organization/_history')

  const first = await read(all, '/fhir/Organization/_history?_count=2')
  service.clock.advance(MINUTE)
  await lived(all, 'Came in between')
  const second = await read(all, local(first.next))
  const third = await read(all, local(second.next))

  expect(whole.entry).toHaveLength(6)
  expect(whole.total).toBe(6)
  expect([...first.entry, ...second.entry, ...third.entry]).toEqual(whole.entry)
  expect(third.next).toBeUndefined()
  expect(new Set([first, second, third].map(({ meta }) => meta.lastUpdated)).size).toBe(1)
  expect([first.self, local(second.self)]).toEqual([
    `${BASE}/Organization/_history?_count=2`,
    local(first.next),
  ])
})

test('1.3: versions of one instant are all told, once', async () => {
  const { staff: own } = await service.clinic()
  const all = await service.who({ clinicId: own.clinicId, scope: 'system/*.cruds' })
  for (const resourceType of ['Organization', 'Location'])
    for (let index = 0; index < 4; index += 1)
      await service.send(all, {
        method: 'POST',
        url: `/fhir/${resourceType}`,
        body: { resourceType, name: `Place ${index}` },
      })

  const pages = await walked(all, '/fhir/_history?_count=3')

  const urls = pages.flatMap(({ entry }) => entry.map(({ fullUrl }) => fullUrl))
  expect(pages.map(({ entry }) => entry.length)).toEqual([3, 3, 2])
  expect(new Set(urls).size).toBe(8)
})

test('1.3: _since counts from its instant on, _at asks what was current', async () => {
  service.clock.set('2026-03-02T09:30:00.000Z')
  const id = await lived(partner, 'Timed')
  service.clock.advance(MINUTE)
  const tags = async (query: string) =>
    (await read(partner, `/fhir/Organization/${id}/_history?${query}`)).entry.map(
      ({ response }) => response.etag,
    )

  expect(await tags('_since=2026-03-02T09:31:00Z')).toEqual(['W/"3"', 'W/"2"'])
  expect(await tags('_since=2026-03-02T09:31:00.001Z')).toEqual(['W/"3"'])
  expect(await tags('_since=2026-03-02T11:31:00%2B02:00')).toEqual(['W/"3"', 'W/"2"'])
  expect(await tags('_since=2026-03-02T11:31:00+02:00')).toEqual(['W/"3"', 'W/"2"'])
  expect(await tags('_since=2030-01-01T00:00:00Z')).toEqual([])
  expect(await tags('_at=2026-03-02T09:30:30Z')).toEqual(['W/"1"'])
  expect(await tags('_at=2026-03-02T09:31')).toEqual(['W/"2"'])
  expect(await tags('_at=2026-03-02')).toEqual(['W/"3"', 'W/"2"', 'W/"1"'])
  expect(await tags('_at=2026-03-03')).toEqual(['W/"3"'])
  expect(await tags('_at=2026-03-01')).toEqual([])
})

test.each([
  ['_count=0', 'http._count'],
  ['_count=-1', 'http._count'],
  ['_count=a', 'http._count'],
  ['_count=1&_count=2', 'http._count'],
  ['_since=2026-05-01', 'http._since'],
  ['_since=yesterday', 'http._since'],
  ['_since=2026-03-02T09:31:00Z&_since=2026-03-02T09:31:00Z', 'http._since'],
  ['_at=x', 'http._at'],
  ['_at=2026-02-30', 'http._at'],
  ['_at=2026&_at=2027', 'http._at'],
  ['_cursor=MDAwMC0wMS0wMVQwMDowMDowMFp-YQ', 'http._cursor'],
  ['_cursor=%00', 'http._cursor'],
])('1.3: %s is refused with 400', async (query, expression) => {
  const answer = await get(partner, `/fhir/Organization/_history?${query}`)

  expect(answer.status).toBe(400)
  expect(issues(answer).map((issue) => issue.expression)).toEqual([[expression]])
})

test.each([
  '0000-01-01T00:00:00Z',
  '0001-01-01T00:00:00%2B14:00',
  '9999-12-31T23:59:59-14:00',
  '2016-12-31T23:59:60Z',
  '2026-03-02T09:00:00.123456789123Z',
  '%ED%A0%80',
  '',
  'a'.repeat(5_000),
])('1.3: an instant such as %s is never a failure of the service', async (instant) => {
  for (const name of ['_since', '_at'])
    expect([200, 400]).toContain(
      (await get(partner, `/fhir/Organization/_history?${name}=${instant}`)).status,
    )
})

test('H3: a history is JSON alone', async () => {
  expect((await get(partner, '/fhir/_history?_format=xml')).status).toBe(406)
  expect((await get(partner, '/fhir/_history?_count=1&_format=json')).status).toBe(200)
})

test('1.3: a link holds for its address, its filter and its reader alone', async () => {
  await lived(partner, 'Linked')
  const { next } = await read(partner, '/fhir/Organization/_history?_count=1')
  const cursor = new URL(next ?? '').searchParams.get('_cursor') ?? ''
  const status = async (who: Who, url: string) => (await get(who, url)).status

  expect(await status(partner, `/fhir/Organization/_history?_count=1&_cursor=${cursor}`)).toBe(200)
  expect(await status(partner, `/fhir/Organization/_history?_count=2&_cursor=${cursor}`)).toBe(400)
  expect(await status(partner, `/fhir/Location/_history?_count=1&_cursor=${cursor}`)).toBe(400)
  expect(await status(partner, `/fhir/_history?_count=1&_cursor=${cursor}`)).toBe(400)
  expect(await status(other, `/fhir/Organization/_history?_count=1&_cursor=${cursor}`)).toBe(400)
})

test('S24: nobody sees a history that is not theirs', async () => {
  const id = await lived(partner, 'Of one partner')

  expect((await get(other, `/fhir/Organization/${id}/_history`)).status).toBe(404)
  const seen = await walked(other, '/fhir/Organization/_history')
  expect(seen.flatMap(({ entry }) => entry.map(({ fullUrl }) => fullUrl))).not.toContain(
    `${BASE}/Organization/${id}`,
  )
  expect((await get(staff, `/fhir/Organization/${id}/_history`)).status).toBe(200)
})

test('I1: what never was is 404, what was deleted has its history', async () => {
  const id = await lived(partner, 'Gone')

  expect((await get(partner, '/fhir/Organization/never-was/_history')).status).toBe(404)
  expect((await get(partner, '/fhir/Claim/_history')).status).toBe(404)
  expect((await get(partner, '/fhir/Claim/a/_history')).status).toBe(404)
  expect((await get(partner, '/fhir/StructureDefinition/_history')).status).toBe(404)
  expect((await get(partner, `/fhir/Organization/${id}`)).status).toBe(410)
  expect((await read(partner, `/fhir/Organization/${id}/_history`)).entry).toHaveLength(3)
})

test('1.13: an instance is read, a type is searched, the system is what may be searched', async () => {
  const id = await lived(partner, 'Scoped')
  const { clinicId, partnerId = '' } = partner
  const who = (scope: string) => service.who({ clinicId, partnerId, scope })
  const status = async (scope: string, url: string) => (await get(await who(scope), url)).status
  const instance = `/fhir/Organization/${id}/_history`

  expect(await status('system/Organization.r', instance)).toBe(200)
  expect(await status('system/Organization.s', instance)).toBe(403)
  expect(await status('system/Organization.r', '/fhir/Organization/_history')).toBe(403)
  expect(await status('system/Organization.s', '/fhir/Organization/_history')).toBe(200)
  expect(await status('system/*.r', '/fhir/_history')).toBe(403)

  await service.send(partner, {
    method: 'POST',
    url: '/fhir/Location',
    body: { resourceType: 'Location', name: 'A place' },
  })
  const seen = await walked(await who('system/Location.s'), '/fhir/_history?_count=2')
  const types = seen.flatMap(({ entry }) => entry.map(({ fullUrl }) => fullUrl.split('/').at(-2)))
  expect(new Set(types)).toEqual(new Set(['Location']))
})

test('H9: HEAD of a history is GET without the body', async () => {
  const url = '/fhir/Organization/_history?_count=1'
  const [head, body] = [
    await service.send(partner, { method: 'HEAD', url }),
    await get(partner, url),
  ]

  expect([head.status, head.text]).toEqual([200, ''])
  expect(head.headers['content-type']).toBe(body.headers['content-type'])
})

test('the Bundle of a history is valid R4', async () => {
  const answer = await get(partner, '/fhir/_history?_count=5')
  const faults = validateResource(answer.json).filter(({ severity }) => severity === 'error')

  expect(faults).toEqual([])
})

test('1.3: a Patient has its history, though it is a compartment too', async () => {
  const sent = await service.refer(partner, smallReferral({ key: 'history' }))
  const patient = kept(sent).find((place) => place.startsWith('Patient/')) ?? ''

  expect((await read(partner, `/fhir/${patient}/_history`)).entry).toHaveLength(1)
  expect((await get(partner, '/fhir/Patient/never-was/_history')).status).toBe(404)
})

test.each(['_history', 'Organization/_history'])(
  'what %s does not know is ignored, and refused by who wants strict handling (RFC 7240)',
  async (place) => {
    const url = `/fhir/${place}?_count=1&_summary=count&foo=1&_pretty=true`
    const lenient = await get(partner, url)
    const strict = await service.send(partner, { url, headers: { prefer: 'handling=strict' } })

    expect([lenient.status, strict.status]).toEqual([200, 400])
    expect(issues(strict).flatMap(({ expression }) => expression)).toEqual([
      'http._summary',
      'http.foo',
    ])
  },
)
