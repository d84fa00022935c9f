import { readFileSync } from 'node:fs'
import { Ajv2020 } from 'ajv/dist/2020.js'
import { beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { prefetchOf, SIGN, signCall, VIEW, viewCall } from '../helpers/cds.ts'
import { COMMITTED } from '../helpers/description.ts'
import { coded, type Json, referralParts } from '../helpers/referral.ts'
import { type TestService, testService, type Who } from '../helpers/service.ts'

// The described bodies of CDS Hooks 2.0 against what is really sent and answered.

const Schema = z.record(z.string(), z.unknown())
const Content = z.object({ 'application/json': z.object({ schema: Schema }) })
const Operation = z.object({
  requestBody: z.object({ content: Content }).optional(),
  responses: z.object({ 200: z.object({ content: Content.optional() }) }),
})
const Document = z.object({ paths: z.record(z.string(), z.record(z.string(), z.unknown())) })
const { paths } = Document.parse(JSON.parse(readFileSync(COMMITTED, 'utf8')))
const ajv = new Ajv2020({ strict: false, validateFormats: false })

const operationAt = (path: string, method: string) => Operation.parse(paths[path]?.[method])
const fitsBody = (path: string, body: unknown): boolean => {
  const schema = operationAt(path, 'post').requestBody?.content['application/json'].schema
  if (schema === undefined) throw new Error('A body is described')
  return ajv.validate(schema, body)
}
const fitsAnswer = (path: string, method: string, body: unknown): boolean => {
  const schema = operationAt(path, method).responses[200].content?.['application/json'].schema
  if (schema === undefined) throw new Error('An answer is described')
  return ajv.validate(schema, body)
}

let service: TestService
let partner: Who

beforeAll(async () => {
  service = await testService()
  ;({ partner } = await service.clinic())
  return service.close
})

const prefetch = prefetchOf(referralParts({ key: 'described-hooks' }))
const draft: Json = {
  resourceType: 'ServiceRequest',
  id: 'draft-1',
  status: 'draft',
  intent: 'order',
  code: coded('exchange', 'orthotic-referral'),
  subject: { reference: 'Patient/child-1' },
}
const post = (url: string, body: unknown) =>
  service.send(partner, {
    method: 'POST',
    url,
    body,
    headers: { 'content-type': 'application/json' },
  })
const Cards = z.object({ cards: z.array(z.looseObject({ uuid: z.string() })) })

describe.each([
  [VIEW, viewCall(prefetch)],
  [SIGN, signCall(prefetch, [draft])],
])('%s', (url, body) => {
  test('takes the call and answers the cards that are described', async () => {
    const answer = await post(url, body)

    expect([answer.status, fitsBody(url, body)]).toEqual([200, true])
    expect(Cards.parse(answer.json).cards.length).toBeGreaterThan(0)
    expect(fitsAnswer(url, 'post', answer.json), JSON.stringify(ajv.errors)).toBe(true)
    expect(fitsAnswer(url, 'post', { cards: [{ summary: 'No card' }] })).toBe(false)
  })

  test('refuses what the description refuses: a call without hookInstance, one without a child', async () => {
    const { hookInstance: _, ...unnamed } = body
    for (const wrong of [unnamed, { ...body, context: { userId: 'Practitioner/1' } }]) {
      expect(fitsBody(url, wrong)).toBe(false)
      expect((await post(url, wrong)).status).toBe(400)
    }
  })

  test('takes the feedback that is described, and no other', async () => {
    const [card] = Cards.parse((await post(url, body)).json).cards
    const item = {
      card: card?.uuid,
      outcome: 'overridden',
      overrideReason: { reason: { code: 'other' } },
      outcomeTimestamp: '2026-03-02T09:00:00Z',
    }
    const at = `${url}/feedback`

    expect(fitsBody(at, { feedback: [item] })).toBe(true)
    expect((await post(at, { feedback: [item] })).status).toBe(200)
    for (const wrong of [{ feedback: [] }, { feedback: [{ ...item, outcome: 'ignored' }] }]) {
      expect(fitsBody(at, wrong)).toBe(false)
      expect((await post(at, wrong)).status).toBe(400)
    }
  })
})

test('the discovery answers the services that are described', async () => {
  const answer = await service.send(undefined, { url: '/cds-services' })

  expect(fitsAnswer('/cds-services', 'get', answer.json)).toBe(true)
  expect(fitsAnswer('/cds-services', 'get', { services: [{ id: 'x' }] })).toBe(false)
})
