import { beforeAll, expect, test } from 'vitest'
import type { Json } from '../helpers/referral.ts'
import { attached, ruleSetJson, ruleSetLibrary } from '../helpers/rule-sets.ts'
import {
  type Answer,
  bundle,
  expressions,
  issues,
  resource,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

let service: TestService
let staff: Who
let partner: Who

const SCOPE = 'system/*.crus'

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner } = await newClinic())
  return service.close
})

async function newClinic(): Promise<{ readonly staff: Who; readonly partner: Who }> {
  const { staff: one, partner: other } = await service.clinic()
  return {
    staff: await service.who({ ...one, scope: SCOPE }),
    partner: await service.who({ ...other, scope: SCOPE }),
  }
}

const create = (body: Json, who = staff): Promise<Answer> =>
  service.send(who, { method: 'POST', url: '/fhir/Library', body })
const put = (body: Json, ifMatch: string | undefined, who = staff): Promise<Answer> =>
  service.send(who, {
    method: 'PUT',
    url: `/fhir/Library/${String(body['id'])}`,
    body,
    headers: ifMatch === undefined ? {} : { 'if-match': ifMatch },
  })
const read = (id: unknown, who = staff): Promise<Answer> =>
  service.send(who, { url: `/fhir/Library/${String(id)}` })

async function created(body: Json, who = staff): Promise<Json> {
  const answer = await create(body, who)
  expect(answer.status, answer.text).toBe(201)
  return resource(answer)
}
const etagOf = ({ headers }: Answer): string => String(headers['etag'])

/** Moves a stored rule set on to a status; its version is read first. */
async function moved(library: Json, status: string, who = staff): Promise<Answer> {
  const now = await read(library['id'], who)
  return put({ ...resource(now), status }, etagOf(now), who)
}
const statusOf = async (library: Json, who = staff): Promise<unknown> =>
  resource(await read(library['id'], who))['status']

test('a rule set is stored as a draft and found by id, version and status', async () => {
  const library = await created(ruleSetLibrary({ version: 'found.1' }))

  for (const query of ['version=found.1', 'identifier=invented-clinic&version=found.1']) {
    const found = bundle(await service.send(staff, { url: `/fhir/Library?status=draft&${query}` }))
    expect(found.entry?.map(({ resource: one }) => one?.['id'])).toEqual([library['id']])
  }
})

test('a byte order mark before its JSON is left out (RFC 8259, 8.1)', async () => {
  const rules = JSON.stringify(ruleSetJson({ version: 'mark.1' }))
  const content = [attached(`\ufeff${rules}`)]

  const library = await created(ruleSetLibrary({ version: 'mark.1' }, { content }))

  expect(resource(await read(library['id']))['content']).toEqual(content)
})

test('what is no whole usable rule set is refused, with the place in the JSON', async () => {
  const broken = { ...ruleSetJson({ version: 'broken.1' }), age: undefined }
  const wrong = ruleSetJson({ version: 'broken.1', values: { 'urgency.asapFrom': 40 } })

  const missing = await create(
    ruleSetLibrary({ version: 'broken.1' }, { content: [attached(JSON.stringify(broken))] }),
  )
  const contrary = await create(
    ruleSetLibrary({ version: 'broken.1' }, { content: [attached(JSON.stringify(wrong))] }),
  )

  expect([missing.status, contrary.status]).toEqual([422, 422])
  expect(expressions(missing)).toEqual(['Library.content[0].data'])
  expect(issues(missing)[0]?.details.text).toMatch(/^age: /)
  expect(issues(contrary)[0]?.details.text).toBe(
    'urgency.asapFrom: must be above urgency.urgentFrom',
  )
})

test.each([
  ['no identifier of ours', { identifier: [{ value: 'invented-clinic' }] }, 'Library.identifier'],
  [
    'another id than the JSON',
    {
      identifier: [
        { system: 'https://footing.example/fhir/NamingSystem/rule-set', value: 'another' },
      ],
    },
    'Library.identifier',
  ],
  ['another version than the JSON', { version: 'another' }, 'Library.version'],
  ['no version', { version: undefined }, 'Library.version'],
  ['the status unknown', { status: 'unknown' }, 'Library.status'],
  ['another type', { type: { text: 'logic-library' } }, 'Library.type'],
  ['no content', { content: undefined }, 'Library.content'],
  ['two contents', { content: [attached('{}'), attached('{}')] }, 'Library.content'],
  ['text that is not JSON', { content: [attached('{')] }, 'Library.content[0].data'],
  ['a property twice', { content: [attached('{"id":1,"id":2}')] }, 'Library.content[0].data'],
  [
    'another content type',
    { content: [{ ...attached('{}'), contentType: 'text/cql' }] },
    'Library.content[0].contentType',
  ],
])('a Library with %s is refused', async (_what, change, expression) => {
  const answer = await create(ruleSetLibrary({ version: 'refused.1' }, change))

  expect(answer.status).toBe(422)
  expect(new Set(expressions(answer))).toEqual(new Set([expression]))
})

test('a rule set over 256 KiB of JSON is refused', async () => {
  const padded = (length: number) => {
    const text = JSON.stringify(ruleSetJson({ version: 'long.1' }))
    return ruleSetLibrary({ version: 'long.1' }, { content: [attached(text.padEnd(length, ' '))] })
  }

  expect((await create(padded(262_145))).status).toBe(422)
  expect((await create(padded(262_144))).status).toBe(201)
})

test('a new rule set is a draft, by create and in a transaction', async () => {
  const active = ruleSetLibrary({ version: 'born.1' }, { status: 'active' })
  const alone = await create(active)
  const together = await service.send(staff, {
    method: 'POST',
    url: '/fhir',
    body: {
      resourceType: 'Bundle',
      type: 'transaction',
      entry: [{ resource: active, request: { method: 'POST', url: 'Library' } }],
    },
  })

  expect([alone.status, together.status]).toEqual([422, 422])
  expect(expressions(alone)).toEqual(['Library.status'])
  expect(expressions(together)).toEqual(['Bundle.entry[0].resource.status'])
})

test('a version is taken once, the shipped one never', async () => {
  await created(ruleSetLibrary({ version: 'once.1' }))
  const again = await create(ruleSetLibrary({ version: 'once.1' }))
  const shipped = await create(ruleSetLibrary({ id: 'footing-default', version: '2026.1' }))
  const other = await create(ruleSetLibrary({ id: 'another', version: 'once.1' }))
  const draft = await created(ruleSetLibrary({ version: 'once.2' }))
  const renamed = await put({ ...ruleSetLibrary({ version: 'once.1' }), id: draft['id'] }, 'W/"1"')

  expect([again, shipped, other, renamed].map(({ status }) => status)).toEqual([422, 422, 201, 422])
  expect(issues(again)[0]?.code).toBe('duplicate')
})

test('two of one version in a transaction, or at once, are not both taken', async () => {
  const entry = {
    resource: ruleSetLibrary({ version: 'twice.1' }),
    request: { method: 'POST', url: 'Library' },
  }
  const together = await service.send(staff, {
    method: 'POST',
    url: '/fhir',
    body: { resourceType: 'Bundle', type: 'transaction', entry: [entry, entry] },
  })
  const atOnce = await Promise.all(
    [1, 2, 3].map(() => create(ruleSetLibrary({ version: 'twice.2' }))),
  )

  expect(together.status).toBe(422)
  expect(atOnce.map(({ status }) => status).toSorted((a, b) => a - b)).toEqual([201, 422, 422])
})

test('a draft is changed, its versions stay, and search finds it as it is now', async () => {
  const draft = await created(ruleSetLibrary({ version: 'change.1' }))
  const next = ruleSetLibrary({ version: 'change.2', values: { 'urgency.urgentFrom': 35 } })

  const changed = await put({ ...next, id: draft['id'] }, 'W/"1"')

  expect(changed.status, changed.text).toBe(200)
  expect(etagOf(changed)).toBe('W/"2"')
  expect(resource(changed)).toMatchObject({
    ...next,
    meta: { versionId: '2', lastUpdated: expect.stringMatching(/Z$/) as string },
  })
  expect((await read(draft['id'])).text).toBe(changed.text)
  const old = await service.send(staff, { url: `/fhir/Library/${String(draft['id'])}/_history/1` })
  expect(resource(old)['version']).toBe('change.1')
  const counts = await Promise.all(
    ['change.1', 'change.2'].map(async (version) => {
      const found = await service.send(staff, { url: `/fhir/Library?version=${version}` })
      return bundle(found).total
    }),
  )
  expect(counts).toEqual([0, 1])
})

test('making one active retires the one that was, in the same step', async () => {
  const { staff: who } = await newClinic()
  const first = await created(ruleSetLibrary({ version: 'step.1' }), who)
  const second = await created(ruleSetLibrary({ version: 'step.2' }), who)

  expect((await moved(first, 'active', who)).status).toBe(200)
  expect((await moved(second, 'active', who)).status).toBe(200)

  expect([await statusOf(first, who), await statusOf(second, who)]).toEqual(['retired', 'active'])
  expect(resource(await read(first['id'], who))['meta']).toMatchObject({ versionId: '3' })
  const active = await service.send(who, { url: '/fhir/Library?status=active' })
  expect(bundle(active).total).toBe(1)
})

test('of rule sets made active at once, one stays active', async () => {
  const { staff: who } = await newClinic()
  const drafts = await Promise.all(
    [1, 2, 3, 4].map((n) => created(ruleSetLibrary({ version: `race.${n}` }), who)),
  )

  const answers = await Promise.all(drafts.map((draft) => moved(draft, 'active', who)))

  expect(answers.map(({ status }) => status)).toEqual([200, 200, 200, 200])
  const found = bundle(await service.send(who, { url: '/fhir/Library?status=active' }))
  expect(found.total).toBe(1)
  expect(bundle(await service.send(who, { url: '/fhir/Library?status=retired' })).total).toBe(3)
})

test('an active one can only be retired, as it is; a retired one stays', async () => {
  const { staff: who } = await newClinic()
  const library = await created(ruleSetLibrary({ version: 'final.1' }), who)
  const retireDraft = await moved(library, 'retired', who)
  await moved(library, 'active', who)
  const now = await read(library['id'], who)
  const other = ruleSetLibrary(
    { version: 'final.1', values: { 'urgency.urgentFrom': 35 } },
    { id: library['id'], status: 'retired' },
  )

  const refused = [
    retireDraft,
    await moved(library, 'active', who),
    await moved(library, 'draft', who),
    await put(other, etagOf(now), who),
  ]
  const retired = await moved(library, 'retired', who)
  const after = await Promise.all(
    ['draft', 'active', 'retired'].map((status) => moved(library, status, who)),
  )

  expect(refused.map(({ status }) => status)).toEqual([422, 422, 422, 422])
  expect(refused.flatMap(expressions)).toEqual([
    'Library.status',
    'Library.status',
    'Library.status',
    'Library.content',
  ])
  expect(issues(refused[1] ?? retired)[0]?.code).toBe('business-rule')
  expect(retired.status, retired.text).toBe(200)
  expect(after.map(({ status }) => status)).toEqual([422, 422, 422])
  expect(await statusOf(library, who)).toBe('retired')
})

test('an update names the version that it replaces', async () => {
  const draft = await created(ruleSetLibrary({ version: 'match.1' }))
  const body = { ...draft, description: 'changed' }

  const answers = [
    await put(body, undefined),
    await put(body, '1'),
    await put(body, '*'),
    await put(body, 'W/"2"'),
  ]

  expect(answers.map(({ status }) => status)).toEqual([400, 400, 400, 412])
  expect(answers.flatMap(expressions)).toEqual(Array(4).fill('http."If-Match"'))
  expect(resource(await read(draft['id']))['description']).toBeUndefined()
  expect((await put(body, '"7", "1"')).status).toBe(200)
})

test('of two writers with the same version one is taken', async () => {
  const draft = await created(ruleSetLibrary({ version: 'writers.1' }))

  const answers = await Promise.all(
    ['one', 'other'].map((description) => put({ ...draft, description }, 'W/"1"')),
  )

  expect(answers.map(({ status }) => status).toSorted((a, b) => a - b)).toEqual([200, 412])
})

test('an update is of the resource that it says, and of a whole one', async () => {
  const draft = await created(ruleSetLibrary({ version: 'body.1' }))
  const url = `/fhir/Library/${String(draft['id'])}`
  const send = (body: Json) =>
    service.send(staff, { method: 'PUT', url, body, headers: { 'if-match': 'W/"1"' } })
  const { id: _id, ...anonymous } = draft
  const tag = [
    { system: 'http://terminology.hl7.org/CodeSystem/v3-ObservationValue', code: 'SUBSETTED' },
  ]

  const answers = [
    await send(anonymous),
    await send({ ...draft, id: 'another' }),
    await send({ ...draft, meta: { tag } }),
    await send({ ...draft, invented: true }),
  ]

  expect(answers.map(({ status }) => status)).toEqual([400, 400, 422, 400])
  expect(answers.flatMap(expressions)).toEqual([
    'Library.id',
    'Library.id',
    'Library.meta.tag',
    'Library.invented',
  ])
})

test('an update creates nothing', async () => {
  const absent = await put({ ...ruleSetLibrary({ version: 'absent.1' }), id: 'absent' }, 'W/"1"')
  const patient = await service.send(staff, {
    method: 'PUT',
    url: '/fhir/Patient/absent',
    body: {
      resourceType: 'Patient',
      id: 'absent',
      identifier: [{ system: 'https://practice.example/ids', value: 'absent' }],
      birthDate: '2024-02-01',
    },
    headers: { 'if-match': 'W/"1"' },
  })

  expect([absent.status, patient.status]).toEqual([405, 405])
})

test('an update needs the scope for it, and Prefer decides what comes back', async () => {
  const draft = await created(ruleSetLibrary({ version: 'scope.1' }))
  const without = await service.who({ ...staff, scope: 'system/*.crs' })
  const minimal = await service.send(staff, {
    method: 'PUT',
    url: `/fhir/Library/${String(draft['id'])}`,
    body: draft,
    headers: { 'if-match': 'W/"1"', prefer: 'return=minimal' },
  })

  expect((await put(draft, 'W/"1"', without)).status).toBe(403)
  expect([minimal.status, minimal.text, etagOf(minimal)]).toEqual([200, '', 'W/"2"'])
})

test('a partner and another clinic learn of no rule set', async () => {
  const library = await created(ruleSetLibrary({ version: 'hidden.1' }))
  const { staff: stranger } = await newClinic()

  for (const who of [partner, stranger]) {
    const absent = { ...library, id: 'absent' }
    expect((await read(library['id'], who)).status).toBe(404)
    expect((await read(library['id'], who)).text).toBe((await read('absent', who)).text)
    const version = `/fhir/Library/${String(library['id'])}/_history/1`
    expect((await service.send(who, { url: version })).status).toBe(404)
    expect(bundle(await service.send(who, { url: '/fhir/Library' })).total).toBe(0)
    const [real, none] = [await put(library, 'W/"1"', who), await put(absent, 'W/"1"', who)]
    expect(real.text).toBe(none.text)
    const status = who === partner ? 403 : 405
    expect([real.status, none.status]).toEqual([status, status])
  }
  expect((await create(ruleSetLibrary({ version: 'partner.1' }), partner)).status).toBe(403)
  expect((await create(ruleSetLibrary({ version: 'hidden.1' }), stranger)).status).toBe(201)
})
