import Fastify, { type FastifyBaseLogger, type FastifyInstance } from 'fastify'
import { pino } from 'pino'
import { afterAll, expect, test } from 'vitest'
import { z } from 'zod'
import { installErrorHandler, traceOf } from '../../src/http/error-handler.ts'
import { referralParts } from '../helpers/referral.ts'
import { expressions, testService } from '../helpers/service.ts'

/** A logger whose lines a test can read. */
function recorder() {
  const lines: string[] = []
  const logger: FastifyBaseLogger = pino(
    { level: 'trace' },
    { write: (line: string) => lines.push(line) },
  )
  return { lines, logger }
}

const { lines, logger } = recorder()
const service = await testService({ logger })
afterAll(() => service.close())

test('text of an unexpected error reaches neither the caller nor the log', async () => {
  const quiet = recorder()
  const app: FastifyInstance = Fastify({ loggerInstance: quiet.logger })
  installErrorHandler(app)
  app.get('/', () => {
    throw new Error('insert failed: parameters Anna, born 2024-02-03')
  })

  const answer = await app.inject('/')

  expect(answer.statusCode).toBe(500)
  expect(answer.headers['content-type']).toMatch(/^application\/fhir\+json/)
  expect(answer.body + quiet.lines.join('')).not.toMatch(/Anna|2024-02-03/)
  expect(quiet.lines.join('')).toContain('request failed')
})

test('the log names an unexpected error and where it came from', async () => {
  const quiet = recorder()
  const traced = quiet.logger.child({}, { serializers: { err: traceOf } })
  const app: FastifyInstance = Fastify({ loggerInstance: traced })
  installErrorHandler(app)
  app.get('/', () => {
    throw new RangeError('Anna')
  })
  await app.inject('/')

  const line = quiet.lines.find((one) => one.includes('request failed')) ?? ''
  expect(line).toContain('"name":"RangeError"')
  expect(line).toContain('errors.test.ts')
  expect(line).not.toContain('Anna')
})

test('an unexpected error is an OperationOutcome that tells nothing of the inside', async () => {
  const app: FastifyInstance = Fastify()
  installErrorHandler(app)
  app.get('/', () => {
    throw new TypeError('cannot read properties of undefined')
  })

  const { issue } = z
    .object({ issue: z.array(z.object({ severity: z.string(), code: z.string() })) })
    .parse((await app.inject('/')).json())

  expect(issue).toEqual([{ severity: 'fatal', code: 'exception' }])
})

test('a log line of a request holds its route, and nothing that was searched for or sent', async () => {
  const { partner } = await service.clinic()
  const parts = referralParts({ key: 'logged' })
  await service.refer(partner, parts)
  await service.send(partner, {
    url: '/fhir/Patient?family=Musterkind-logged&birthdate=2024-02-01',
  })
  await service.send(partner, { url: '/fhir/Patient/nobody-in-particular' })

  const log = lines.join('')

  expect(log).toContain('/fhir/:type')
  expect(log).toContain('"status":200')
  expect(log).not.toMatch(/Musterkind|2024-02-01|nobody-in-particular|Zoë|Bearer|family=/)
})

test('an address that leads nowhere is a 404 with an OperationOutcome', async () => {
  const answer = await service.send(undefined, { url: '/nowhere' })

  expect(answer.status).toBe(404)
  expect(answer.json).toMatchObject({ resourceType: 'OperationOutcome' })
})

// R4 2.44.5: a fault of a request is placed at its header or parameter.
test.each([
  ['POST', '/fhir/Patient', { 'if-none-exist': '' }, 'http."If-None-Exist"', 'not be empty'],
  [
    'POST',
    '/fhir/Patient',
    { 'if-none-exist': 'a'.repeat(2_000) },
    'http."If-None-Exist"',
    'longer',
  ],
  ['DELETE', '/fhir/Patient/a', { 'if-match': 'a'.repeat(500) }, 'http."If-Match"', 'longer'],
  ['POST', '/fhir/Patient/$validate?mode=create&mode=update', {}, 'http.mode', 'given once'],
] as const)(
  '%s %s with %o names the place that cannot be read',
  async (method, url, headers, at, text) => {
    const { staff } = await service.clinic()
    const body = method === 'POST' ? { resourceType: 'Patient' } : undefined
    const sent = { method, url, headers, ...(body === undefined ? {} : { body }) }

    const answer = await service.send(staff, sent)

    expect([answer.status, expressions(answer)], answer.text).toEqual([400, [at]])
    expect(answer.text).toContain(text)
    expect(answer.text).not.toContain('aaaa')
  },
)
