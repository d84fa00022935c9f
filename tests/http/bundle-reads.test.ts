import { beforeAll, expect, test } from 'vitest'
import type { Json } from '../helpers/referral.ts'
import { observationOf, searcher } from '../helpers/searches.ts'
import { BASE, entries, type TestService, testService, type Who } from '../helpers/service.ts'

// R4 3.1.0.11: GET entries of a batch and a transaction; each is answered as if it were sent alone.

let service: TestService

beforeAll(async () => {
  service = await testService()
  return service.close
})

const asked = (type: string, ...urls: string[]): Json => ({
  resourceType: 'Bundle',
  type,
  entry: urls.map((url) => ({ request: { method: 'GET', url } })),
})
const send = (who: Who, body: Json) => service.send(who, { method: 'POST', url: '/fhir', body })

async function updatedOnce() {
  const { staff } = await service.clinic()
  const id = await searcher(service, staff).create(observationOf())
  const body = { ...observationOf({ status: 'amended' }), id }
  const answer = await service.send(staff, { method: 'PUT', url: `/fhir/Observation/${id}`, body })
  expect(answer.status).toBe(200)
  return { staff, id }
}

test.each(['batch', 'transaction'])(
  'a %s answers the history of a resource, a type and all',
  async (type) => {
    const { staff, id } = await updatedOnce()
    const urls = [`Observation/${id}/_history`, 'Observation/_history?_count=1', '_history']

    const answer = await send(staff, asked(type, ...urls))
    const answers = entries(answer)

    expect(answers.map(({ response }) => response?.status)).toEqual(['200 OK', '200 OK', '200 OK'])
    const found = answers.map(({ resource }) => resource)
    expect(found.map((one) => [one?.['type'], one?.['total']])).toEqual([
      ['history', 2],
      ['history', undefined],
      ['history', 2],
    ])
    const links = found[1]?.['link']
    expect(JSON.stringify(links)).toContain(`"self","url":"${BASE}/Observation/_history?_count=1"`)
    expect(JSON.stringify(links)).toContain('"next"')
  },
)

test('what cannot be answered in a batch is told in its own entry', async () => {
  const { staff, id } = await updatedOnce()
  const urls = [
    'Observation/nobody/_history',
    'Observation/_history?_since=yesterday',
    'Patient/nobody/$everything',
    'Nothing/_history',
    `Observation/${id}/_history/2`,
  ]

  const answer = await send(staff, asked('batch', ...urls))

  expect(answer.status).toBe(200)
  expect(entries(answer).map(({ response }) => response?.status?.slice(0, 3))).toEqual([
    '404',
    '400',
    '400',
    '404',
    '200',
  ])
  expect(answer.text).toContain('An operation is called by itself.')
})

test('the history in a Bundle needs what it needs alone', async () => {
  const { staff } = await service.clinic()
  const reader = await service.who({
    clinicId: staff.clinicId,
    clientId: 'reader',
    scope: 'system/Observation.r',
  })
  const answer = await send(reader, asked('batch', 'Observation/_history', '_history'))

  expect(entries(answer).map(({ response }) => response?.status?.slice(0, 3))).toEqual([
    '403',
    '403',
  ])
})
