import { beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { consentedReferral } from '../helpers/consent-resources.ts'
import { type Json, smallReferral } from '../helpers/referral.ts'
import {
  type Answer,
  BASE,
  bundle,
  entries,
  expressions,
  issues,
  keptAs,
  resource,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// Update, delete, conditional forms and batch, by http.html of R4 (3.1.0.4 to 3.1.0.11).

let service: TestService
let staff: Who
let partner: Who
let other: Who

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner, other } = await service.clinic())
  return service.close
})

let count = 0
const newKey = (): string => `write${(count += 1)}`

const organisation = (change: Json = {}): Json => ({
  resourceType: 'Organization',
  identifier: [{ system: 'https://practice.example/ids', value: newKey() }],
  name: 'An invented practice',
  ...change,
})

const send = (
  method: 'POST' | 'PUT' | 'DELETE',
  url: string,
  body?: Json,
  headers = {},
  who = staff,
) =>
  service.send(who, {
    method,
    url: `/fhir/${url}`,
    headers,
    ...(body === undefined ? {} : { body }),
  })
const read = (url: string, who = staff): Promise<Answer> =>
  service.send(who, { url: `/fhir/${url}` })

async function created(body: Json, who = staff): Promise<Json> {
  const answer = await send('POST', String(body['resourceType']), body, {}, who)
  expect(answer.status, answer.text).toBe(201)
  return resource(answer)
}
const placeOf = (one: Json): string => `${String(one['resourceType'])}/${String(one['id'])}`
const versionOf = (answer: Answer): unknown => answer.headers['etag']

describe('update (3.1.0.4)', () => {
  test('an update with If-None-Match: * replaces nothing that is there (RFC 9110 13.1.2)', async () => {
    const made = await created(organisation())
    const url = `Organization/${String(made['id'])}`
    const body = { ...made, name: 'Another invented practice' }
    const entry = [{ resource: body, request: { method: 'PUT', url, ifNoneMatch: '*' } }]

    const alone = await send('PUT', url, body, { 'if-none-match': '*' })
    const inBundle = await send('POST', '', { resourceType: 'Bundle', type: 'transaction', entry })
    const other = await send('PUT', url, body, { 'if-none-match': 'W/"7"' })

    expect([alone.status, expressions(alone)]).toEqual([412, ['http."If-None-Match"']])
    expect([inBundle.status, expressions(inBundle)]).toEqual([
      412,
      ['Bundle.entry[0].request.ifNoneMatch'],
    ])
    expect(other.status).toBe(200)
    expect(resource(await read(url))['meta']).toMatchObject({ versionId: '2' })
  })

  test('an answer without a body has no type (Prefer: return=minimal)', async () => {
    const answer = await send('POST', 'Organization', organisation(), { prefer: 'return=minimal' })

    expect([answer.status, answer.text]).toEqual([201, ''])
    expect(answer.headers).not.toHaveProperty('content-type')
  })

  test('makes the next version; the one before stays', async () => {
    const one = await created(organisation())

    const answer = await send('PUT', placeOf(one), { ...one, name: 'Another name' })
    const before = await read(`${placeOf(one)}/_history/1`)

    expect([answer.status, versionOf(answer)]).toEqual([200, 'W/"2"'])
    expect(resource(answer)).toMatchObject({
      id: one['id'],
      name: 'Another name',
      meta: { versionId: '2' },
    })
    expect(answer.headers['location']).toBe(`${BASE}/${placeOf(one)}/_history/2`)
    expect(resource(before)['name']).toBe('An invented practice')
  })

  test('with the version that was seen succeeds once, with another is refused with 412', async () => {
    const one = await created(organisation())
    const change = (name: string) =>
      send('PUT', placeOf(one), { ...one, name }, { 'if-match': 'W/"1"' })

    const answers = await Promise.all([change('a'), change('b'), change('c')])

    expect(answers.map(({ status }) => status).toSorted((a, b) => a - b)).toEqual([200, 412, 412])
    const refused = answers.find(({ status }) => status === 412)
    expect(refused === undefined ? [] : expressions(refused)).toEqual(['http."If-Match"'])
  })

  test.each([
    '"1"',
    'W/"1"',
    '*',
    // RFC 9110 13.1.1: a list is true where one of its tags is the current one.
    'W/"1", W/"3"',
    '"a,b","1"',
    ', W/"7" ,, W/"1",',
  ])('takes If-Match: %s for the first version', async (tag) => {
    const one = await created(organisation())

    expect((await send('PUT', placeOf(one), one, { 'if-match': tag })).status).toBe(200)
  })

  test.each([
    '1',
    'W/1',
    '""x',
    'latest',
    'w/"1"',
    '*, W/"1"',
    'W/"1" W/"2"',
    'W/"1", 2',
    '"1", "',
    ',',
  ])('refuses If-Match: %s with 400', async (tag) => {
    const one = await created(organisation())

    const answer = await send('PUT', placeOf(one), one, { 'if-match': tag })

    expect([answer.status, expressions(answer)]).toEqual([400, ['http."If-Match"']])
  })

  test.each(['W/"2", W/"3"', '"11"', '"01"', '"of another service"', '""'])(
    'refuses If-Match: %s with 412 while the first version is current',
    async (tag) => {
      const one = await created(organisation())

      for (const method of ['PUT', 'DELETE'] as const)
        expect((await send(method, placeOf(one), one, { 'if-match': tag })).status).toBe(412)
    },
  )

  test('a deletion is a version that can be named, and nothing that is there (RFC 9110 13.1.1)', async () => {
    const one = await created(organisation())
    const gone = await send('DELETE', placeOf(one), undefined, { 'if-match': 'W/"5", W/"1"' })

    const any = await send('PUT', placeOf(one), one, { 'if-match': '*' })
    const seen = await send('PUT', placeOf(one), one, { 'if-match': 'W/"1", W/"2"' })

    expect([gone.status, any.status, seen.status]).toEqual([204, 412, 201])
  })

  test.each([
    ['W/"7", W/"1"', 412],
    ['W/"7", W/"8"', 200],
    ['1', 400],
    ['*, "1"', 400],
  ])('with If-None-Match: %s is answered with %i', async (tag, status) => {
    const one = await created(organisation())

    const answer = await send('PUT', placeOf(one), one, { 'if-none-match': tag })

    expect([answer.status, status === 200 ? [] : expressions(answer)]).toEqual([
      status,
      status === 200 ? [] : ['http."If-None-Match"'],
    ])
  })

  test('does not create under an id of the sender: 405, also for what another partner keeps', async () => {
    const mine = await created(organisation(), partner)

    for (const place of ['Organization/of-the-sender', placeOf(mine)])
      expect(
        (await send('PUT', place, { ...organisation(), id: place.split('/')[1] }, {}, other))
          .status,
      ).toBe(405)
  })

  test('with another id in the body is refused with 400', async () => {
    const one = await created(organisation())

    const answer = await send('PUT', placeOf(one), { ...one, id: 'another' })

    expect([answer.status, expressions(answer)]).toEqual([400, ['Organization.id']])
  })

  test('of a part that was read as such (SUBSETTED) is refused', async () => {
    const one = await created(organisation())
    const meta = { tag: [{ code: 'SUBSETTED' }] }

    const answer = await send('PUT', placeOf(one), { ...one, meta })

    expect([answer.status, expressions(answer)]).toEqual([422, ['Organization.meta.tag']])
  })

  test('makes no dangling reference', async () => {
    const one = await created(organisation())

    const answer = await send('PUT', placeOf(one), {
      ...one,
      partOf: { reference: 'Organization/nowhere' },
    })

    expect([answer.status, expressions(answer)]).toEqual([422, ['Organization.partOf.reference']])
  })
})

describe('delete (3.1.0.7)', () => {
  test('takes out of sight: 204, then 410; the versions stay, and PUT revives with 201', async () => {
    const one = await created(organisation())
    const place = placeOf(one)

    const gone = await send('DELETE', place)
    const after = await read(place)
    const first = await read(`${place}/_history/1`)
    const deletion = await read(`${place}/_history/2`)
    const revived = await send('PUT', place, one)

    expect([gone.status, gone.text, after.status, first.status, deletion.status]).toEqual([
      204,
      '',
      410,
      200,
      410,
    ])
    expect([revived.status, versionOf(revived)]).toEqual([201, 'W/"3"'])
    expect((await read(place)).status).toBe(200)
  })

  test('of what is gone or never was is no error', async () => {
    const one = await created(organisation())
    await send('DELETE', placeOf(one))

    expect((await send('DELETE', placeOf(one))).status).toBe(204)
    expect((await send('DELETE', 'Organization/never')).status).toBe(204)
    expect((await read(`${placeOf(one)}/_history/3`)).status).toBe(404)
  })

  test('of another version than the one seen is refused with 412 and changes nothing', async () => {
    const one = await created(organisation())

    const answer = await send('DELETE', placeOf(one), undefined, { 'if-match': 'W/"7"' })

    expect(answer.status).toBe(412)
    expect((await read(placeOf(one))).status).toBe(200)
  })

  test('is refused with 409 while something kept refers to it', async () => {
    const whole = await created(organisation())
    const part = await created(organisation({ partOf: { reference: placeOf(whole) } }))

    const refused = await send('DELETE', placeOf(whole))
    await send('DELETE', placeOf(part))
    const taken = await send('DELETE', placeOf(whole))

    expect([refused.status, issues(refused)[0]?.code, taken.status]).toEqual([409, 'conflict', 204])
  })

  test('of a child is refused while anything is kept about it', async () => {
    const parts = smallReferral({ key: newKey() })
    const answer = await service.refer(partner, parts)

    expect((await send('DELETE', keptAs(answer, parts, 'patient'))).status).toBe(409)
  })

  test('another partner deletes nothing of mine: 204, and it stays', async () => {
    const mine = await created(organisation(), partner)

    expect((await send('DELETE', placeOf(mine), undefined, {}, other)).status).toBe(204)
    expect((await read(placeOf(mine), partner)).status).toBe(200)
  })
})

describe('conditional update and delete (3.1.0.4.3, 3.1.0.7.1)', () => {
  const byIdentifier = (key: string) =>
    `Organization?identifier=${encodeURIComponent(`https://practice.example/ids|${key}`)}`
  const named = (key: string, change: Json = {}) =>
    organisation({
      identifier: [{ system: 'https://practice.example/ids', value: key }],
      ...change,
    })

  test('no match and no id creates, one match updates', async () => {
    const key = newKey()

    const first = await send('PUT', byIdentifier(key), named(key))
    const second = await send('PUT', byIdentifier(key), named(key, { name: 'Renamed' }))

    expect([first.status, second.status]).toEqual([201, 200])
    expect(resource(second)).toMatchObject({ id: resource(first)['id'], meta: { versionId: '2' } })
  })

  test('two at once do not both create', async () => {
    const key = newKey()

    const answers = await Promise.all(
      [1, 2, 3].map(() => send('PUT', byIdentifier(key), named(key))),
    )

    expect(answers.map(({ status }) => status).toSorted((a, b) => a - b)).toEqual([200, 200, 201])
  })

  test('no match and an id of the sender: 405; a match with another id: 400', async () => {
    const key = newKey()
    const absent = await send('PUT', byIdentifier(key), named(key, { id: 'mine' }))
    await created(named(key))
    const another = await send('PUT', byIdentifier(key), named(key, { id: 'mine' }))

    expect([absent.status, another.status]).toEqual([405, 400])
  })

  test('several matches: 412, nothing is changed', async () => {
    const key = newKey()
    const kept = [await created(named(key)), await created(named(key))]

    expect((await send('PUT', byIdentifier(key), named(key))).status).toBe(412)
    expect((await send('DELETE', byIdentifier(key))).status).toBe(412)
    for (const one of kept) expect(versionOf(await read(placeOf(one)))).toBe('W/"1"')
  })

  test('delete: no match and one match are both 204, and the match is gone', async () => {
    const key = newKey()
    const one = await created(named(key))

    expect((await send('DELETE', byIdentifier(key))).status).toBe(204)
    expect((await send('DELETE', byIdentifier(key))).status).toBe(204)
    expect((await read(placeOf(one))).status).toBe(410)
  })

  test('no match is no version that If-Match could name: 412, nothing is made', async () => {
    const key = newKey()

    for (const [tag, status] of [
      ['*', 412],
      ['W/"1", W/"2"', 412],
      ['1', 400],
    ] as const) {
      const seen = { 'if-match': tag }
      expect((await send('PUT', byIdentifier(key), named(key), seen)).status).toBe(status)
      expect((await send('DELETE', byIdentifier(key), undefined, seen)).status).toBe(status)
    }
    expect((await send('PUT', byIdentifier(key), named(key))).status).toBe(201)
  })

  test('without any condition: 400', async () => {
    expect((await send('DELETE', 'Organization')).status).toBe(400)
    expect((await send('PUT', 'Organization', organisation())).status).toBe(400)
  })
})

describe('transaction and batch (3.1.0.11)', () => {
  const post = (body: Json, who = staff): Promise<Answer> =>
    service.send(who, { method: 'POST', url: '/fhir', body })
  const sent = (type: string, ...entry: readonly Json[]): Json => ({
    resourceType: 'Bundle',
    type,
    entry,
  })
  const statuses = (answer: Answer): unknown[] =>
    entries(answer).map(({ response }) => response?.status.slice(0, 3))

  test('does DELETE, POST, PUT and GET in this order whatever the order sent', async () => {
    const gone = await created(organisation())
    const kept = await created(organisation())
    const key = newKey()
    const identifier = [{ system: 'https://practice.example/ids', value: key }]

    const answer = await post(
      sent(
        'transaction',
        { request: { method: 'GET', url: placeOf(kept) } },
        {
          resource: { ...kept, name: 'Changed' },
          request: { method: 'PUT', url: placeOf(kept), ifMatch: 'W/"1"' },
        },
        {
          resource: organisation({ identifier }),
          request: { method: 'POST', url: 'Organization' },
        },
        { request: { method: 'DELETE', url: placeOf(gone) } },
        { request: { method: 'HEAD', url: `${placeOf(kept)}/_history/1` } },
      ),
    )

    expect(answer.status, answer.text).toBe(200)
    expect(statuses(answer)).toEqual(['200', '200', '201', '204', '200'])
    expect(entries(answer)[0]?.resource).toMatchObject({
      name: 'Changed',
      meta: { versionId: '2' },
    })
    expect(entries(answer)[4]?.resource).toBeUndefined()
  })

  test('ifMatch of an entry may be a list, as the header (3.1.0.11.2)', async () => {
    const kept = await created(organisation())
    const put = (ifMatch: string) =>
      post(
        sent('transaction', {
          resource: kept,
          request: { method: 'PUT', url: placeOf(kept), ifMatch },
        }),
      )

    const [one, none, unread] = [
      await put('W/"1", W/"3"'),
      await put('W/"1", W/"3"'),
      await put('W/"2", 3'),
    ]

    expect(statuses(one)).toEqual(['200'])
    expect([none.status, unread.status]).toEqual([412, 400])
    expect(expressions(unread)).toEqual(['Bundle.entry[0].request.ifMatch'])
  })

  test('is all or nothing: one wrong version undoes the rest', async () => {
    const kept = await created(organisation())
    const key = newKey()

    const answer = await post(
      sent(
        'transaction',
        {
          resource: organisation({ name: key }),
          request: { method: 'POST', url: 'Organization' },
        },
        { resource: kept, request: { method: 'PUT', url: placeOf(kept), ifMatch: 'W/"9"' } },
      ),
    )

    expect([answer.status, expressions(answer)]).toEqual([412, ['Bundle.entry[1].request.ifMatch']])
    expect(
      await service.sql(`select 1 from resources where type = 'Organization' and body like $1`, [
        `%${key}%`,
      ]),
    ).toEqual([])
  })

  test('one identity touched twice fails the whole', async () => {
    const kept = await created(organisation())

    const answer = await post(
      sent(
        'transaction',
        { resource: kept, request: { method: 'PUT', url: placeOf(kept) } },
        { request: { method: 'DELETE', url: placeOf(kept) } },
      ),
    )

    expect([answer.status, expressions(answer)]).toEqual([422, ['Bundle.entry[1]']])
    expect(versionOf(await read(placeOf(kept)))).toBe('W/"1"')
  })

  test('a conditional reference leads to its one match, in a transaction', async () => {
    const key = newKey()
    const whole = await created(
      organisation({ identifier: [{ system: 'https://practice.example/ids', value: key }] }),
    )
    const reference = `Organization?identifier=https://practice.example/ids|${key}`

    const answer = await post(
      sent('transaction', {
        resource: organisation({ partOf: { reference } }),
        request: { method: 'POST', url: 'Organization' },
      }),
    )
    const made = String(entries(answer)[0]?.response?.location).slice(BASE.length + 1)

    expect(answer.status, answer.text).toBe(200)
    expect(resource(await read(made))['partOf']).toEqual({ reference: placeOf(whole) })
  })

  test('what changes a meaning and is not known is refused with 422, beside other faults with 400 (2.5.0.2.1)', async () => {
    const unknown = { implicitRules: 'https://practice.example/rules' }

    const alone = await send('POST', 'Organization', organisation(unknown))
    const beside = await send('POST', 'Organization', organisation({ ...unknown, active: 'yes' }))
    const inBundle = await post(
      sent('transaction', {
        resource: organisation({ modifierExtension: [{ url: 'urn:x', valueBoolean: true }] }),
        request: { method: 'POST', url: 'Organization' },
      }),
    )

    expect([alone, beside, inBundle].map(({ status }) => status)).toEqual([422, 400, 422])
  })

  test('a conditional reference has no place in a batch, whose entries are as if sent alone', async () => {
    const key = newKey()
    await created(
      organisation({ identifier: [{ system: 'https://practice.example/ids', value: key }] }),
    )
    const reference = `Organization?identifier=https://practice.example/ids|${key}`

    const answer = await post(
      sent('batch', {
        resource: organisation({ partOf: { reference } }),
        request: { method: 'POST', url: 'Organization' },
      }),
    )

    expect(statuses(answer)).toEqual(['422'])
    expect(answer.text).toContain('Bundle.entry[0].resource.partOf.reference')
  })

  // 3.1.0.4: "If no id element is provided, or the id disagrees with the id in the URL, the server SHALL
  // respond with an HTTP 400"; an entry of a Bundle is the same interaction.
  test.each(['wrong', undefined])('a PUT whose body has the id %s is a 400', async (id) => {
    const kept = await created(organisation())
    const { id: _id, ...rest } = kept
    const resource = id === undefined ? rest : { ...rest, id }
    const entry = { resource, request: { method: 'PUT', url: placeOf(kept) } }
    const at = 'Bundle.entry[0].resource.id'

    const whole = await post(sent('transaction', entry))
    const each = await post(sent('batch', entry))

    expect([whole.status, expressions(whole)]).toEqual([400, [at]])
    expect([each.status, statuses(each)]).toEqual([200, ['400']])
    expect(each.text).toContain(at)
    expect(versionOf(await read(placeOf(kept)))).toBe('W/"1"')
  })

  // 3.1.0.4.3: the search names the resource, so the id may be left out, but must not be another.
  test('a conditional PUT may leave the id out and must not name another', async () => {
    const kept = await created(organisation())
    const { id: _id, ...rest } = kept
    const [identifier] = z
      .array(z.object({ system: z.string(), value: z.string() }))
      .parse(kept['identifier'])
    const url = `Organization?identifier=${identifier?.system}|${identifier?.value}`
    const put = (resource: Json) =>
      post(sent('transaction', { resource, request: { method: 'PUT', url } }))

    const wrong = await put({ ...rest, id: 'wrong' })

    expect([wrong.status, expressions(wrong)]).toEqual([400, ['Bundle.entry[0].resource.id']])
    expect(statuses(await put(rest))).toEqual(['200'])
  })

  test('what fails is named by its entry, whatever kind of entry it is', async () => {
    const body = { ...organisation(), id: 'nobody' }
    const url = 'Organization/nobody'
    const failing = [
      { request: { method: 'GET', url } },
      { resource: body, request: { method: 'PUT', url } },
      {
        resource: body,
        request: { method: 'PUT', url: `Organization?identifier=https://a.example|${newKey()}` },
      },
    ]
    for (const [index, status] of [404, 405, 405].entries()) {
      const good = { request: { method: 'GET', url: 'Organization?name=nobody' } }
      const answer = await post(sent('transaction', good, failing[index] ?? {}))

      expect([answer.status, expressions(answer)]).toEqual([status, ['Bundle.entry[1]']])
    }
    const unknown = { request: { method: 'GET', url: 'Organization?name:near=x' } }
    const answer = await post(sent('transaction', unknown))
    expect([answer.status, expressions(answer)]).toEqual([400, ['Bundle.entry[0].request.url']])
  })

  test('what an entry that is deleted is referred to by another entry dangles', async () => {
    const whole = await created(organisation())

    const answer = await post(
      sent(
        'transaction',
        { request: { method: 'DELETE', url: placeOf(whole) } },
        {
          resource: organisation({ partOf: { reference: placeOf(whole) } }),
          request: { method: 'POST', url: 'Organization' },
        },
      ),
    )

    expect([answer.status, expressions(answer)]).toEqual([
      422,
      ['Bundle.entry[1].resource.partOf.reference'],
    ])
  })

  test('what never was dangles though an entry deletes it', async () => {
    const answer = await post(
      sent(
        'transaction',
        { request: { method: 'DELETE', url: 'Organization/never' } },
        {
          resource: organisation({ partOf: { reference: 'Organization/never' } }),
          request: { method: 'POST', url: 'Organization' },
        },
      ),
    )

    expect([answer.status, expressions(answer)]).toEqual([
      422,
      ['Bundle.entry[1].resource.partOf.reference'],
    ])
  })

  test('a batch does each entry alone and tells each its own outcome', async () => {
    const kept = await created(organisation())

    const answer = await post(
      sent(
        'batch',
        { request: { method: 'GET', url: 'Organization/never' } },
        {
          resource: {
            ...organisation(),
            partOf: { reference: 'urn:uuid:5e1f0000-0000-4000-8000-000000000001' },
          },
          request: { method: 'POST', url: 'Organization' },
        },
        { resource: kept, request: { method: 'PUT', url: placeOf(kept) } },
        { resource: kept, request: { method: 'PUT', url: 'AuditEvent/1' } },
        { request: { method: 'DELETE', url: placeOf(kept), ifMatch: 'W/"1"' } },
      ),
    )

    expect([answer.status, bundle(answer).type]).toEqual([200, 'batch-response'])
    // The deletion comes first and succeeds, so the update revives.
    expect(statuses(answer)).toEqual(['404', '422', '201', '422', '204'])
  })

  test('an entry of a batch that needs a scope the token lacks is refused alone', async () => {
    const reader = await service.who({ clinicId: staff.clinicId, scope: 'system/Organization.rs' })
    const kept = await created(organisation())

    const answer = await post(
      sent(
        'batch',
        { request: { method: 'GET', url: placeOf(kept) } },
        { resource: organisation(), request: { method: 'POST', url: 'Organization' } },
      ),
      reader,
    )

    expect(statuses(answer)).toEqual(['200', '403'])
  })

  test('an empty batch has an empty answer', async () => {
    expect((await post({ resourceType: 'Bundle', type: 'batch' })).json).toEqual({
      resourceType: 'Bundle',
      type: 'batch-response',
    })
  })
})

describe('what is computed', () => {
  test('stays as it is: a finding is neither updated nor deleted, 405', async () => {
    const parts = smallReferral({ key: newKey() })
    const answer = await service.refer(partner, parts)
    const place = keptAs(answer, parts, 'referral')
    const task = resource(await read(keptAs(answer, parts, 'task')))
    const output = JSON.stringify(task['output'])
    const finding = /Observation\/[0-9a-f-]+/.exec(output)?.[0] ?? ''
    const kept = resource(await read(finding))

    expect((await send('PUT', finding, kept)).status).toBe(405)
    expect((await send('DELETE', finding)).status).toBe(405)
    expect((await send('DELETE', place)).status).toBe(409)
  })

  const findings = async (): Promise<number> => {
    const [row] = await service.sql<{ count: number }>(
      `select count(*)::int as count from resources where type = 'Provenance' and clinic_id = $1`,
      [staff.clinicId],
    )
    return row?.count ?? 0
  }

  test('is computed anew when a fact about the child is changed or taken back', async () => {
    const parts = smallReferral({ key: newKey() })
    const answer = await service.refer(partner, parts)
    const place = keptAs(answer, parts, 'walking-alone')
    const first = await findings()

    const fact = resource(await read(place, partner))
    const change = await send(
      'PUT',
      place,
      { ...fact, valueBoolean: false, component: undefined },
      {},
      partner,
    )
    const afterUpdate = await findings()
    const gone = await send('DELETE', place, undefined, {}, partner)
    const afterDelete = await findings()

    expect([change.status, gone.status], change.text + gone.text).toEqual([200, 204])
    expect([afterUpdate - first, afterDelete - afterUpdate]).toEqual([1, 1])
  })

  test('the day of receipt stays that of the first version of the referral', async () => {
    const parts = smallReferral({ key: newKey() })
    const answer = await service.refer(partner, parts)
    const place = keptAs(answer, parts, 'referral')
    const asked = (who = partner) =>
      service.send(who, { method: 'POST', url: `/fhir/${place}/$triage` })
    const taskBefore = resource(await read(keptAs(answer, parts, 'task')))

    service.clock.advance(3 * 86_400_000)
    const renewed = await service.who(partner)
    const kept = resource(await read(place, await service.who(staff)))
    const change = await send(
      'PUT',
      place,
      { ...kept, note: [{ text: 'Sent again.' }] },
      {},
      renewed,
    )
    await asked(renewed)
    const taskAfter = resource(await read(keptAs(answer, parts, 'task'), await service.who(staff)))

    expect(change.status, change.text).toBe(200)
    expect(JSON.stringify(taskAfter['restriction'])).toBe(JSON.stringify(taskBefore['restriction']))
    service.clock.advance(-3 * 86_400_000)
  })
})

describe('a resource stays about its child', () => {
  test('an observation cannot be moved to another child', async () => {
    const one = smallReferral({ key: newKey() })
    const two = smallReferral({ key: newKey() })
    const first = await service.refer(partner, one)
    const second = await service.refer(partner, two)
    const place = keptAs(first, one, 'walking-alone')
    const fact = resource(await read(place, partner))

    const answer = await send(
      'PUT',
      place,
      { ...fact, subject: { reference: keptAs(second, two, 'patient') } },
      {},
      partner,
    )

    expect([answer.status, issues(answer)[0]?.details.coding?.[0]?.code]).toEqual([
      422,
      'child-moved',
    ])
  })

  test('also when it was deleted: it comes back about its own child, and about no other', async () => {
    const one = smallReferral({ key: newKey() })
    const two = smallReferral({ key: newKey() })
    const first = await service.refer(partner, one)
    const second = await service.refer(partner, two)
    const place = keptAs(first, one, 'walking-alone')
    const fact = resource(await read(place, partner))
    await send('DELETE', place, undefined, {}, partner)
    const put = (subject: unknown) => send('PUT', place, { ...fact, subject }, {}, partner)

    const moved = await put({ reference: keptAs(second, two, 'patient') })
    const back = await put(fact['subject'])

    expect([moved.status, issues(moved)[0]?.details.coding?.[0]?.code]).toEqual([
      422,
      'child-moved',
    ])
    expect([back.status, versionOf(back)]).toEqual([201, 'W/"3"'])
  })
})

describe('the consent of the sender', () => {
  test('is asked for when content is updated too', async () => {
    const { partner: sender } = await service.clinic('part-c')
    const parts = consentedReferral(newKey(), sender.clinicId)
    const answer = await service.refer(sender, parts)
    const consent = keptAs(answer, parts, 'consent')
    const fact = resource(await read(keptAs(answer, parts, 'walking-alone'), sender))

    const allowed = await send('PUT', placeOf(fact), fact, {}, sender)
    const withdrawn = await send(
      'PUT',
      consent,
      { ...resource(await read(consent, sender)), status: 'inactive' },
      {},
      sender,
    )
    const refused = await send('PUT', placeOf(fact), fact, {}, sender)

    // The record is closed to its sender then, and an update of what is not there creates nothing.
    expect([allowed.status, withdrawn.status, refused.status], allowed.text).toEqual([
      200, 200, 405,
    ])
  })
})
