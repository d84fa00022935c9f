import { beforeAll, describe, expect, test } from 'vitest'
import type { Json } from '../helpers/referral.ts'
import {
  BASE,
  expressions,
  resource,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// Where a literal reference may lead: R4 2.3.0.1, Reference.reference, and the referencePolicy `enforced` (5.2).

let service: TestService
let staff: Who
/** Of two versions. */
let twice: string

const organisation = (more: Json = {}): Json => ({
  resourceType: 'Organization',
  name: 'An invented practice',
  ...more,
})
const send = (method: 'POST' | 'PUT', url: string, body: Json) =>
  service.send(staff, { method, url: `/fhir/${url}`, body })
const below = (reference: string) =>
  send('POST', 'Organization', organisation({ partOf: { reference } }))

beforeAll(async () => {
  service = await testService()
  ;({ staff } = await service.clinic())
  const id = String(resource(await send('POST', 'Organization', organisation()))['id'])
  twice = `Organization/${id}`
  await send('PUT', twice, organisation({ id, alias: ['Another name'] }))
  return service.close
})

describe('a reference that names a version', () => {
  test.each(['1', '2'])('leads to version %s, which there is', async (version) => {
    for (const base of ['', `${BASE}/`])
      expect((await below(`${base}${twice}/_history/${version}`)).status).toBe(201)
  })

  test.each(['0', '3', '02', '99999999999', 'x'])(
    '%s, which there is not, is refused',
    async (version) => {
      for (const base of ['', `${BASE}/`]) {
        const answer = await below(`${base}${twice}/_history/${version}`)
        expect([answer.status, expressions(answer)]).toEqual([
          422,
          ['Organization.partOf.reference'],
        ])
      }
    },
  )

  test('may name the one that its transaction makes, and no later one', async () => {
    const [, id = ''] = twice.split('/')
    const transaction = (version: number) =>
      service.send(staff, {
        method: 'POST',
        url: '/fhir',
        body: {
          resourceType: 'Bundle',
          type: 'transaction',
          entry: [
            {
              resource: organisation({ id, alias: ['A third name'] }),
              request: { method: 'PUT', url: twice },
            },
            {
              resource: organisation({ partOf: { reference: `${twice}/_history/${version}` } }),
              request: { method: 'POST', url: 'Organization' },
            },
          ],
        },
      })

    const later = await transaction(4)

    expect([later.status, expressions(later)]).toEqual([
      422,
      ['Bundle.entry[1].resource.partOf.reference'],
    ])
    expect((await transaction(3)).status).toBe(200)
  })
})

describe('an absolute reference', () => {
  test.each([
    'https://elsewhere.example/fhir/Organization/1',
    'http://elsewhere.example/anything?at=all',
    'ftp://elsewhere.example/organisation.json',
    'ldap://elsewhere.example/o=practice',
    'urn:example:practice:1',
  ])('may be any URL at which something is found: %s', async (reference) => {
    expect((await below(reference)).status).toBe(201)
  })

  test.each([
    'javascript:alert(1)',
    'JavaScript:alert(1)',
    'data:application/json;base64,e30=',
    'vbscript:x',
    'blob:https://elsewhere.example/1',
    'mailto:practice@elsewhere.example',
  ])('that leads to no place is refused: %s', async (reference) => {
    const answer = await below(reference)

    expect([answer.status, expressions(answer)]).toEqual([422, ['Organization.partOf.reference']])
  })
})
