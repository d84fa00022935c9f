import { beforeAll, expect, test } from 'vitest'
import {
  bundleOf,
  changed,
  identifierOf,
  type Json,
  observed,
  type Parts,
  partOf,
  referralParts,
  smallReferral,
  withPart,
} from '../helpers/referral.ts'
import {
  type Answer,
  entries,
  expressions,
  issues,
  kept,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

let service: TestService
let staff: Who
let partner: Who
let other: Who

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner, other } = await service.clinic())
  return service.close
})

const post = (parts: Parts, key?: string, who = partner) =>
  service.send(who, {
    method: 'POST',
    url: '/fhir',
    body: bundleOf(parts),
    headers: key === undefined ? {} : { 'idempotency-key': key },
  })
const unconditional = (parts: Parts): Parts =>
  new Map(
    [...parts].map(([name, part]) => {
      const { ifNoneExist, ...request } = part.request
      return [name, { ...part, request }]
    }),
  )
const rows = async () => {
  const [row] = await service.sql<{ versions: number; tokens: number }>(
    `select (select count(*) from resource_versions where type <> 'AuditEvent')::int as versions,
      (select count(*) from index_tokens where type <> 'AuditEvent')::int as tokens`,
  )
  return row
}
const provenance = (display: string): string =>
  JSON.stringify({ resourceType: 'Provenance', agent: [{ who: { display } }] })
const statuses = (answer: Answer) => entries(answer).map(({ response }) => response?.status)

test('the same Bundle with the same key is answered the same, and nothing is doubled', async () => {
  const parts = unconditional(smallReferral({ key: 'same' }))
  const first = await post(parts, 'key-1')
  const before = await rows()

  const second = await post(parts, 'key-1')

  expect([first.status, second.status]).toEqual([200, 200])
  expect(second.text).toBe(first.text)
  expect(first.headers['idempotent-replayed']).toBeUndefined()
  expect(second.headers['idempotent-replayed']).toBe('true')
  expect(await rows()).toEqual(before)
})

test('the same key with another body is refused with 422', async () => {
  await post(smallReferral({ key: 'body-a' }), 'key-2')
  const before = await rows()

  const second = await post(smallReferral({ key: 'body-b' }), 'key-2')

  expect([second.status, issues(second)[0]?.code]).toEqual([422, 'conflict'])
  expect(expressions(second)).toEqual(['http."Idempotency-Key"'])
  expect(await rows()).toEqual(before)
})

test('a key belongs to the client that used it', async () => {
  const mine = await post(smallReferral({ key: 'mine' }), 'key-3')

  const theirs = await post(smallReferral({ key: 'theirs' }), 'key-3', other)

  expect(theirs.status).toBe(200)
  expect(kept(theirs)).not.toEqual(kept(mine))
})

test('a refused Bundle does not use up its key', async () => {
  const parts = smallReferral({ key: 'mended' })
  const refused = await post(changed(parts, 'patient', { birthDate: '2024' }), 'key-4')

  const mended = await post(parts, 'key-4')

  expect([refused.status, mended.status]).toEqual([422, 200])
})

const created = (headers: Record<string, string>, over: Json = {}, who = partner) =>
  service.send(who, {
    method: 'POST',
    url: '/fhir/Practitioner',
    body: { resourceType: 'Practitioner', active: true, ...over },
    headers: { prefer: 'return=representation', ...headers },
  })

test('a resource sent alone again under its key is answered the same, and nothing is doubled', async () => {
  const key = { 'idempotency-key': 'alone-1', 'x-provenance': provenance('alone') }
  const first = await created(key)
  const before = await rows()

  const second = await created(key)
  const fromElsewhere = await created(key, {}, other)

  expect([first.status, second.status]).toEqual([201, 201])
  expect([second.text, second.headers.location, second.headers.etag]).toEqual([
    first.text,
    first.headers.location,
    first.headers.etag,
  ])
  expect([first, second].map(({ headers }) => headers['idempotent-replayed'])).toEqual([
    undefined,
    'true',
  ])
  expect(fromElsewhere.headers.location).not.toBe(first.headers.location)
  expect((await rows())?.versions).toBe((before?.versions ?? 0) + 2)
})

test.each([
  ['body', {}, { active: false }],
  ['condition', { 'if-none-exist': 'identifier=urn:x|1' }, {}],
  ['origin', { 'x-provenance': provenance('another') }, {}],
])(
  'a resource sent alone with another %s under a used key is refused',
  async (name, headers, over) => {
    await created({ 'idempotency-key': `other-${name}` })
    const before = await rows()

    const second = await created({ 'idempotency-key': `other-${name}`, ...headers }, over)

    expect([second.status, issues(second)[0]?.code]).toEqual([422, 'conflict'])
    expect(await rows()).toEqual(before)
  },
)

/** R4 3.1.0.8.1: what the condition finds is answered; it may be published, so that no version of it is stored. */
test('a condition that finds what is published is answered the same under its key', async () => {
  const body = { resourceType: 'Questionnaire', status: 'draft' }
  const found = '_id=referral-intake'
  const alone = () =>
    service.send(partner, {
      method: 'POST',
      url: '/fhir/Questionnaire',
      body,
      headers: { 'idempotency-key': 'published-1', 'if-none-exist': found },
    })
  const request = { method: 'POST', url: 'Questionnaire', ifNoneExist: found } as const
  const fullUrl = 'urn:uuid:2b6f2a44-6f0e-4f5e-9c75-0a8a0f0f1c11'
  const together = () =>
    post(new Map([['form', { fullUrl, resource: body, request }]]), 'published-2')

  const answers = [await alone(), await alone(), await together(), await together()]

  expect(answers.map(({ status }) => status)).toEqual([200, 200, 200, 200])
  expect(answers[1]?.headers.location).toContain('/Questionnaire/referral-intake/_history/1')
  expect([answers[1]?.text, answers[3]?.text]).toEqual([answers[0]?.text, answers[2]?.text])
})

test('content sent alone as a Binary is kept once under its key', async () => {
  const sent = {
    method: 'POST',
    url: '/fhir/Binary',
    body: 'one',
    headers: { 'content-type': 'text/plain', 'idempotency-key': 'content-1' },
  } as const
  const first = await service.send(partner, sent)
  const second = await service.send(partner, sent)

  expect([first.status, second.status]).toEqual([201, 201])
  expect(second.headers.location).toBe(first.headers.location)
})

test.each([' ', 'ä', 'a'.repeat(256)])('the key %j is refused or harmless', async (key) => {
  expect([200, 400]).toContain((await post(smallReferral({ key: 'odd' }), key)).status)
})

test('the same Bundle with conditions doubles nothing', async () => {
  const parts = referralParts({ key: 'conditions' })
  const first = await post(parts)
  const before = await rows()

  const second = await post(parts)

  expect(new Set(statuses(first))).toEqual(new Set(['201 Created']))
  expect(new Set(statuses(second))).toEqual(new Set(['200 OK']))
  expect(kept(second)).toEqual(kept(first))
  expect(await rows()).toEqual(before)
})

test('the same Bundle on a later day doubles nothing', async () => {
  const parts = smallReferral({ key: 'later' })
  await post(parts)
  const before = await rows()
  service.clock.advance(3 * 86_400_000)
  const again: Who = await service.who({
    clinicId: partner.clinicId,
    partnerId: partner.partnerId ?? '',
  })

  const second = await post(parts, undefined, again)

  expect(new Set(statuses(second))).toEqual(new Set(['200 OK']))
  expect(await rows()).toEqual(before)
  service.clock.advance(-3 * 86_400_000)
})

test('one new observation in a Bundle that is known is stored and triaged', async () => {
  const parts = smallReferral({ key: 'more' })
  const first = await post(parts)
  const task = await service.send(partner, { url: `/fhir/${kept(first)[2]}` })

  const second = await post(
    withPart(
      parts,
      'w-sitting',
      observed('habitual-w-sitting', '2026-03-01', { valueBoolean: true }),
    ),
  )

  expect(statuses(second)).toEqual([...Array<string>(5).fill('200 OK'), '201 Created'])
  const after = await service.send(partner, { url: `/fhir/${kept(first)[2]}` })
  expect([task.headers['etag'], after.headers['etag']]).toEqual(['W/"2"', 'W/"3"'])
})

for (const round of [1, 2, 3, 4]) {
  test(`identical Bundles at once make one set of rows, round ${round}`, async () => {
    const parts = smallReferral({ key: `race-${round}` })
    const before = (await rows())?.versions ?? 0
    const single = await (async () => {
      await post(smallReferral({ key: `alone-${round}` }))
      return ((await rows())?.versions ?? 0) - before
    })()

    const answers = await Promise.all([1, 2, 3, 4].map(() => post(parts)))

    expect(answers.map(({ status }) => status)).toEqual([200, 200, 200, 200])
    expect(new Set(answers.map((answer) => kept(answer).join(' '))).size).toBe(1)
    expect(((await rows())?.versions ?? 0) - before).toBe(2 * single)
  })

  test(`identical Bundles at once with one key make one set of rows, round ${round}`, async () => {
    const parts = unconditional(smallReferral({ key: `keyed-${round}` }))

    const answers = await Promise.all([1, 2, 3].map(() => post(parts, `race-key-${round}`)))

    expect(answers.map(({ status }) => status)).toEqual([200, 200, 200])
    expect(new Set(answers.map(({ text }) => text)).size).toBe(1)
    expect(answers.filter(({ headers }) => headers['idempotent-replayed'] === 'true')).toHaveLength(
      2,
    )
  })

  test(`new facts, repeats and triages of one referral at once all succeed, round ${round}`, async () => {
    const parts = smallReferral({ key: `mixed-${round}` })
    const first = await post(parts)
    const fact = (name: string) =>
      withPart(parts, name, observed(name, '2026-03-01', { valueBoolean: true }))

    const answers = await Promise.all([
      post(fact('habitual-w-sitting')),
      post(fact('motor-concern')),
      post(parts),
      service.send(partner, { method: 'POST', url: `/fhir/${kept(first)[1]}/$triage` }),
      service.send(staff, {
        method: 'POST',
        url: `/fhir/${kept(first)[1]}/$triage?asOf=2026-03-01`,
      }),
    ])

    expect(answers.map(({ status }) => status)).toEqual([200, 200, 200, 200, 200])
    const versions = await service.sql<{ version: number }>(
      `select version from resource_versions where type = 'Task' and id = $1 order by version`,
      [kept(first)[2]?.split('/')[1]],
    )
    expect(versions.map(({ version }) => version)).toEqual(versions.map((_row, index) => index + 1))
  })
}

const organization = (key: string): Json => ({
  resourceType: 'Organization',
  identifier: [identifierOf(key, 'org')],
  name: 'An invented practice',
})
const create = (key: string, who = partner, headers: Record<string, string> = {}) =>
  service.send(who, {
    method: 'POST',
    url: '/fhir/Organization',
    body: organization(key),
    headers: { 'if-none-exist': `identifier=https://practice.example/ids|${key}-org`, ...headers },
  })

test('a conditional create makes it once', async () => {
  const first = await create('cond')
  const second = await create('cond')

  expect([first.status, second.status]).toEqual([201, 200])
  expect(second.headers['location']).toBe(first.headers['location'])
  expect(second.text).toBe(first.text)
  expect(second.headers['etag']).toBe('W/"1"')
})

test.each([1, 2, 3])('of 50 conditional creates at once one makes it, round %i', async (round) => {
  const answers = await Promise.all(Array.from({ length: 50 }, () => create(`at-once-${round}`)))

  expect(answers.map(({ status }) => status).toSorted((a, b) => a - b)).toEqual([
    ...Array<number>(49).fill(200),
    201,
  ])
  expect(new Set(answers.map(({ headers }) => headers['location'])).size).toBe(1)
})

test('several matches are refused with 412, alone and in a transaction', async () => {
  for (let time = 0; time < 2; time += 1)
    await service.send(partner, {
      method: 'POST',
      url: '/fhir/Organization',
      body: organization('double'),
    })
  const before = await rows()

  const alone = await create('double')
  const within = await post(new Map([['org', partOf('double', 'org', organization('double'))]]))

  for (const answer of [alone, within]) {
    expect([answer.status, issues(answer)[0]?.code]).toEqual([412, 'multiple-matches'])
  }
  expect(expressions(alone)).toEqual(['http."If-None-Exist"'])
  expect(expressions(within)).toEqual(['Bundle.entry[0].request.ifNoneExist'])
  expect(await rows()).toEqual(before)
})

test.each(['nothing=a', '_count=3', 'name:unknown=a', 'birthdate=yesterday'])(
  'the condition %s cannot be used and is refused with 400',
  async (condition) => {
    const answer = await create('unusable', partner, { 'if-none-exist': condition })

    expect(answer.status).toBe(400)
  },
)

test('Prefer: return=minimal leaves the body out', async () => {
  const answer = await create('minimal', partner, { prefer: 'return=minimal' })

  expect([answer.status, answer.text, answer.headers['etag']]).toEqual([201, '', 'W/"1"'])
})
