import { beforeAll, expect, test } from 'vitest'
import {
  type Answer,
  BASE,
  bundle,
  entries,
  expressions,
  issues,
  resource,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// The form that the service publishes is of a type that is kept too, but it is the service's own. RFC 9110
// 15.5.6: a method that the target resource does not support is a 405. R4 3.1.0.3: an ETag names a version
// that vread answers.

const PLACE = 'Questionnaire/referral-intake'

let service: TestService
let staff: Who

beforeAll(async () => {
  service = await testService()
  ;({ staff } = await service.clinic())
  return service.close
})

const form = (): Promise<Answer> => service.send(staff, { url: `/fhir/${PLACE}` })
const parameters = {
  resourceType: 'Parameters',
  parameter: [
    {
      name: 'operation',
      part: [
        { name: 'type', valueCode: 'replace' },
        { name: 'path', valueString: 'Questionnaire.status' },
        { name: 'value', valueCode: 'retired' },
      ],
    },
  ],
}

const sent = async (method: 'PUT' | 'PATCH' | 'DELETE') => {
  const body = method === 'PUT' ? resource(await form()) : parameters
  return method === 'DELETE' ? {} : { body }
}

test.each(['PUT', 'PATCH', 'DELETE'] as const)(
  '%s by its id is refused with 405',
  async (method) => {
    const answer = await service.send(staff, {
      method,
      url: `/fhir/${PLACE}`,
      ...(await sent(method)),
    })

    expect([answer.status, expressions(answer)], answer.text).toEqual([405, ['Questionnaire']])
    expect(answer.text).toContain('published by the service itself')
  },
)

test.each(['PUT', 'PATCH', 'DELETE'] as const)('so is %s in a Bundle', async (method) => {
  const { body: content } = await sent(method)
  const entry = [
    {
      ...(content === undefined ? {} : { resource: content }),
      request: { method, url: PLACE },
    },
  ]
  const post = (type: string) =>
    service.send(staff, {
      method: 'POST',
      url: '/fhir',
      body: { resourceType: 'Bundle', type, entry },
    })

  const whole = await post('transaction')
  const each = await post('batch')

  expect([whole.status, expressions(whole)], whole.text).toEqual([405, ['Bundle.entry[0]']])
  expect(entries(each).map(({ response }) => response?.status.slice(0, 3))).toEqual(['405'])
})

const BY_URL = 'https://footing.example/fhir/Questionnaire/referral-intake'

test.each(['PUT', 'PATCH', 'DELETE'] as const)(
  '%s by a search that finds it is refused as by its id (R4 3.1.0.4.3, 3.1.0.6, 3.1.0.7.1)',
  async (method) => {
    const sending = await sent(method)
    const url = `Questionnaire?url=${BY_URL}`
    const entry = [
      { ...('body' in sending ? { resource: sending.body } : {}), request: { method, url } },
    ]

    const alone = await service.send(staff, { method, url: `/fhir/${url}`, ...sending })
    const body = { resourceType: 'Bundle', type: 'transaction', entry }
    const inBundle = await service.send(staff, { method: 'POST', url: '/fhir', body })

    expect([alone.status, inBundle.status], alone.text).toEqual([405, 405])
    expect([expressions(alone), expressions(inBundle)]).toEqual([
      ['Questionnaire'],
      ['Bundle.entry[0]'],
    ])
  },
)

test('a create of what is published already writes nothing and names it (R4 3.1.0.8.1)', async () => {
  const { id: _id, meta: _meta, ...content } = resource(await form())
  const ifNoneExist = `url=${BY_URL}`
  const request = { method: 'POST', url: 'Questionnaire', ifNoneExist }
  const bundled = (type: string) => ({
    resourceType: 'Bundle',
    type,
    entry: [{ resource: content, request }],
  })

  const alone = await service.send(staff, {
    method: 'POST',
    url: '/fhir/Questionnaire',
    headers: { 'if-none-exist': ifNoneExist },
    body: content,
  })
  const each = await Promise.all(
    ['transaction', 'batch'].map((type) =>
      service.send(staff, { method: 'POST', url: '/fhir', body: bundled(type) }),
    ),
  )
  const all = await service.send(staff, { url: '/fhir/Questionnaire?_summary=count' })

  const place = `${BASE}/${PLACE}/_history/1`
  expect([alone.status, alone.headers['location']], alone.text).toEqual([200, place])
  for (const answer of each)
    expect(entries(answer)[0]?.response).toMatchObject({ status: '200 OK', location: place })
  expect(bundle(all).total).toBe(1)
})

test('beside one of its kind that is kept, a condition that both meet is ambiguous (R4 3.1.0.8.1)', async () => {
  const other = (await service.clinic()).staff
  const { id: _id, meta: _meta, ...content } = resource(await form())
  const create = (headers: Record<string, string>) =>
    service.send(other, { method: 'POST', url: '/fhir/Questionnaire', headers, body: content })

  expect((await create({})).status).toBe(201)
  expect((await create({ 'if-none-exist': `url=${BY_URL}` })).status).toBe(412)
})

test('a reference leads to what is published, literal or as a search (R4 2.3.0, 3.1.0.11.2)', async () => {
  const canonical = 'https://footing.example/fhir/PlanDefinition/orthotic-referral'
  const told = (reference: string) => ({
    resourceType: 'Communication',
    status: 'completed',
    about: [{ reference }],
  })
  const alone = (reference: string) =>
    service.send(staff, { method: 'POST', url: '/fhir/Communication', body: told(reference) })
  const bundled = (reference: string, type: string) => {
    const entry = [{ resource: told(reference), request: { method: 'POST', url: 'Communication' } }]
    const body = { resourceType: 'Bundle', type, entry }
    return service.send(staff, { method: 'POST', url: '/fhir', body })
  }

  const whole = await bundled(`PlanDefinition?url=${canonical}`, 'transaction')
  const [made] = entries(whole)

  for (const place of [PLACE, `${BASE}/${PLACE}`, 'PlanDefinition/orthotic-referral']) {
    expect((await alone(place)).status, place).toBe(201)
    expect((await bundled(place, 'transaction')).status, place).toBe(200)
    expect(entries(await bundled(place, 'batch'))[0]?.response?.status).toBe('201 Created')
  }
  expect((await alone('PlanDefinition/no-such')).status).toBe(422)
  expect(whole.status, whole.text).toBe(200)
  const kept = await service.send(staff, { url: made?.response?.location ?? '' })
  expect(resource(kept)['about']).toEqual([{ reference: 'PlanDefinition/orthotic-referral' }])
  const missing = await bundled(`PlanDefinition?url=${canonical}-other`, 'transaction')
  expect([missing.status, expressions(missing)]).toEqual([
    422,
    ['Bundle.entry[0].resource.about[0].reference'],
  ])
})

test('the version that its ETag names is read, and no other', async () => {
  const current = await form()
  const version = (number: number) =>
    service.send(staff, { url: `/fhir/${PLACE}/_history/${number}` })

  expect(current.headers['etag']).toBe('W/"1"')
  expect(resource(await version(1))).toEqual(resource(current))
  expect((await version(2)).status).toBe(404)
})

test('its history is not kept, and the answer says so', async () => {
  const answer = await service.send(staff, { url: `/fhir/${PLACE}/_history` })

  expect([answer.status, issues(answer).length]).toEqual([404, 1])
  expect(answer.text).toContain('keeps no history of it')
})
