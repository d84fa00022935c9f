import { connect } from 'node:net'
import { once } from 'node:events'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { type TestService, testService } from '../helpers/service.ts'

let service: TestService
let port: number

beforeAll(async () => {
  service = await testService()
  const address = await service.service.app.listen({ host: '127.0.0.1', port: 0 })
  port = Number(new URL(address).port)
})
afterAll(() => service.close())

async function answerTo(text: string): Promise<{ head: string; body: unknown }> {
  const socket = connect(port, '127.0.0.1')
  const parts: Buffer[] = []
  socket.on('data', (part: Buffer) => parts.push(part))
  socket.on('error', () => {})
  socket.write(text)
  await once(socket, 'close')
  const [head = '', body = ''] = Buffer.concat(parts).toString('utf8').split('\r\n\r\n')
  return { head, body: JSON.parse(body) }
}

test.each<[string, string, string]>([
  ['what is no HTTP', 'HELLO\r\n\r\n', 'HTTP/1.1 400 Bad Request'],
  [
    'a header with a line break in its name',
    'GET /fhir/metadata HTTP/1.1\r\nHost: a\r\nbad header: x\r\n\r\n',
    'HTTP/1.1 400 Bad Request',
  ],
  [
    'headers beyond the limit',
    `GET /fhir/metadata HTTP/1.1\r\nHost: a\r\nX: ${'a'.repeat(40_000)}\r\n\r\n`,
    'HTTP/1.1 431 Request Header Fields Too Large',
  ],
])('H6: %s is answered with an outcome', async (_what, text, status) => {
  const { head, body } = await answerTo(text)

  expect(head.split('\r\n')).toContain(status)
  expect(head).toContain('Content-Type: application/fhir+json')
  expect(z.object({ resourceType: z.string() }).parse(body).resourceType).toBe('OperationOutcome')
})
