import { beforeAll, describe, expect, test } from 'vitest'
import {
  type Answer,
  issues,
  resource,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// Binary, by binary.html of R4 (2.39.5).

let service: TestService
let staff: Who
let other: Who

beforeAll(async () => {
  service = await testService()
  ;({ staff, other } = await service.clinic())
  return service.close
})

const post = (body: unknown, headers: Record<string, string>): Promise<Answer> =>
  service.send(staff, { method: 'POST', url: '/fhir/Binary', body, headers })
const read = (id: unknown, accept: string, who = staff): Promise<Answer> =>
  service.send(who, { url: `/fhir/Binary/${String(id)}`, headers: { accept } })

test('content that is no resource is kept and comes back as it was sent', async () => {
  const made = await post('a plain text', { 'content-type': 'text/plain' })
  const id = resource(made)['id']

  const content = await read(id, 'text/plain')

  expect([made.status, content.status, content.text]).toEqual([201, 200, 'a plain text'])
  expect(resource(made)).toMatchObject({ contentType: 'text/plain', data: 'YSBwbGFpbiB0ZXh0' })
  expect(String(content.headers['content-type'])).toContain('text/plain')
})

test('a client that names FHIR JSON gets the resource', async () => {
  const made = await post({ resourceType: 'Binary', contentType: 'image/png', data: 'AAAA' }, {})

  for (const accept of ['application/fhir+json', 'application/json', 'application/fhir+json, */*'])
    expect(resource(await read(resource(made)['id'], accept))).toMatchObject({ data: 'AAAA' })
})

test.each(['*/*', 'application/*', 'image/png', 'image/jpeg'])(
  'a client that does not name it, with Accept: %s, gets the content in its own media type (R4 2.39.5)',
  async (accept) => {
    const made = await post({ resourceType: 'Binary', contentType: 'image/png', data: 'YWJj' }, {})

    const content = await read(resource(made)['id'], accept)

    expect([content.status, content.text]).toEqual([200, 'abc'])
    expect(content.headers['content-type']).toBe('image/png')
  },
)

test('content is a download that nothing runs in, whatever it says it is', async () => {
  const made = await post('<script>alert(1)</script>', { 'content-type': 'text/html' })

  const content = await read(resource(made)['id'], 'text/html,*/*;q=0.8')

  expect(content.headers).toMatchObject({
    'content-disposition': 'attachment',
    'content-security-policy': "sandbox; default-src 'none'",
    'x-content-type-options': 'nosniff',
  })
})

test('content has the version and the time of its Binary, and is not sent again (R4 3.1.0.2, 3.1.0.1.4)', async () => {
  const id = String(resource(await post('x', { 'content-type': 'text/plain' }))['id'])
  const url = `/fhir/Binary/${id}`

  const content = await read(id, 'text/plain')
  const again = await service.send(staff, {
    url,
    headers: { accept: 'text/plain', 'if-none-match': 'W/"1"' },
  })
  const refused = await service.send(staff, { url: `${url}?_format=xml` })

  expect(content.headers['etag']).toBe('W/"1"')
  expect(Date.parse(String(content.headers['last-modified']))).not.toBeNaN()
  expect([again.status, again.text]).toEqual([304, ''])
  expect([refused.status, refused.headers['etag']]).toEqual([406, undefined])
})

test('a security context is a reference like any other', async () => {
  const answer = await post('x', {
    'content-type': 'text/plain',
    'x-security-context': 'Patient/nobody',
  })

  expect([answer.status, issues(answer)[0]?.expression]).toEqual([
    422,
    ['Binary.securityContext.reference'],
  ])
})

describe('content by PUT (R4 2.39.5, 3.1.0.4)', () => {
  const put = (id: unknown, body: unknown, headers: Record<string, string>, who = staff) =>
    service.send(who, { method: 'PUT', url: `/fhir/Binary/${String(id)}`, body, headers })
  const made = async () =>
    resource(await post('the first text', { 'content-type': 'text/plain' }))['id']

  test('takes the place of what was there, in a new version', async () => {
    const id = await made()

    const answer = await put(id, '%PDF-1.7 invented', { 'content-type': 'application/pdf' })
    const content = await read(id, 'application/pdf')
    const first = await service.send(staff, { url: `/fhir/Binary/${String(id)}/_history/1` })

    expect([answer.status, answer.headers['etag']]).toEqual([200, 'W/"2"'])
    expect(String(answer.headers['location'])).toMatch(/\/_history\/2$/)
    expect([content.status, content.text]).toEqual([200, '%PDF-1.7 invented'])
    expect(String(content.headers['content-type'])).toContain('application/pdf')
    expect(resource(first)).toMatchObject({ contentType: 'text/plain' })
  })

  test('is protected as X-Security-Context says', async () => {
    const id = await made()
    const organization = await service.send(staff, {
      method: 'POST',
      url: '/fhir/Organization',
      body: { resourceType: 'Organization', name: 'An invented practice' },
    })
    const place = `Organization/${String(resource(organization)['id'])}`
    const under = (context: string) =>
      put(id, 'x', { 'content-type': 'text/plain', 'x-security-context': context })

    const right = await under(place)
    const wrong = await under('Patient/nobody')

    expect(resource(right)).toMatchObject({ securityContext: { reference: place } })
    expect([wrong.status, issues(wrong)[0]?.expression]).toEqual([
      422,
      ['Binary.securityContext.reference'],
    ])
  })

  test('honours If-Match, and creates nothing under an id of its sender', async () => {
    const id = await made()
    const headers = { 'content-type': 'text/plain' }

    expect((await put(id, 'x', { ...headers, 'if-match': 'W/"2"' })).status).toBe(412)
    expect((await put(id, 'x', { ...headers, 'if-match': 'W/"1"' })).status).toBe(200)
    expect((await put('nobody', 'x', headers)).status).toBe(405)
    expect((await put(id, 'x', headers, other)).status).toBe(405)
  })

  test('a resource is taken there as before', async () => {
    const id = await made()
    const body = { resourceType: 'Binary', id, contentType: 'image/png', data: 'AAAA' }

    expect((await put(id, body, {})).status).toBe(200)
    expect((await put(id, { ...body, id: 'another' }, {})).status).toBe(400)
  })
})

test('a Binary sent as its content takes X-Provenance like any other resource (R4 6.3.4.2.1)', async () => {
  const provenance = { resourceType: 'Provenance', agent: [{ who: { display: 'A scanner' } }] }
  const made = await post('x', {
    'content-type': 'text/plain',
    'x-provenance': JSON.stringify(provenance),
  })
  const found = await service.send(staff, {
    url: `/fhir/Provenance?target=Binary/${String(resource(made)['id'])}`,
  })

  expect(made.status, made.text).toBe(201)
  expect(found.text).toContain('A scanner')
})

test('another partner does not find it', async () => {
  const made = await post('x', { 'content-type': 'text/plain' })

  expect((await read(resource(made)['id'], 'text/plain', other)).status).toBe(404)
})

test('content of other types is refused everywhere else with 415', async () => {
  const answer = await service.send(staff, {
    method: 'POST',
    url: '/fhir/Patient',
    body: '<Patient xmlns="http://hl7.org/fhir"/>',
    headers: { 'content-type': 'application/fhir+xml' },
  })

  expect(answer.status).toBe(415)
})
