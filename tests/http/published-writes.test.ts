import { beforeAll, expect, test } from 'vitest'
import {
  type Answer,
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
