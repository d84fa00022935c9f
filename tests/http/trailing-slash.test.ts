import { beforeAll, expect, test } from 'vitest'
import { type TestService, testService, type Who } from '../helpers/service.ts'

// RFC 9110 15.5.6: the Allow of a 405 names methods that the resource has; where there is none it is a 404.

let service: TestService
let staff: Who

beforeAll(async () => {
  service = await testService()
  ;({ staff } = await service.clinic())
  return service.close
})

test.each(['Patient/', 'Patient/some-id/', 'metadata/', 'Patient/some-id/_history/'])(
  'an address with a slash at its end is unknown: %s',
  async (path) => {
    const answer = await service.send(staff, { url: `/fhir/${path}` })

    expect([answer.status, answer.headers['allow']], answer.text).toEqual([404, undefined])
  },
)

test('the base has it or not, and there a method may be missing', async () => {
  const body = { resourceType: 'Bundle', type: 'batch' }
  for (const url of ['/fhir', '/fhir/']) {
    expect((await service.send(staff, { method: 'POST', url, body })).status).toBe(200)
    const refused = await service.send(staff, { method: 'DELETE', url })
    expect([refused.status, refused.headers['allow']]).toEqual([
      405,
      expect.stringContaining('POST'),
    ])
  }
})
