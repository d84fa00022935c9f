import { once } from 'node:events'
import { connect } from 'node:net'
import { gzipSync } from 'node:zlib'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { rawAnswer } from '../helpers/raw-socket.ts'
import { issues, type TestService, testService, type Who } from '../helpers/service.ts'

// What is larger, deeper, more or slower than it may be, and what has two meanings.

let service: TestService
let partner: Who
let port: number

beforeAll(async () => {
  service = await testService({ load: { requestTimeoutMs: 1_000 } })
  ;({ partner } = await service.clinic())
  port = Number(new URL(await service.service.app.listen({ host: '127.0.0.1', port: 0 })).port)
})
afterAll(() => service.close())

const post = (body: string | Buffer, headers: Record<string, string> = {}) =>
  service.send(partner, { method: 'POST', url: '/fhir/Organization', body, headers })
const rules = (answer: Awaited<ReturnType<typeof post>>) =>
  issues(answer).map(({ details }) => details.coding?.[0]?.code)

test.each([100, 1_000, 10_000, 100_000])(
  'a body of %i levels is refused with 400, and the service goes on',
  async (levels) => {
    const answer = await post(
      `{"resourceType":"Organization","a":${'['.repeat(levels)}${']'.repeat(levels)}}`,
    )

    expect([answer.status, ...rules(answer)]).toEqual([400, 'json.depth'])
    expect((await service.send(undefined, { url: '/health/live' })).status).toBe(200)
  },
)

test('half a million elements in a body are refused with 400 and the place of the array', async () => {
  const answer = await post(
    `{"resourceType":"Organization","alias":[${Array(500_000).fill('0').join(',')}]}`,
  )

  expect([answer.status, ...rules(answer)]).toEqual([400, 'json.items'])
  expect(issues(answer)[0]?.expression).toEqual(['Organization.alias'])
})

test('a text of 1 MB is taken as long as R4 lets it be, not one character more', async () => {
  const named = (length: number) =>
    post(JSON.stringify({ resourceType: 'Organization', name: 'a'.repeat(length) }))

  expect((await named(1_048_576)).status).toBe(201)
  const longer = await named(1_048_577)
  expect([longer.status, issues(longer)[0]?.expression]).toEqual([400, ['Organization.name']])
})

test('a form beyond 64 KB is refused with 413, and recorded all the same', async () => {
  const form = (length: number) =>
    service.send(partner, {
      method: 'POST',
      url: '/fhir/Patient/_search',
      body: `family=${'a'.repeat(length - 7)}`,
      headers: { 'content-type': 'application/x-www-form-urlencoded' },
    })

  expect((await form(65_536)).status).not.toBe(413)
  expect([(await form(65_537)).status]).toEqual([413])
})

test('a compressed body is not unpacked, so no small one becomes large', async () => {
  const bomb = gzipSync(Buffer.alloc(50 * 1_048_576, ' '))

  const answer = await post(bomb, { 'content-encoding': 'gzip' })

  // RFC 9110, 15.5.16: a content coding that is not supported.
  expect(answer.status).toBe(415)
  expect(issues(answer)).toHaveLength(1)
})

test('XML with an external entity is refused with 415; it is never read', async () => {
  const xml = `<?xml version="1.0"?><!DOCTYPE a [<!ENTITY x SYSTEM "file:///etc/hostname">]>
    <Organization xmlns="http://hl7.org/fhir"><name value="&x;"/></Organization>`

  const answer = await post(xml, { 'content-type': 'application/fhir+xml' })

  expect([answer.status, issues(answer)[0]?.code]).toEqual([415, 'not-supported'])
})

test('100 headers are taken, 101 are refused with 431 and an outcome', async () => {
  const asked = (headers: number) =>
    rawAnswer(
      port,
      `GET /fhir/metadata HTTP/1.1\r\nHost: a\r\nConnection: close\r\n${'x-a: 1\r\n'.repeat(headers - 2)}\r\n`,
    )

  expect((await asked(100)).status).toBe(200)
  expect((await asked(101)).status).toBe(431)
  expect((await asked(101)).body).toContain('"code":"too-long"')
})

test('as many headers as Node itself would drop unseen are refused, not shortened', async () => {
  const { status } = await rawAnswer(
    port,
    `GET /fhir/metadata HTTP/1.1\r\nHost: a\r\nConnection: close\r\n${'x:1\r\n'.repeat(2_500)}If-None-Match: *\r\n\r\n`,
  )

  expect(status).toBe(431)
})

test.each(['Authorization', 'Content-Type', 'If-None-Exist', 'Idempotency-Key', 'X-Request-Id'])(
  'two headers %s have no single meaning: 400',
  async (name) => {
    const answer = await rawAnswer(
      port,
      `GET /fhir/metadata HTTP/1.1\r\nHost: a\r\nConnection: close\r\n${name}: a\r\n${name.toLowerCase()}: b\r\n\r\n`,
    )

    expect(answer.status).toBe(400)
    expect(answer.body).toContain(`http.\\"${name.toLowerCase()}\\"`)
  },
)

const HIDDEN = 'GET /health/ready HTTP/1.1\r\nHost: a\r\n\r\n'
const smuggled = (headers: string, body: string) =>
  `POST /fhir/Patient/_search HTTP/1.1\r\nHost: a\r\n${headers}\r\n\r\n${body}`

test.each<[string, string]>([
  [
    'a length and chunks',
    smuggled('Content-Length: 5\r\nTransfer-Encoding: chunked', `0\r\n\r\n${HIDDEN}`),
  ],
  [
    'chunks and a length',
    smuggled('Transfer-Encoding: chunked\r\nContent-Length: 5', `0\r\n\r\n${HIDDEN}`),
  ],
  ['two lengths', smuggled('Content-Length: 0\r\nContent-Length: 44', HIDDEN)],
  ['two equal lengths', smuggled('Content-Length: 1\r\nContent-Length: 1', `a${HIDDEN}`)],
  ['a length with a sign', smuggled('Content-Length: +0', HIDDEN)],
  ['an unknown coding', smuggled('Transfer-Encoding: xchunked', `0\r\n\r\n${HIDDEN}`)],
  [
    'chunks that are not the last coding',
    smuggled('Transfer-Encoding: chunked, gzip', `0\r\n\r\n${HIDDEN}`),
  ],
  ['a space before the colon', smuggled('Content-Length : 0', HIDDEN)],
  ['a folded header', smuggled('X: a\r\n b\r\nTransfer-Encoding:\r\n chunked', HIDDEN)],
  ['a bare line feed', smuggled('X: a\nContent-Length: 0', HIDDEN)],
  ['a chunk that says no size', smuggled('Transfer-Encoding: chunked', `z\r\n\r\n${HIDDEN}`)],
])('%s: one answer, 400, and nothing behind it is a request', async (_what, text) => {
  const answer = await rawAnswer(port, text)

  expect([answer.status, answer.answers]).toEqual([400, 1])
  expect(answer.head).toContain('Connection: close')
})

const HEAD = () =>
  `POST /fhir/Organization HTTP/1.1\r\nHost: a\r\nAuthorization: Bearer ${partner.token}\r\nContent-Type: application/fhir+json\r\n`

test('a body that does not come is given up with 408 and an outcome, and the connection closed', async () => {
  const { status, body, head } = await rawAnswer(port, `${HEAD()}Content-Length: 100\r\n\r\n{`)

  expect(status).toBe(408)
  expect(body).toContain('OperationOutcome')
  expect(head).toContain('Connection: close')
})

test('headers that do not end are given up with 408', async () => {
  expect((await rawAnswer(port, HEAD())).status).toBe(408)
})

test('a body that ends before its length is no request', async () => {
  const socket = connect(port, '127.0.0.1')
  socket.on('error', () => {})
  socket.end(`${HEAD()}Content-Length: 100\r\n\r\n{"resourceType":"Organization"}`)
  socket.resume()
  await once(socket, 'close')

  const kept = await service.send(partner, { url: '/fhir/Organization?_summary=count' })

  expect(kept.json).toMatchObject({ total: 1 })
})

test('chunks without an end are refused with 413 once they are too many', async () => {
  const chunk = `10000\r\n${' '.repeat(65_536)}\r\n`

  const { status, body } = await rawAnswer(
    port,
    `${HEAD()}Transfer-Encoding: chunked\r\n\r\n`,
    chunk.repeat(70),
  )

  expect(status).toBe(413)
  expect(body).toContain('"code":"too-long"')
})
