import { beforeAll, expect, test } from 'vitest'
import { bundleOf, smallReferral } from '../helpers/referral.ts'
import { issues, type TestService, testService, type Who } from '../helpers/service.ts'

let service: TestService
let partner: Who

beforeAll(async () => {
  service = await testService()
  ;({ partner } = await service.clinic())
  return service.close
})

const post = (key: string, headers: Record<string, string>, url = '/fhir') =>
  service.send(partner, { method: 'POST', url, body: bundleOf(smallReferral({ key })), headers })
const stored = async (key: string) => {
  const rows = await service.sql('select 1 from resource_versions where body like $1', [
    `%${key}-%`,
  ])
  return rows.length > 0
}

test.each([
  'application/fhir+json',
  'application/fhir+json; fhirVersion=4.0',
  'application/fhir+json;charset=UTF-8',
  'application/json',
  'text/json',
])('a body of %s is taken', async (type) => {
  expect((await post(`in-${type}`, { 'content-type': type })).status).toBe(200)
})

test.each([
  'application/xml',
  'application/fhir+xml',
  'text/plain',
  'application/x-www-form-urlencoded',
  'application/fhir+json; fhirVersion=5.0',
  'application/fhir+json; charset=iso-8859-1',
])('a body of %s is refused with 415', async (type) => {
  const answer = await post(`out-${type}`, { 'content-type': type })

  expect(answer.status).toBe(415)
  expect(issues(answer)[0]?.code).toBe('not-supported')
})

test.each<[string, string, string | undefined, string]>([
  ['/fhir', 'application/fhir+json', undefined, 'application/fhir+json'],
  ['/fhir', 'application/json', undefined, 'application/json'],
  ['/fhir', 'text/html, text/json;q=0.5', undefined, 'text/json'],
  ['/fhir', '*/*', undefined, 'application/fhir+json'],
  ['/fhir', 'application/fhir+xml', '_format=json', 'application/fhir+json'],
  ['/fhir', 'application/fhir+xml', '_format=application/fhir%2Bjson', 'application/fhir+json'],
  ['/fhir', 'application/fhir+xml', '_format=application/json', 'application/json'],
])('%s with Accept %s and %s is answered in kind', async (url, accept, format, expected) => {
  const answer = await post(
    `kind-${accept.replaceAll(',', '')}-${format}`,
    { accept },
    `${url}?${format ?? ''}`,
  )

  expect(answer.status).toBe(200)
  expect(answer.headers['content-type']).toBe(`${expected}; charset=utf-8`)
})

test.each<[string, string]>([
  ['application/fhir+xml', ''],
  ['text/html', ''],
  ['application/fhir+json; fhirVersion=3.0', ''],
  ['application/fhir+json;q=0', ''],
  ['application/fhir+json', '_format=xml'],
  ['application/fhir+json', '_format=ttl'],
])('Accept %s with %s is refused with 406, and nothing is stored', async (accept, format) => {
  const key = `refused-${accept}-${format}`

  const answer = await post(key, { accept }, `/fhir?${format}`)

  expect(answer.status).toBe(406)
  expect(answer.headers['content-type']).toBe('application/fhir+json; charset=utf-8')
  expect(issues(answer)[0]?.code).toBe('not-supported')
  expect(await stored(key)).toBe(false)
})

test('a body beyond the limit is refused with 413', async () => {
  const answer = await service.send(partner, {
    method: 'POST',
    url: '/fhir',
    body: `{"resourceType":"Bundle","x":"${'a'.repeat(4 * 1_048_576)}"}`,
  })

  expect([answer.status, issues(answer)[0]?.code]).toEqual([413, 'too-long'])
})

test.each([
  ['PUT', '/fhir/Patient/a'],
  ['PATCH', '/fhir/Patient/a'],
  ['DELETE', '/fhir/Patient/a'],
  ['PUT', '/fhir/Patient'],
  ['DELETE', '/fhir'],
] as const)('%s %s is refused with 405', async (method, url) => {
  const answer = await service.send(partner, { method, url })

  expect([answer.status, issues(answer)[0]?.code]).toEqual([405, 'not-supported'])
  expect(answer.headers['allow']).toBe('GET, HEAD, POST')
})

test.each([
  ['GET', '/fhir/Claim'],
  ['GET', '/fhir/patient'],
  ['GET', '/fhir/Claim/a'],
  ['GET', '/fhir/Claim/a/_history/1'],
  ['POST', '/fhir/Claim/_search'],
  ['GET', '/fhir/Patient/a/b/c/d'],
  ['GET', '/nothing'],
] as const)('%s %s is of no type that is kept here: 404', async (method, url) => {
  const answer = await service.send(partner, { method, url })

  expect([answer.status, issues(answer)[0]?.code]).toEqual([404, 'not-found'])
})

test('POST of an unknown type is 404', async () => {
  const answer = await service.send(partner, {
    method: 'POST',
    url: '/fhir/Claim',
    body: { resourceType: 'Claim' },
  })

  expect(answer.status).toBe(404)
})

test('HEAD is GET without the body', async () => {
  const url = '/fhir/metadata'
  const [head, get] = [
    await service.send(undefined, { method: 'HEAD', url }),
    await service.send(undefined, { url }),
  ]

  expect(head.status).toBe(200)
  expect(head.text).toBe('')
  expect(head.headers['etag']).toBe(get.headers['etag'])
})
