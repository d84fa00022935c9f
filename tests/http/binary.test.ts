import { beforeAll, expect, test } from 'vitest'
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

test('a FHIR client gets the resource', async () => {
  const made = await post({ resourceType: 'Binary', contentType: 'image/png', data: 'AAAA' }, {})

  for (const accept of ['application/fhir+json', 'application/json', '*/*'])
    expect(resource(await read(resource(made)['id'], accept))).toMatchObject({ data: 'AAAA' })
})

test('content is a download that nothing runs in, whatever it says it is', async () => {
  const made = await post('<script>alert(1)</script>', { 'content-type': 'text/html' })

  const content = await read(resource(made)['id'], 'text/html,*/*;q=0.8')

  expect(content.headers).toMatchObject({
    'content-disposition': 'attachment',
    'content-security-policy': "sandbox; default-src 'none'",
    'x-content-type-options': 'nosniff',
  })
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
