import { afterAll, beforeAll, expect, test } from 'vitest'
import { openService, type Service } from '../../src/service.ts'
import { testDatabase } from '../helpers/database.ts'
import { type TestService, testService, type Who } from '../helpers/service.ts'

let service: TestService
let staff: Who
let plain: Service
let drop: () => Promise<void>

beforeAll(async () => {
  service = await testService()
  ;({ staff } = await service.clinic())
  const database = await testDatabase()
  drop = database.drop
  plain = await openService({
    databaseUrl: database.url,
    origin: 'http://127.0.0.1:3000',
    tokenIssuer: undefined,
    tokenLifetimeSeconds: 300,
    poolSize: 2,
    statementTimeoutMs: 10_000,
    answerLanguage: 'en',
  })
})
afterAll(async () => {
  await service.close()
  await plain.close()
  await drop()
})

/** What an answer says that is data: nothing is loaded, run or framed. */
const STRICT = {
  'content-security-policy': "default-src 'none';frame-ancestors 'none'",
  'x-content-type-options': 'nosniff',
  'x-frame-options': 'SAMEORIGIN',
  'referrer-policy': 'no-referrer',
  'strict-transport-security': 'max-age=31536000',
}

test.each<[string, 'staff' | 'nobody', number]>([
  ['/fhir/metadata', 'nobody', 200],
  ['/fhir/Patient', 'staff', 200],
  ['/fhir/Patient/a', 'staff', 404],
  ['/fhir/Patient/a', 'nobody', 401],
  ['/fhir/.well-known/smart-configuration', 'nobody', 200],
  ['/oauth/jwks', 'nobody', 200],
  ['/health/live', 'nobody', 200],
  ['/nowhere', 'nobody', 404],
])('%s asked by %s forbids a browser everything', async (url, who, status) => {
  const answer = await service.send(who === 'staff' ? staff : undefined, { url })

  expect(answer.status).toBe(status)
  expect(answer.headers).toMatchObject(STRICT)
  expect(answer.headers['x-powered-by']).toBeUndefined()
})

test.each(['/fhir/Patient', '/fhir/Patient/a', '/fhir/AuditEvent', '/fhir/Patient/a/$everything'])(
  '%s stays out of shared caches, answered or refused',
  async (url) => {
    for (const who of [staff, undefined]) {
      const { headers } = await service.send(who, { url })
      expect(headers['cache-control']).toBe('private, no-cache')
      expect(headers['vary']).toContain('Authorization')
    }
  },
)

test('a token and its refusal are kept nowhere', async () => {
  const { headers } = await service.send(undefined, {
    method: 'POST',
    url: '/oauth/token',
    body: 'grant_type=client_credentials',
    headers: { 'content-type': 'application/x-www-form-urlencoded' },
  })

  expect(headers).toMatchObject({ 'cache-control': 'no-store', pragma: 'no-cache' })
})

test('the page of the interface description may load what it is made of, from here only, and no frame', async () => {
  const page = await service.send(undefined, { url: '/docs/' })
  const policy = String(page.headers['content-security-policy'])
  const loaded = [...page.text.matchAll(/(?:src|href)="([^"]+)"/g)].map(([, to]) => to ?? '')

  expect(page.status).toBe(200)
  expect(policy).toContain("default-src 'none'; script-src 'self'; style-src 'self'")
  expect(policy).toContain("connect-src 'self'")
  expect(policy).toContain("frame-ancestors 'none'")
  expect(policy).not.toMatch(/script-src[^;]*unsafe|https?:/)
  expect(loaded.length).toBeGreaterThan(3)
  expect(loaded.filter((to) => /^(https?:)?\/\//.test(to))).toEqual([])
  // A script in the page itself would not run under this policy.
  expect(page.text).not.toMatch(/<script(?![^>]*\bsrc=)[^>]*>/)
  for (const to of loaded) {
    const { status } = await service.send(undefined, {
      url: new URL(to, 'http://a/docs/').pathname,
    })
    expect([to, status]).toEqual([to, 200])
  }
})

test('a page of what is published runs no script', async () => {
  const page = await service.send(undefined, {
    url: '/fhir/StructureDefinition',
  })
  const id = /"id":"([^"]+)"/.exec(page.text)?.[1]

  const { headers } = await service.send(undefined, {
    url: `/fhir/StructureDefinition/${id}`,
    headers: { accept: 'text/html' },
  })

  expect(headers['content-type']).toContain('text/html')
  expect(headers['content-security-policy']).toMatch(/^default-src 'none'/)
  expect(headers['content-security-policy']).not.toContain('script-src')
})

test('over plain HTTP nobody is told to come by HTTPS only', async () => {
  const { headers } = await plain.app.inject('/fhir/metadata')

  expect(headers['strict-transport-security']).toBeUndefined()
  expect(headers['content-security-policy']).toBe(STRICT['content-security-policy'])
})
