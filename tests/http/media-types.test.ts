import { beforeAll, expect, test } from 'vitest'
import { bundleOf, smallReferral } from '../helpers/referral.ts'
import {
  type Answer,
  issues,
  type Sent,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

let service: TestService
let partner: Who

beforeAll(async () => {
  service = await testService()
  ;({ partner } = await service.clinic())
  return service.close
})

const post = (key: string, headers: Record<string, string>, url = '/fhir') =>
  service.send(partner, { method: 'POST', url, body: bundleOf(smallReferral({ key })), headers })
type Method = NonNullable<Sent['method']>
const allowedBy = ({ headers }: Answer): string[] =>
  String(headers['allow'])
    .split(', ')
    .filter((method) => method !== 'OPTIONS')
    .toSorted()
const stored = async (key: string) => {
  const rows = await service.sql('select 1 from resource_versions where body like $1', [
    `%${key}-%`,
  ])
  return rows.length > 0
}

test.each([
  'application/fhir+json',
  'application/fhir+json; fhirVersion=4.0',
  'application/fhir+json;charset=UTF-8',
  'application/json',
  'text/json',
])('a body of %s is taken', async (type) => {
  expect((await post(`in-${type}`, { 'content-type': type })).status).toBe(200)
})

test.each([
  'application/xml',
  'application/fhir+xml',
  'text/plain',
  'application/x-www-form-urlencoded',
  'application/fhir+json; fhirVersion=5.0',
  'application/fhir+json; charset=iso-8859-1',
])('a body of %s is refused with 415', async (type) => {
  const answer = await post(`out-${type}`, { 'content-type': type })

  expect(answer.status).toBe(415)
  expect(issues(answer)[0]?.code).toBe('not-supported')
})

test.each<[string, string, string | undefined, string]>([
  ['/fhir', 'application/fhir+json', undefined, 'application/fhir+json'],
  ['/fhir', 'application/json', undefined, 'application/json'],
  ['/fhir', 'text/html, text/json;q=0.5', undefined, 'text/json'],
  ['/fhir', '*/*', undefined, 'application/fhir+json'],
  ['/fhir/', 'text/*', undefined, 'text/json'],
  // No media range (RFC 9110 12.5.1), but what some clients send for one.
  ['/fhir', '*', undefined, 'application/fhir+json'],
  ['/fhir', 'text/html, *;q=0.2', undefined, 'application/fhir+json'],
  ['/fhir', 'application/fhir+json; fhirVersion=4.0', undefined, 'application/fhir+json'],
  ['/fhir', 'application/fhir+json;fhirVersion="4.0"', undefined, 'application/fhir+json'],
  ['/fhir', 'application/json;q=0.5, application/fhir+json', undefined, 'application/fhir+json'],
  ['/fhir', 'application/fhir+xml;q=1.0, application/json;q=0.1', undefined, 'application/json'],
  ['/fhir', 'application/fhir+xml', '_format=application/fhir+json', 'application/fhir+json'],
  ['/fhir', 'text/html', '_format=text/json', 'text/json'],
  [
    '/fhir',
    'text/html',
    '_format=application/fhir%2Bjson;fhirVersion=4.0',
    'application/fhir+json',
  ],
  ['/fhir', 'application/fhir+xml', '_format=json', 'application/fhir+json'],
  ['/fhir', 'application/fhir+xml', '_format=application/fhir%2Bjson', 'application/fhir+json'],
  ['/fhir', 'application/fhir+xml', '_format=application/json', 'application/json'],
])('%s with Accept %s and %s is answered in kind', async (url, accept, format, expected) => {
  const answer = await post(
    `kind-${accept.replaceAll(',', '')}-${format}`,
    { accept },
    `${url}?${format ?? ''}`,
  )

  expect(answer.status).toBe(200)
  expect(answer.headers['content-type']).toBe(`${expected}; charset=utf-8`)
})

test.each<[string, string]>([
  ['application/fhir+xml', ''],
  ['text/html', ''],
  ['application/fhir+json; fhirVersion=3.0', ''],
  ['application/fhir+json;q=0', ''],
  ['application/fhir+json', '_format=xml'],
  ['application/fhir+json', '_format=ttl'],
  ['application/fhir+json', '_format=application/fhir%2Bxml'],
  ['application/fhir+json', '_format=application/fhir%2Bjson;fhirVersion=3.0'],
  ['image/*', ''],
])('Accept %s with %s is refused with 406, and nothing is stored', async (accept, format) => {
  const key = `refused-${accept}-${format}`

  const answer = await post(key, { accept }, `/fhir?${format}`)

  expect(answer.status).toBe(406)
  expect(answer.headers['content-type']).toBe('application/fhir+json; charset=utf-8')
  expect(issues(answer)[0]).toMatchObject({
    code: 'not-supported',
    expression: [format === '' ? 'http.Accept' : 'http._format'],
  })
  expect(issues(answer)[0]?.details.text).toContain('Only JSON is offered')
  expect(await stored(key)).toBe(false)
})

test('a body beyond the limit is refused with 413', async () => {
  const answer = await service.send(partner, {
    method: 'POST',
    url: '/fhir',
    body: `{"resourceType":"Bundle","x":"${'a'.repeat(4 * 1_048_576)}"}`,
  })

  expect([answer.status, issues(answer)[0]?.code]).toEqual([413, 'too-long'])
})

const READS = 'GET, HEAD'

test.each<[Method, string, string]>([
  ['PUT', '/fhir', 'GET, HEAD, POST'],
  ['DELETE', '/fhir/', 'GET, HEAD, POST'],
  ['POST', '/fhir/metadata', READS],
  ['DELETE', '/fhir/_history', READS],
  ['POST', '/fhir/Patient/_history', READS],
  ['PUT', '/fhir/Patient/a/_history', READS],
  ['DELETE', '/fhir/Patient/a/_history/1', READS],
  ['GET', '/fhir/Patient/_search', 'POST'],
  ['GET', '/fhir/ServiceRequest/a/$triage', 'POST'],
  ['PUT', '/fhir/AuditEvent/a', READS],
  ['DELETE', '/fhir/StructureDefinition/a', READS],
  ['POST', '/fhir/AuditEvent', READS],
  ['POST', '/fhir/DeviceDefinition', READS],
  ['DELETE', '/health/live', READS],
])('%s %s is refused with 405, and told which methods there are', async (method, url, methods) => {
  const answer = await service.send(partner, { method, url })

  expect([answer.status, issues(answer)[0]?.code]).toEqual([405, 'not-supported'])
  expect(allowedBy(answer)).toEqual(methods.split(', ').toSorted())
})

test.each<[string, string]>([
  ['/fhir', 'GET, HEAD, POST'],
  ['/fhir/Patient/a/_history', READS],
  ['/fhir/metadata', READS],
])('OPTIONS %s tells which methods there are, without a token', async (url, methods) => {
  const { statusCode, headers, body } = await service.service.app.inject({ method: 'OPTIONS', url })

  expect([statusCode, body]).toEqual([204, ''])
  expect(String(headers['allow']).split(', ').toSorted()).toEqual(
    [...methods.split(', '), 'OPTIONS'].toSorted(),
  )
})

test('I4: an update of what is not there is refused, and Allow does not name it', async () => {
  const refused = await service.send(partner, {
    method: 'PUT',
    url: '/fhir/Organization/never-was',
    body: { resourceType: 'Organization', id: 'never-was', name: 'An invented practice' },
  })

  expect(refused.status).toBe(405)
  expect(allowedBy(refused)).toEqual(['DELETE', 'GET', 'HEAD', 'PATCH'])
})

test('a method that HTTP does not know is refused too', async () => {
  const answer = await service.service.app.inject({ method: 'PROPFIND', url: '/fhir/Patient/a' })

  expect(answer.statusCode).toBe(405)
})

test.each<[Method, string]>([
  ['GET', '/fhir/Claim'],
  ['GET', '/fhir/patient'],
  ['GET', '/fhir/Claim/a'],
  ['GET', '/fhir/Claim/a/_history/1'],
  ['PATCH', '/fhir/Claim/a'],
  ['PUT', '/fhir/Claim/a/_history'],
  ['GET', '/fhir/patient/a'],
  ['GET', '/FHIR/Patient'],
  ['GET', '/fhir/Patient/a_b'],
  ['GET', `/fhir/Patient/${'a'.repeat(65)}`],
  ['GET', '/fhir/Patient/$nothing'],
  ['GET', '/fhir/Patient/a/b'],
  ['GET', '/fhir/Task/a/Patient'],
  ['DELETE', '/fhir/Patient/a/b'],
  ['GET', '/fhir/__proto__'],
  ['GET', '/fhir/constructor/a'],
  ['POST', '/fhir/Claim/_search'],
  ['GET', '/fhir/Patient/a/b/c/d'],
  ['GET', '/nothing'],
])('%s %s is of no type that is kept here: 404', async (method, url) => {
  const answer = await service.send(partner, { method, url })

  expect([answer.status, issues(answer)[0]?.code]).toEqual([404, 'not-found'])
})

test('POST of an unknown type is 404', async () => {
  const answer = await service.send(partner, {
    method: 'POST',
    url: '/fhir/Claim',
    body: { resourceType: 'Claim' },
  })

  expect(answer.status).toBe(404)
})

test.each([
  '/fhir/%',
  '/fhir/%zz',
  '/fhir/Patient/%',
  '/fhir/Patient/%E0%A4%A',
  '/fhir/Patient/%00',
  '/fhir/Patient/a%2Fb',
  '/fhir/%F0%9F%91%A3',
  '/fhir//',
  '/fhir//a',
  '/fhir/Patient//_history',
  '/fhir/Patient/../../etc/passwd',
  '/fhir/Patient/..%2f..%2fetc%2fpasswd',
  `/fhir/Patient/${'a'.repeat(5_000)}`,
  '/fhir/Patient/a/_history/%00',
  '/fhir/Patient/a/_history/99999999999999999999',
  '/fhir/_history?_count=%00',
  '/fhir/Patient/_history?_since=%00',
  '/fhir/Patient/a?_format=%00',
  '/fhir/Patient/a?_format=%',
])('H6: %s is answered with an outcome, never with 500', async (url) => {
  for (const method of ['GET', 'HEAD', 'POST', 'DELETE', 'PATCH', 'PUT'] as const) {
    const answer = await service.send(partner, { method, url })

    expect(answer.status, method).toBeGreaterThanOrEqual(400)
    expect(answer.status, method).toBeLessThan(500)
    expect(answer.headers['content-type'], method).toBe('application/fhir+json; charset=utf-8')
    if (method !== 'HEAD') expect(issues(answer).length, method).toBeGreaterThan(0)
  }
})

test('H1: POST to the base with and without a slash is the transaction', async () => {
  expect((await post('slash', {}, '/fhir/')).status).toBe(200)
  expect((await post('no-slash', {}, '/fhir')).status).toBe(200)
})

test('H4: _pretty=true is the same answer, laid out', async () => {
  const [plain, pretty] = [
    await service.send(undefined, { url: '/fhir/metadata' }),
    await service.send(undefined, { url: '/fhir/metadata?_pretty=true' }),
  ]

  expect(pretty.text.split('\n').length).toBeGreaterThan(100)
  expect(pretty.text.startsWith('{\n  "resourceType": "CapabilityStatement",\n')).toBe(true)
  expect(pretty.json).toEqual(plain.json)
  expect(plain.text).not.toContain('\n')
  expect((await service.send(undefined, { url: '/fhir/metadata?_pretty=false' })).text).toBe(
    plain.text,
  )
})

test('H4: an outcome is laid out too', async () => {
  const answer = await service.send(partner, { url: '/fhir/Claim?_pretty=true' })

  expect(answer.text.startsWith('{\n  "resourceType": "OperationOutcome",\n')).toBe(true)
})

test.each<[string, string]>([
  ['return=minimal', ''],
  ['return="minimal"', ''],
  ['respond-async, return=minimal', ''],
  ['return=representation', 'Organization'],
  ['return=presentation', 'Organization'],
  ['return=OperationOutcome', 'OperationOutcome'],
  ['nothing at all;;=,', 'Organization'],
])('H8: Prefer: %s answers a create with %s', async (prefer, expected) => {
  const answer = await service.send(partner, {
    method: 'POST',
    url: '/fhir/Organization',
    body: { resourceType: 'Organization', name: 'An invented practice' },
    headers: { prefer },
  })

  expect(answer.status).toBe(201)
  expect(answer.headers['etag']).toBe('W/"1"')
  expect(answer.headers['location']).toMatch(/\/fhir\/Organization\/[^/]+\/_history\/1$/)
  if (expected === '') expect(answer.text).toBe('')
  else expect(answer.json).toMatchObject({ resourceType: expected })
})

test('HEAD is GET without the body', async () => {
  const url = '/fhir/metadata'
  const [head, get] = [
    await service.send(undefined, { method: 'HEAD', url }),
    await service.send(undefined, { url }),
  ]

  expect(head.status).toBe(200)
  expect(head.text).toBe('')
  expect(head.headers['etag']).toBe(get.headers['etag'])
})
