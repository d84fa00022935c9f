import { beforeAll, describe, expect, test } from 'vitest'
import type { Json } from '../helpers/referral.ts'
import {
  type Answer,
  expressions,
  resource,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// Patch, by http.html (3.1.0.6) and fhirpatch.html (3.1.5) of R4.

let service: TestService
let staff: Who

beforeAll(async () => {
  service = await testService()
  ;({ staff } = await service.clinic())
  return service.close
})

const PRACTICE = 'https://practice.example/ids'
let count = 0

async function practice(change: Json = {}): Promise<Json> {
  const body = {
    resourceType: 'Organization',
    identifier: [{ system: PRACTICE, value: `patch${(count += 1)}` }],
    name: 'An invented practice',
    ...change,
  }
  return resource(await service.send(staff, { method: 'POST', url: '/fhir/Organization', body }))
}
const place = ({ id }: Json): string => `Organization/${String(id)}`
const patch = (url: string, body: unknown, headers: Record<string, string> = {}): Promise<Answer> =>
  service.send(staff, {
    method: 'PATCH',
    url: `/fhir/${url}`,
    body,
    headers: { 'content-type': 'application/json-patch+json', ...headers },
  })
const renamed = [{ op: 'replace', path: '/name', value: 'Renamed' }]
const parameters = (path: string, value: Json): Json => ({
  resourceType: 'Parameters',
  parameter: [
    {
      name: 'operation',
      part: [
        { name: 'type', valueCode: 'replace' },
        { name: 'path', valueString: path },
        { name: 'value', ...value },
      ],
    },
  ],
})
const FHIR = { 'content-type': 'application/fhir+json' }

test('a JSON Patch that names a property twice is refused at its place', async () => {
  const twice = '[{"op":"test","path":"/active","value":1,"o\\u0070":"remove"}]'

  const answer = await patch(place(await practice()), twice)

  expect([answer.status, expressions(answer)]).toEqual([400, ['patch[0].op']])
})

test('a JSON Patch makes the next version', async () => {
  const one = await practice()

  const answer = await patch(place(one), renamed)

  expect([answer.status, answer.headers['etag']]).toEqual([200, 'W/"2"'])
  expect(resource(answer)).toMatchObject({
    id: one['id'],
    name: 'Renamed',
    meta: { versionId: '2' },
  })
})

test('a charset and an unknown preference are no hindrance, as one client library sends them', async () => {
  const one = await practice()

  const answer = await patch(place(one), renamed, {
    'content-type': 'application/json-patch+json; charset=UTF-8',
    prefer: 'return=presentation',
  })

  expect([answer.status, resource(answer)['name']]).toEqual([200, 'Renamed'])
})

test('a FHIRPath Patch makes the next version', async () => {
  const one = await practice()

  const answer = await patch(
    place(one),
    parameters('Organization.name', { valueString: 'Renamed' }),
    FHIR,
  )

  expect([answer.status, resource(answer)['name']], answer.text).toEqual([200, 'Renamed'])
})

test('digits that the patch does not touch are kept', async () => {
  const body = `{"resourceType":"Organization","identifier":[{"system":"${PRACTICE}","value":"digits"}],"extension":[{"url":"https://practice.example/x","valueDecimal":1.00}],"name":"a"}`
  const one = resource(
    await service.send(staff, { method: 'POST', url: '/fhir/Organization', body }),
  )

  expect((await patch(place(one), renamed)).text).toContain('"valueDecimal":1.00')
})

test('a patch gives a generated text to a resource that had none, and another drops it as stale', async () => {
  const one = await practice()
  const text = {
    status: 'generated',
    div: '<div xmlns="http://www.w3.org/1999/xhtml">An invented practice</div>',
  }

  const given = await patch(place(one), [{ op: 'add', path: '/text', value: text }])

  expect([given.status, resource(given)['text']], given.text).toEqual([200, text])
  expect(resource(await patch(place(one), renamed))).not.toHaveProperty('text')
})

// R4 3.1.0.6: "Servers SHALL ensure that the narrative is not clinically unsafe after the PATCH".
test.each(['generated', 'extensions', 'additional'])(
  'a text of status %s that says what is no longer so is dropped',
  async (status) => {
    const one = await practice()
    const div = '<div xmlns="http://www.w3.org/1999/xhtml">An invented practice</div>'
    const text = { status, div }
    const given = await patch(place(one), [{ op: 'add', path: '/text', value: text }])
    expect(resource(given)['text'], given.text).toEqual(text)

    const answer = await patch(place(one), renamed)

    expect([answer.status, resource(answer)['name']], answer.text).toEqual([200, 'Renamed'])
    expect(resource(answer)).not.toHaveProperty('text')
  },
)

describe('If-Match', () => {
  test('of the current version is taken, of another refused with 412', async () => {
    const one = await practice()

    expect((await patch(place(one), renamed, { 'if-match': 'W/"4"' })).status).toBe(412)
    expect((await patch(place(one), renamed, { 'if-match': 'W/"1"' })).status).toBe(200)
  })
})

describe('what cannot be done', () => {
  test('a test that fails: 422 with its place, and nothing is changed', async () => {
    const one = await practice()

    const answer = await patch(place(one), [
      ...renamed,
      { op: 'test', path: '/name', value: 'other' },
    ])

    expect([answer.status, expressions(answer)]).toEqual([422, ['patch[1].path']])
    const kept = await service.send(staff, { url: `/fhir/${place(one)}` })
    expect(kept.headers['etag']).toBe('W/"1"')
  })

  test('a result that is not valid: 422 with the path of the fault', async () => {
    const one = await practice()

    const answer = await patch(place(one), [{ op: 'add', path: '/active', value: 'yes' }])

    expect([answer.status, expressions(answer)]).toEqual([422, ['Organization.active']])
  })

  test('no patch at all: 400; of another media type: 415', async () => {
    const one = await practice()

    expect((await patch(place(one), { op: 'remove' })).status).toBe(400)
    expect((await patch(place(one), '[')).status).toBe(400)
    expect((await patch(place(one), renamed, { 'content-type': 'application/json' })).status).toBe(
      415,
    )
  })

  test.each(['/__proto__/x', '/name/constructor', '/prototype'])(
    'a path to what no element is called is a pointer (RFC 6901) that leads nowhere: %s',
    async (path) => {
      const answer = await patch(place(await practice()), [{ op: 'add', path, value: 1 }])

      expect([answer.status, expressions(answer)]).toEqual([400, ['patch[0].path']])
      expect(answer.text).toContain('No element of a resource has such a name.')
    },
  )

  test('what never was: 404; what is deleted: 410', async () => {
    const one = await practice()
    await service.send(staff, { method: 'DELETE', url: `/fhir/${place(one)}` })

    expect((await patch('Organization/never', renamed)).status).toBe(404)
    expect((await patch(place(one), renamed)).status).toBe(410)
  })

  test('a type without patch: 405', async () => {
    expect((await patch('Library/1', renamed)).status).toBe(405)
  })
})

describe('conditional patch (3.1.0.6)', () => {
  const by = (value: string) =>
    `Organization?identifier=${encodeURIComponent(`${PRACTICE}|${value}`)}`

  test('no match: 404; one: done; several: 412', async () => {
    const identifier = [{ system: PRACTICE, value: 'several' }]
    await practice({ identifier })
    const one = await patch(by('several'), renamed)
    await practice({ identifier })

    expect((await patch(by('nobody'), renamed)).status).toBe(404)
    expect([one.status, resource(one)['name']]).toEqual([200, 'Renamed'])
    expect((await patch(by('several'), renamed)).status).toBe(412)
  })
})

describe('inside a Bundle', () => {
  const post = (...entry: readonly Json[]) =>
    service.send(staff, {
      method: 'POST',
      url: '/fhir',
      body: { resourceType: 'Bundle', type: 'transaction', entry },
    })

  test('Parameters are a FHIRPath Patch, a Binary carries a JSON Patch', async () => {
    const [one, two] = [await practice(), await practice()]
    const data = Buffer.from(JSON.stringify(renamed)).toString('base64')

    const answer = await post(
      {
        resource: parameters('Organization.name', { valueString: 'Renamed' }),
        request: { method: 'PATCH', url: place(one) },
      },
      {
        resource: { resourceType: 'Binary', contentType: 'application/json-patch+json', data },
        request: { method: 'PATCH', url: place(two), ifMatch: 'W/"1"' },
      },
    )

    expect(answer.status, answer.text).toBe(200)
    for (const kept of [one, two])
      expect(resource(await service.send(staff, { url: `/fhir/${place(kept)}` }))['name']).toBe(
        'Renamed',
      )
  })

  test('one that fails names its entry', async () => {
    const one = await practice()

    const answer = await post({
      resource: parameters('Organization.alias', { valueString: 'x' }),
      request: { method: 'PATCH', url: place(one) },
    })

    expect([answer.status, expressions(answer)]).toEqual([422, ['Bundle.entry[0].resource']])
  })
})
