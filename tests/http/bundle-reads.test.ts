import { beforeAll, describe, expect, test } from 'vitest'
import type { Json } from '../helpers/referral.ts'
import { observationOf, patientOf, searcher } from '../helpers/searches.ts'
import {
  BASE,
  entries,
  expressions,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

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

test.each(['batch', 'transaction'])(
  'a %s searches across types and in the compartment of a child',
  async (type) => {
    const { staff, partner } = await service.clinic()
    const as = searcher(service, staff)
    const patient = await as.create(patientOf())
    const subject = { reference: `Patient/${patient}` }
    const id = await as.create(observationOf({ subject }))
    await as.create(observationOf())
    const urls = [
      `Patient/${patient}/Observation?status=final`,
      `Patient/${patient}/*`,
      '?_type=Observation,Patient&_id=' + id,
    ]

    const found = entries(await send(staff, asked(type, ...urls))).map(({ resource }) => resource)
    const hidden = entries(await send(partner, asked(type, ...urls))).map(
      ({ resource }) => resource,
    )

    expect(found.map((one) => one?.['total'])).toEqual([1, 2, 1])
    expect(JSON.stringify(found[0]?.['link'])).toContain(
      `/Patient/${patient}/Observation?status=final`,
    )
    expect(hidden.map((one) => one?.['total'])).toEqual([0, 0, 0])
  },
)

test('a parameter that is not known is reported, and refused where the sender wants that (3.1.1.3)', async () => {
  const { staff, id } = await updatedOnce()
  const body = asked('transaction', `Observation?_id=${id}&colour=red`)

  const lenient = await send(staff, body)
  const strict = await service.send(staff, {
    method: 'POST',
    url: '/fhir',
    body,
    headers: { prefer: 'handling=strict' },
  })

  const [found] = entries(lenient)
  expect([lenient.status, found?.resource?.['total']], lenient.text).toEqual([200, 1])
  expect(JSON.stringify(found?.resource?.['link'])).not.toContain('colour')
  expect([strict.status, expressions(strict)]).toEqual([400, ['Bundle.entry[0].request.url']])
})

test('ifNoneMatch and ifModifiedSince of an entry mean what the headers mean (3.1.0.11)', async () => {
  const { staff, id } = await updatedOnce()
  const url = `Observation/${id}`
  const now = '2999-01-01T00:00:00Z'
  const conditions: readonly (readonly [Json, string])[] = [
    [{ ifNoneMatch: 'W/"2"' }, '304'],
    [{ ifNoneMatch: '"7", "2"' }, '304'],
    [{ ifNoneMatch: '*' }, '304'],
    [{ ifNoneMatch: 'W/"1"' }, '200'],
    [{ ifModifiedSince: now }, '304'],
    [{ ifModifiedSince: '2001-01-01T00:00:00Z' }, '200'],
    [{ ifNoneMatch: 'W/"1"', ifModifiedSince: now }, '200'],
  ]

  const answer = await send(staff, {
    resourceType: 'Bundle',
    type: 'batch',
    entry: conditions.map(([condition]) => ({ request: { method: 'GET', url, ...condition } })),
  })

  expect(entries(answer).map(({ response }) => response?.status?.slice(0, 3))).toEqual(
    conditions.map(([, status]) => status),
  )
})

// R4 3.1.0.11: what is wrong with an entry is told as it is.
test.each(['batch', 'transaction'])(
  'a %s tells that a type is not kept, and that a resource is missing',
  async (type) => {
    const { staff } = await service.clinic()
    const told = async (method: string, url: string): Promise<string> => {
      const entry = [{ request: { method, url } }]
      return (await send(staff, { resourceType: 'Bundle', type, entry })).text
    }

    for (const url of ['Foo/1', 'Foo/1/_history/1', 'Foo', 'Foo?x=1'])
      expect(await told('GET', url)).toContain('This service does not keep this type.')
    expect(await told('POST', 'Foo')).toContain('The url of this POST is a type that is kept here.')
    expect(await told('POST', 'Patient')).toContain(
      'A POST carries the Patient as the resource of its entry.',
    )
    expect(await told('PUT', 'Patient/1')).toContain(
      'A PUT carries the Patient as the resource of its entry.',
    )
  },
)

test('what cannot be answered in a batch is told in its own entry', async () => {
  const { staff, id } = await updatedOnce()
  const urls = [
    'Observation/nobody/_history',
    'Observation/_history?_since=yesterday',
    'Nowhere/$fitting-plan',
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
  expect(answer.text).toContain('Any other is called by itself.')
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

test('a batch answers the record of a child as it is answered alone', async () => {
  const { staff, partner, other } = await service.clinic()
  const child = await searcher(service, partner).create(patientOf())
  const subject = { reference: `Patient/${child}` }
  await searcher(service, partner).create(observationOf({ subject }))
  const url = `Patient/${child}/$everything`
  const alone = await service.send(partner, { url: `/fhir/${url}` })

  const answer = await send(
    partner,
    asked('batch', url, `${url}?_type=Observation&_count=1`, 'Patient/$everything'),
  )
  const theirs = await send(other, asked('batch', url, 'Patient/nobody/$everything'))

  const [whole, narrowed, all] = entries(answer)
  expect(whole?.resource).toEqual(alone.json)
  expect(narrowed?.response?.status).toBe('200 OK')
  expect(JSON.stringify(narrowed?.resource)).toContain('"resourceType":"Observation"')
  expect(all?.resource?.['type']).toBe('searchset')
  expect(entries(theirs).map(({ response }) => response?.status?.slice(0, 3))).toEqual([
    '404',
    '404',
  ])
  const events = await service.send(staff, { url: `/fhir/AuditEvent?patient=${child}` })
  expect(entries(events).length).toBeGreaterThan(0)
})

test('the record of a child in a batch needs what it needs alone', async () => {
  const { staff } = await service.clinic()
  const child = await searcher(service, staff).create(patientOf())
  const reader = await service.who({
    clinicId: staff.clinicId,
    clientId: 'reader',
    scope: 'system/Observation.rs',
  })
  const url = `Patient/${child}/$everything`

  const alone = await service.send(reader, { url: `/fhir/${url}` })
  const answer = await send(reader, asked('batch', url))

  expect(alone.status).toBe(403)
  expect(entries(answer)[0]?.response?.status).toBe('403 Forbidden')
})

test('a transaction answers no operation', async () => {
  const { staff } = await service.clinic()

  const answer = await send(staff, asked('transaction', 'Patient/$everything', 'Task/$next'))

  expect([answer.status, expressions(answer)]).toEqual([
    400,
    ['Bundle.entry[0].request.url', 'Bundle.entry[1].request.url'],
  ])
})

test.each(['batch', 'transaction'])('a %s answers what the service can do', async (type) => {
  const { staff } = await service.clinic()
  // Open to everybody: a token that allows nothing of it is answered too.
  const reader = await service.who({
    clinicId: staff.clinicId,
    clientId: 'reader',
    scope: 'system/Observation.r',
  })
  const alone = await service.send(staff, { url: '/fhir/metadata' })

  const answer = await send(reader, asked(type, 'metadata', 'metadata?mode=full'))

  expect(entries(answer).map(({ resource }) => resource)).toEqual([alone.json, alone.json])
})

test.each(['batch', 'transaction'])(
  'a %s answers the part of a resource that is asked for',
  async (type) => {
    const { staff, id } = await updatedOnce()
    const urls = [
      `Observation/${id}?_elements=status`,
      `Observation/${id}/_history/1?_summary=true`,
    ]
    const alone = await Promise.all(urls.map((url) => service.send(staff, { url: `/fhir/${url}` })))

    const answer = await send(staff, asked(type, ...urls))
    const refused = await send(staff, asked('batch', `Observation/${id}?_summary=some`))

    expect(entries(answer).map(({ resource }) => resource)).toEqual(alone.map(({ json }) => json))
    expect(answer.text).toContain('SUBSETTED')
    expect(entries(refused)[0]?.response?.status).toBe('400 Bad Request')
  },
)

describe.each(['batch', 'transaction'])('a search by POST in a %s (3.1.0.9)', (type) => {
  const posted = (...of: readonly (readonly [string, Json?])[]): Json => ({
    resourceType: 'Bundle',
    type,
    entry: of.map(([url, resource]) => ({
      ...(resource === undefined ? {} : { resource }),
      request: { method: 'POST', url },
    })),
  })
  const form = (...parameter: Json[]): Json => ({ resourceType: 'Parameters', parameter })

  test('takes its parameters from the address and from a Parameters resource', async () => {
    const { staff, id } = await updatedOnce()
    const child = await searcher(service, staff).create(patientOf())
    const amended = { name: 'status', valueCode: 'amended' }

    const answer = await send(
      staff,
      posted(
        [`Observation/_search?_id=${id}`],
        ['Observation/_search', form(amended)],
        ['Observation/_search?status=final', form(amended)],
        [`_search?_type=Patient,Observation`, form({ name: '_id', valueString: `${id},${child}` })],
        [`Patient/${child}/*/_search`],
        [`${BASE}/Observation/_search`, form({ name: '_count', valueInteger: 0 })],
      ),
    )

    const found = entries(answer).map(({ resource }) => resource)
    expect(
      found.map((one) => one?.['total']),
      answer.text,
    ).toEqual([1, 1, 0, 2, 1, 1])
    expect(JSON.stringify(found[1]?.['link'])).toContain(`${BASE}/Observation?status=amended`)
  })

  test('needs what it needs alone', async () => {
    const { staff } = await service.clinic()
    const scope = 'system/Observation.r'
    const reader = await service.who({ clinicId: staff.clinicId, clientId: 'reader', scope })

    const answer = await send(reader, posted(['Observation/_search']))

    expect(type === 'batch' ? entries(answer)[0]?.response?.status : answer.status).toEqual(
      type === 'batch' ? '403 Forbidden' : 403,
    )
  })

  test('says where its parameters cannot be read', async () => {
    const { staff } = await service.clinic()
    const resource = observationOf()

    const answer = await send(staff, posted(['Observation/_search', resource]))

    expect(answer.text).toContain('"expression":["Bundle.entry[0].resource"]')
  })
})
