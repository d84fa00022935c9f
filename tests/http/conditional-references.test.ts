import { beforeAll, describe, expect, test } from 'vitest'
import type { Json } from '../helpers/referral.ts'
import {
  entries,
  expressions,
  resource,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// Conditional references in a transaction: R4 3.1.0.11.2 has them resolved last, after DELETE, POST and PUT.

let service: TestService
let staff: Who

beforeAll(async () => {
  service = await testService()
  ;({ staff } = await service.clinic())
  return service.close
})

const SYSTEM = 'https://practice.example/ids'
let keys = 0
const newKey = (): string => {
  keys += 1
  return `conditional-${keys}`
}

const organisation = (key: string, more: Json = {}): Json => ({
  resourceType: 'Organization',
  name: `An invented practice ${key}`,
  identifier: [{ system: SYSTEM, value: key }],
  ...more,
})
const post = (body: Json): Json => ({
  resource: body,
  request: { method: 'POST', url: String(body['resourceType']) },
})
const byIdentifier = (key: string): string => `Organization?identifier=${SYSTEM}|${key}`
/** Refers by a condition, and is found as the last of its kind. */
const referring = (reference: string): Json =>
  post({ resourceType: 'Organization', name: 'An invented branch', partOf: { reference } })

const transaction = (...entry: Json[]) =>
  service.send(staff, {
    method: 'POST',
    url: '/fhir',
    body: { resourceType: 'Bundle', type: 'transaction', entry },
  })

async function created(key: string): Promise<string> {
  const answer = await service.send(staff, {
    method: 'POST',
    url: '/fhir/Organization',
    body: organisation(key),
  })
  expect(answer.status, answer.text).toBe(201)
  return String(resource(answer)['id'])
}

type Sent = Awaited<ReturnType<typeof transaction>>
const placeIn = (answer: Sent, index: number): string =>
  /Organization\/[^/]+/.exec(String(entries(answer)[index]?.response?.location))?.[0] ?? ''
async function partOf(answer: Sent, index: number): Promise<unknown> {
  expect(answer.status, answer.text).toBe(200)
  const read = await service.send(staff, { url: `/fhir/${placeIn(answer, index)}` })
  return resource(read)['partOf']
}

describe('a conditional reference', () => {
  test('finds what the same transaction creates, whatever the order of its entries', async () => {
    const [before, after] = [newKey(), newKey()]

    const answer = await transaction(
      post(organisation(before)),
      referring(byIdentifier(before)),
      referring(byIdentifier(after)),
      post(organisation(after)),
    )

    expect(await partOf(answer, 1)).toEqual({ reference: placeIn(answer, 0) })
    expect(await partOf(answer, 2)).toEqual({ reference: placeIn(answer, 3) })
  })

  test('finds what a conditional create makes, and what it found', async () => {
    const key = newKey()
    const send = () =>
      transaction(
        {
          resource: organisation(key),
          request: {
            method: 'POST',
            url: 'Organization',
            ifNoneExist: `identifier=${SYSTEM}|${key}`,
          },
        },
        referring(byIdentifier(key)),
      )

    const first = await send()
    const again = await send()

    expect(await partOf(first, 1)).toEqual({ reference: placeIn(first, 0) })
    expect(await partOf(again, 1)).toEqual({ reference: placeIn(first, 0) })
  })

  test('may be any search, also one that is about what entries call each other', async () => {
    const key = newKey()

    const answer = await transaction(
      { ...post(organisation(key)), fullUrl: 'urn:uuid:5e1f0000-0000-4000-8000-0000000000aa' },
      post({
        resourceType: 'Organization',
        name: `Below ${key}`,
        partOf: { reference: 'urn:uuid:5e1f0000-0000-4000-8000-0000000000aa' },
      }),
      referring(`Organization?name=Below ${key}`),
    )

    expect(await partOf(answer, 2)).toEqual({ reference: placeIn(answer, 1) })
  })

  test('finds what an update and a patch bring about, not what was there before', async () => {
    const [key, next, patched] = [newKey(), newKey(), newKey()]
    const [id, other] = [await created(key), await created(newKey())]
    const change = {
      resource: organisation(next, { id }),
      request: { method: 'PUT', url: `Organization/${id}` },
    }
    const patch = {
      resource: {
        resourceType: 'Binary',
        contentType: 'application/json-patch+json',
        data: Buffer.from(
          JSON.stringify([{ op: 'replace', path: '/identifier/0/value', value: patched }]),
        ).toString('base64'),
      },
      request: { method: 'PATCH', url: `Organization/${other}` },
    }

    const gone = await transaction(change, referring(byIdentifier(key)))
    const there = await transaction(
      change,
      patch,
      referring(byIdentifier(next)),
      referring(byIdentifier(patched)),
    )

    expect([gone.status, expressions(gone)]).toEqual([
      422,
      ['Bundle.entry[1].resource.partOf.reference'],
    ])
    expect(await partOf(there, 2)).toEqual({ reference: `Organization/${id}` })
    expect(await partOf(there, 3)).toEqual({ reference: `Organization/${other}` })
  })

  test('does not find what the same transaction deletes', async () => {
    const key = newKey()
    const [id, twin, third] = [await created(key), await created(key), await created(key)]
    const deleted = (one: string) => ({ request: { method: 'DELETE', url: `Organization/${one}` } })

    const ambiguous = await transaction(deleted(id), referring(byIdentifier(key)))
    const single = await transaction(deleted(id), deleted(twin), referring(byIdentifier(key)))
    const none = await transaction(deleted(third), referring(byIdentifier(key)))

    expect(ambiguous.status).toBe(412)
    expect(await partOf(single, 2)).toEqual({ reference: `Organization/${third}` })
    expect(none.status).toBe(422)
  })

  test('that finds what is created beside what is kept is ambiguous, 412, and nothing is stored', async () => {
    const key = newKey()
    await created(key)

    const answer = await transaction(post(organisation(key)), referring(byIdentifier(key)))

    expect([answer.status, expressions(answer)]).toEqual([
      412,
      ['Bundle.entry[1].resource.partOf.reference'],
    ])
    const found = await service.send(staff, { url: `/fhir/${byIdentifier(key)}&_summary=count` })
    expect(found.text).toContain('"total":1')
  })

  test('with a chain looks at what was there before', async () => {
    const key = newKey()
    const parent = await created(key)
    const below = `Organization?partof.identifier=${SYSTEM}|${key}`

    const answer = await transaction(
      post({
        resourceType: 'Organization',
        name: 'New below it',
        partOf: { reference: `Organization/${parent}` },
      }),
      referring(below),
    )

    expect(answer.status).toBe(422)
  })

  test.each(['alone', 'batch'])(
    'sent %s is told to stand in a transaction only (R4 3.1.0.11.2)',
    async (how) => {
      const key = newKey()
      await created(key)
      const { resource: body } = referring(byIdentifier(key))

      const answer = await service.send(staff, {
        method: 'POST',
        url: how === 'batch' ? '/fhir' : '/fhir/Organization',
        body:
          how === 'batch'
            ? { resourceType: 'Bundle', type: 'batch', entry: [referring(byIdentifier(key))] }
            : body,
      })

      expect(answer.text).toContain('reference-conditional')
      expect(answer.status).toBe(how === 'batch' ? 200 : 422)
    },
  )
})
