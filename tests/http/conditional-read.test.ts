import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import {
  issues,
  resource,
  START,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

let service: TestService
let who: Who
let url: string

beforeAll(async () => {
  service = await testService()
  const { staff } = await service.clinic()
  who = await service.who({ clinicId: staff.clinicId, scope: 'system/*.cruds' })
  // Not on a full second: the header Last-Modified cannot say that.
  service.clock.set('2026-03-02T09:00:00.400Z')
  const created = await service.send(who, {
    method: 'POST',
    url: '/fhir/Organization',
    body: { resourceType: 'Organization', name: 'An invented practice' },
  })
  url = `/fhir/Organization/${z.object({ id: z.string() }).parse(created.json).id}`
  return service.close
})

const read = (headers: Record<string, string>, at = url, method: 'GET' | 'HEAD' = 'GET') =>
  service.send(who, { url: at, headers, method })

test('H5: ETag and Last-Modified are those of meta', async () => {
  for (const at of [url, `${url}/_history/1`]) {
    const answer = await read({}, at)

    expect(answer.headers['etag']).toBe('W/"1"')
    expect(answer.headers['last-modified']).toBe('Mon, 02 Mar 2026 09:00:00 GMT')
    expect(resource(answer)['meta']).toMatchObject({
      versionId: '1',
      lastUpdated: '2026-03-02T09:00:00.400Z',
    })
  }
})

test.each<[string, Record<string, string>, number]>([
  ['the version', { 'if-none-match': 'W/"1"' }, 304],
  ['the version, as a strong tag', { 'if-none-match': '"1"' }, 304],
  ['one of several versions', { 'if-none-match': 'W/"7", W/"1"' }, 304],
  ['any version', { 'if-none-match': '*' }, 304],
  ['another version', { 'if-none-match': 'W/"2"' }, 200],
  ['a version that this one begins with', { 'if-none-match': 'W/"11"' }, 200],
  ['no tag at all', { 'if-none-match': '1' }, 200],
  ['a tag among what is none', { 'if-none-match': '1 W/"1"' }, 200],
  ['any version among tags', { 'if-none-match': '*, W/"1"' }, 200],
  ['a tag with a comma, and the version', { 'if-none-match': 'W/"a,b",,W/"1"' }, 304],
  ['the second of the change', { 'if-modified-since': 'Mon, 02 Mar 2026 09:00:00 GMT' }, 304],
  ['a later second', { 'if-modified-since': 'Mon, 02 Mar 2026 09:00:01 GMT' }, 304],
  ['the second before', { 'if-modified-since': 'Mon, 02 Mar 2026 08:59:59 GMT' }, 200],
  ['no date', { 'if-modified-since': 'yesterday' }, 200],
  [
    'another version, though nothing came since',
    { 'if-none-match': 'W/"2"', 'if-modified-since': 'Mon, 02 Mar 2026 10:00:00 GMT' },
    200,
  ],
  [
    'the version, though it is newer than that',
    { 'if-none-match': 'W/"1"', 'if-modified-since': 'Mon, 02 Mar 2026 08:00:00 GMT' },
    304,
  ],
])('H7: a caller that knows %s', async (_known, headers, status) => {
  for (const at of [url, `${url}/_history/1`]) {
    const answer = await read(headers, at)

    expect(answer.status).toBe(status)
    expect(answer.headers['etag']).toBe('W/"1"')
    if (status === 304) expect(answer.text).toBe('')
  }
})

test('H7, H9: HEAD is answered in the same way', async () => {
  expect((await read({}, url, 'HEAD')).status).toBe(200)
  expect((await read({ 'if-none-match': 'W/"1"' }, url, 'HEAD')).status).toBe(304)
})

test('H7: the CapabilityStatement has a tag of its content', async () => {
  const whole = await service.send(undefined, { url: '/fhir/metadata' })
  const tag = z.string().parse(whole.headers['etag'])
  const again = await service.send(undefined, {
    url: '/fhir/metadata',
    headers: { 'if-none-match': tag },
  })

  expect(tag).toMatch(/^W\/"[0-9a-f]{16}"$/)
  expect([whole.status, again.status, again.text]).toEqual([200, 304, ''])
})

test('H7: an update is news', async () => {
  service.clock.set('2026-03-02T09:05:00.000Z')
  const [id] = url.split('/').slice(-1)
  const body = { resourceType: 'Organization', id, name: 'An invented practice, renamed' }
  const updated = await service.send(who, { method: 'PUT', url, body })
  const answer = await read({ 'if-none-match': 'W/"1"' })
  const old = await read({ 'if-none-match': 'W/"1"' }, `${url}/_history/1`)

  expect(updated.status).toBe(200)
  expect([answer.status, answer.headers['etag']]).toEqual([200, 'W/"2"'])
  expect(old.status).toBe(304)
  service.clock.set(START)
})

test('health data is kept by the caller alone, and asked for again', async () => {
  for (const at of [url, '/fhir/Organization', `${url}/_history`]) {
    const { headers } = await read({}, at)

    expect(headers['cache-control']).toBe('private, no-cache')
    expect(headers['vary']).toBe('Accept, Authorization, Prefer')
  }
})

test('I1, I2: what never was is 404', async () => {
  for (const at of [
    '/fhir/Organization/never-was',
    `${url}/_history/9`,
    `${url}/_history/0`,
    `${url}/_history/x`,
    '/fhir/Claim/a',
  ]) {
    const answer = await read({}, at)

    expect([answer.status, issues(answer)[0]?.code], at).toEqual([404, 'not-found'])
  }
})

test('I1: a deleted one is 410, its versions are read still', async () => {
  expect((await service.send(who, { method: 'DELETE', url })).status).toBe(204)

  expect((await read({ 'if-none-match': '*' })).status).toBe(410)
  expect((await read({}, `${url}/_history/3`)).status).toBe(410)
  expect((await read({}, `${url}/_history/1`)).status).toBe(200)
})
