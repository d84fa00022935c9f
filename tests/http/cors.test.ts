import { Writable } from 'node:stream'
import { pino } from 'pino'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type TestService, testService } from '../helpers/service.ts'

const APP = 'https://app.example'

let closed: TestService
let some: TestService
let all: TestService
const lines: string[] = []

beforeAll(async () => {
  const logger = pino(
    new Writable({
      write(chunk, _encoding, done) {
        lines.push(String(chunk))
        done()
      },
    }),
  )
  closed = await testService({ logger })
  some = await testService({ corsOrigins: [APP, 'http://localhost:8080'] })
  all = await testService({ corsOrigins: ['*'] })
})
afterAll(() => Promise.all([closed.close(), some.close(), all.close()]))

const get = (service: TestService, headers: Record<string, string>, url = '/fhir/metadata') =>
  service.send(undefined, { url, headers })
const preflight = (service: TestService, origin: string) =>
  service.service.app.inject({
    method: 'OPTIONS',
    url: '/fhir/Patient/a',
    headers: {
      origin,
      'access-control-request-method': 'PUT',
      'access-control-request-headers': 'authorization,if-match',
    },
  })

test('H11: a script of a listed origin may read the answer and its headers', async () => {
  const { headers } = await get(some, { origin: APP })

  expect(headers['access-control-allow-origin']).toBe(APP)
  expect(headers['access-control-expose-headers']).toBe(
    'ETag, Location, Content-Location, Last-Modified, Retry-After, WWW-Authenticate, X-Correlation-Id, X-Request-Id, X-Progress',
  )
  expect(headers['access-control-allow-credentials']).toBeUndefined()
  expect(headers['vary']).toBe('Origin, Accept, Authorization, Prefer')
})

test('H11: a refusal can be read too', async () => {
  const answer = await get(some, { origin: APP }, '/fhir/Patient')

  expect(answer.status).toBe(401)
  expect(answer.headers['access-control-allow-origin']).toBe(APP)
})

test('H11: the browser is told, without a token, what may be sent', async () => {
  const { statusCode, headers } = await preflight(some, APP)

  expect(statusCode).toBe(204)
  expect(headers['access-control-allow-origin']).toBe(APP)
  expect(headers['access-control-allow-methods']).toBe('GET, HEAD, POST, PUT, PATCH, DELETE')
  // Every header of a request that the README and the interface description name.
  for (const name of ['Authorization', 'If-Match', 'If-None-Exist', 'Prefer', 'Purpose-Of-Use'])
    expect(headers['access-control-allow-headers']).toContain(name)
})

test('H11: another origin may not', async () => {
  expect(
    (await get(some, { origin: 'https://other.example' })).headers['access-control-allow-origin'],
  ).toBeUndefined()
  expect(
    (await preflight(some, 'https://other.example')).headers['access-control-allow-origin'],
  ).toBeUndefined()
})

test('H11: with * every origin may', async () => {
  const answer = await get(all, { origin: 'https://other.example' })

  expect(answer.headers['access-control-allow-origin']).toBe('*')
})

test('H11: without a list nobody may', async () => {
  const { headers } = await get(closed, { origin: APP })

  expect(headers['access-control-allow-origin']).toBeUndefined()
  expect((await preflight(closed, APP)).headers['access-control-allow-origin']).toBeUndefined()
})

test('H11: the CapabilityStatement says whether scripts may call', async () => {
  const says = async (service: TestService) => (await get(service, {})).text.includes('"cors":true')

  expect([await says(closed), await says(some), await says(all)]).toEqual([false, true, true])
})

const UUID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/

test.each(['a', 'b4c2-0.A_', 'x'.repeat(64)])('H10: the name %s comes back', async (name) => {
  const { headers } = await get(closed, { 'x-request-id': name })

  expect(headers['x-request-id']).toBe(name)
  expect(headers['x-correlation-id']).toBeUndefined()
})

test.each(['with space', 'x'.repeat(65), '{"a":1}', 'a/b'])(
  'H10: the name %s is replaced, and comes back as the other one',
  async (name) => {
    const { headers } = await get(closed, { 'x-request-id': name })

    expect(headers['x-request-id']).toMatch(UUID)
    expect(headers['x-correlation-id']).toBe(name)
  },
)

test.each(['ä', 'x'.repeat(129), ''])('H10: the name %j is not repeated', async (name) => {
  const { headers } = await get(closed, { 'x-request-id': name })

  expect(headers['x-request-id']).toMatch(UUID)
  expect(headers['x-correlation-id']).toBeUndefined()
})

test.each([
  ['an answer', '/fhir/metadata'],
  ['a refusal', '/fhir/Patient'],
  ['an unknown address', '/nothing'],
  ['an address that cannot be read', '/fhir/%'],
])('H10: %s carries a name', async (_what, url) => {
  expect((await get(closed, {}, url)).headers['x-request-id']).toMatch(UUID)
  expect((await get(closed, { 'x-request-id': 'mine' }, url)).headers['x-request-id']).toBe('mine')
})

test('H10: the line of the log has the name of its request, never an unsafe one', async () => {
  await get(closed, { 'x-request-id': 'to-be-found' })
  await get(closed, { 'x-request-id': 'not to be found' })

  expect(lines.filter((line) => line.includes('"reqId":"to-be-found"'))).toHaveLength(1)
  expect(lines.some((line) => line.includes('not to be found'))).toBe(false)
})

// CDS Hooks 2.0, "CORS": services are called from browsers too, so the discovery and the services answer across origins.
test('what is listed for scripts holds for the services of CDS Hooks too', async () => {
  const found = await get(some, { origin: APP }, '/cds-services')
  const asked = await some.service.app.inject({
    method: 'OPTIONS',
    url: '/cds-services/orthotic-referral-view',
    headers: {
      origin: APP,
      'access-control-request-method': 'POST',
      'access-control-request-headers': 'authorization,content-type',
    },
  })

  expect([found.status, found.headers['access-control-allow-origin']]).toEqual([200, APP])
  expect(asked.statusCode).toBe(204)
  expect(asked.headers['access-control-allow-origin']).toBe(APP)
  expect(String(asked.headers['access-control-allow-methods'])).toContain('POST')
  expect((await get(closed, { origin: APP }, '/cds-services')).headers).not.toHaveProperty(
    'access-control-allow-origin',
  )
})
