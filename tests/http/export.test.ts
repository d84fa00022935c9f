import { setTimeout as delay } from 'node:timers/promises'
import { Client } from 'pg'
import { beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { type Json, smallReferral } from '../helpers/referral.ts'
import {
  type Answer,
  BASE,
  expressions,
  issues,
  keptAs,
  resource,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// Bulk Data Access, STU 2 (December 2021): kick-off, status, manifest, files, deletion.

let service: TestService
let staff: Who
let partner: Who
let other: Who

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner, other } = await service.clinic())
  return service.close
})

const File = z.object({ type: z.string(), url: z.string(), count: z.number().optional() })
const Manifest = z.object({
  transactionTime: z.string(),
  request: z.string(),
  requiresAccessToken: z.literal(true),
  output: z.array(File),
  deleted: z.array(File),
  error: z.array(File),
})

const local = (url: string): string => url.replace(BASE, '/fhir')
const get = (url: string, who: Who): Promise<Answer> => service.send(who, { url: local(url) })

/** Asks for an export as the specification shows it. @returns where its status is */
async function kickOff(
  path: string,
  who = staff,
  headers: Record<string, string> = {},
): Promise<string> {
  const answer = await service.send(who, {
    url: `/fhir/${path}`,
    headers: { accept: 'application/fhir+json', prefer: 'respond-async', ...headers },
  })
  expect(answer.status, answer.text).toBe(202)
  return String(answer.headers['content-location'])
}
/** Asks until it is ready, as often as it is told to. */
async function readyAnswer(status: string, who: Who): Promise<Answer> {
  for (;;) {
    const answer = await get(status, who)
    expect(answer.status, answer.text).toBeOneOf([200, 202])
    if (answer.status === 200) return answer
    expect(String(answer.headers['x-progress']).length).toBeLessThan(100)
    expect(answer.text).toBe('')
    service.clock.advance(1_000 * Number(answer.headers['retry-after']))
    await delay(20)
  }
}
async function manifestOf(status: string, who = staff) {
  return Manifest.parse((await readyAnswer(status, who)).json)
}
const Line = z.record(z.string(), z.unknown())
async function lines(url: string, who = staff): Promise<Json[]> {
  const answer = await get(url, who)
  expect([answer.status, answer.headers['content-type']]).toEqual([200, 'application/fhir+ndjson'])
  return answer.text
    .split('\n')
    .filter((line) => line !== '')
    .map((line) => Line.parse(JSON.parse(line)))
}
/** Everything that an export has, by type. */
async function exported(path: string, who = staff, headers: Record<string, string> = {}) {
  const manifest = await manifestOf(await kickOff(path, who, headers), who)
  const files = new Map<string, Json[]>()
  for (const { type, url } of manifest.output) files.set(type, await lines(url, who))
  return { manifest, files }
}
const idsOf = (all: readonly Json[] = []): string[] => all.map(({ id }) => String(id)).toSorted()

let count = 0
async function child(who = partner) {
  const parts = smallReferral({ key: `export${(count += 1)}` })
  const answer = await service.refer(who, parts)
  return (name: string) => keptAs(answer, parts, name)
}

test('what is kept comes out, one resource a line, as it is read one by one', async () => {
  const place = await child()

  const { manifest, files } = await exported('$export')

  expect(manifest.request).toBe(`${BASE}/$export`)
  const id = place('walking-alone').split('/')[1]
  const line = files.get('Observation')?.find((one) => one['id'] === id)
  expect(line).toEqual(resource(await get(`/fhir/${place('walking-alone')}`, staff)))
  for (const { type, count: told } of manifest.output) {
    expect(files.get(type)?.every(({ resourceType }) => resourceType === type)).toBe(true)
    expect(files.get(type)?.length).toBe(told)
  }
})

test('HEAD tells of the manifest and of its files what GET does, without the content (3.1.0.15)', async () => {
  const status = await kickOff('$export?_type=Patient')
  const { output } = await manifestOf(status)
  const head = (url: string, who = staff) => service.send(who, { method: 'HEAD', url: local(url) })
  const [file] = output
  const answers = await Promise.all([
    head(status),
    head(file?.url ?? ''),
    head((file?.url ?? '').replace('Patient', 'Binary')),
    head(file?.url ?? '', other),
  ])

  expect(answers.map((answer) => [answer.status, answer.text])).toEqual([
    [200, ''],
    [200, ''],
    [404, ''],
    [404, ''],
  ])
  expect(answers[1]?.headers['content-type']).toBe('application/fhir+ndjson')
})

test('nothing that happens after the kick-off is in the files', async () => {
  const place = await child()
  const walking = place('walking-alone')
  service.clock.advance(60_000)
  const status = await kickOff('$export?_type=Observation,Organization')
  service.clock.advance(60_000)
  const now = await service.who(partner)
  const fact = resource(await get(`/fhir/${walking}`, await service.who(staff)))
  await service.send(now, {
    method: 'PUT',
    url: `/fhir/${walking}`,
    body: { ...fact, status: 'amended' },
  })
  await service.send(now, { method: 'DELETE', url: `/fhir/${place('muscle-tone')}` })
  await service.send(now, {
    method: 'POST',
    url: '/fhir/Organization',
    body: { resourceType: 'Organization', name: 'Later' },
  })

  const { output } = await manifestOf(status, await service.who(staff))
  const observations = await lines(
    output.find(({ type }) => type === 'Observation')?.url ?? '',
    await service.who(staff),
  )

  const found = (where: string) => observations.find(({ id }) => where.endsWith(String(id)))
  expect(found(walking)).toEqual(fact)
  expect(found(place('muscle-tone'))).toBeDefined()
  expect(output.map(({ type }) => type)).not.toContain('Organization')
})

test('_since leaves out what is older, and tells what was deleted', async () => {
  const place = await child()
  service.clock.advance(1_000)
  const since = new Date(service.service.context.now()).toISOString()
  service.clock.advance(1_000)
  await service.send(await service.who(partner), {
    method: 'DELETE',
    url: `/fhir/${place('walking-alone')}`,
  })
  service.clock.advance(1_000)
  const who = await service.who(staff)

  const { manifest, files } = await exported(`$export?_since=${since}`, who)
  const deleted = await lines(manifest.deleted[0]?.url ?? '', who)

  expect([...files.values()].flat().every((one) => updatedOf(one) > since)).toBe(true)
  expect(deleted).toEqual([
    {
      resourceType: 'Bundle',
      type: 'transaction',
      entry: [{ request: { method: 'DELETE', url: place('walking-alone') } }],
    },
  ])
})
const updatedOf = (one: Json): string =>
  z.object({ meta: z.object({ lastUpdated: z.string() }) }).parse(one).meta.lastUpdated

test('_type and _typeFilter narrow it', async () => {
  const place = await child()
  const filter = encodeURIComponent('Observation?code=walking-alone')

  const { files } = await exported(
    `$export?_type=Observation,Patient&_typeFilter=${filter}`,
    await service.who(staff),
  )

  expect([...files.keys()]).toEqual(['Observation', 'Patient'])
  const walking = files.get('Observation') ?? []
  expect(idsOf(walking)).toContain(place('walking-alone').split('/')[1])
  expect(walking.every((one) => JSON.stringify(one['code']).includes('"walking-alone"'))).toBe(true)
})

// R4 3.1.1.4.12: to guess would export what was not asked for.
test('a _typeFilter by an id that resources of several types have is refused', async () => {
  const place = await child()
  const [, twice = ''] = place('patient').split('/')
  await service.sql(
    `insert into resources (clinic_id, type, id, version, deleted, body, updated_at, created_at)
     select clinic_id, 'Location', id, 1, false, '{}', updated_at, created_at from resources where id = $1`,
    [twice],
  )
  const who = await service.who(staff)
  const filtered = (query: string) =>
    `$export?_type=Observation&_typeFilter=${encodeURIComponent(`Observation?${query}`)}`

  const answer = await get(`/fhir/${filtered(`subject=${twice}`)}`, who)

  expect([answer.status, expressions(answer)]).toEqual([400, ['http._typeFilter']])
  expect(answer.text).toContain(`write it as Location/${twice}`)
  const { files } = await exported(filtered(`subject=Patient/${twice}`), who)
  expect(files.get('Observation')?.length).toBeGreaterThan(0)
  await service.sql("delete from resources where type = 'Location' and id = $1", [twice])
})

test('a partner gets its own compartment, and nobody else its export', async () => {
  const who = await service.who(partner)
  const mine = await child(who)
  const theirs = await child(await service.who(other))

  const status = await kickOff('$export?_type=Patient', who)
  const { output } = await manifestOf(status, who)
  const patients = idsOf(await lines(output[0]?.url ?? '', who))

  expect(patients).toContain(mine('patient').split('/')[1])
  expect(patients).not.toContain(theirs('patient').split('/')[1])
  for (const stranger of [await service.who(other), await service.who(staff)]) {
    expect((await get(status, stranger)).status).toBe(404)
    expect((await get(output[0]?.url ?? '', stranger)).status).toBe(404)
  }
})

describe('levels', () => {
  test('of patients: what is about any', async () => {
    const who = await service.who(staff)
    await child(await service.who(partner))

    const { files } = await exported('Patient/$export', who)

    expect(files.has('Patient')).toBe(true)
    expect(files.has('Organization')).toBe(false)
  })

  // Bulk Data Access, "Endpoint - All Patients"; the compartment of R4: its CompartmentDefinition of Patient.
  test('of patients: also what is in a compartment by its sender, its author or a member', async () => {
    const who = await service.who(partner)
    const reference = (await child(who))('patient')
    const bodies: Json[] = [
      { resourceType: 'Communication', status: 'completed', sender: { reference } },
      { resourceType: 'List', status: 'current', mode: 'working', source: { reference } },
      { resourceType: 'Group', type: 'person', actual: true, member: [{ entity: { reference } }] },
    ]
    const sent = new Map<string, string>()
    for (const body of bodies) {
      const type = String(body['resourceType'])
      const made = await service.send(who, { method: 'POST', url: `/fhir/${type}`, body })
      expect(made.status, made.text).toBe(201)
      sent.set(type, String(resource(made)['id']))
    }

    const { files } = await exported('Patient/$export', who)

    for (const [type, id] of sent) expect(idsOf(files.get(type)), type).toContain(id)
  })

  test('of a group: what is about its members', async () => {
    const sender = await service.who(partner)
    const one = await child(sender)
    const two = await child(sender)
    const group = await service.send(sender, {
      method: 'POST',
      url: '/fhir/Group',
      body: {
        resourceType: 'Group',
        type: 'person',
        actual: true,
        member: [{ entity: { reference: one('patient') } }],
      },
    })

    const { files } = await exported(`Group/${String(resource(group)['id'])}/$export`, sender)

    expect(idsOf(files.get('Patient'))).toEqual([one('patient').split('/')[1]])
    expect(idsOf(files.get('Observation'))).not.toContain(two('walking-alone').split('/')[1])
  })

  test('of a group that is not there: 404', async () => {
    expect((await get('/fhir/Group/nobody/$export', await service.who(staff))).status).toBe(404)
  })
})

test('an export that is ended is over: 202, then 404 with an outcome', async () => {
  const who = await service.who(staff)
  const status = await kickOff('$export?_type=Patient', who)
  const { output } = await manifestOf(status, who)

  const ended = await service.send(who, { method: 'DELETE', url: local(status) })
  const after = await get(status, who)

  expect([ended.status, after.status, issues(after)[0]?.code]).toEqual([202, 404, 'not-found'])
  expect((await get(output[0]?.url ?? '', who)).status).toBe(404)
})

test('an export is to be had for a day, and says until when', async () => {
  const who = await service.who(staff)
  const status = await kickOff('$export?_type=Patient', who)
  const answer = await readyAnswer(status, who)
  const expires = answer.headers['expires']
  expect(answer.headers['content-type']).toMatch(/^application\/json/)

  service.clock.advance(24 * 3_600_000 + 1_000)

  expect(Date.parse(String(expires))).toBeGreaterThan(Date.parse('2026-03-03T09:00:00Z'))
  expect((await get(status, await service.who(staff))).status).toBe(404)
})

test.each([
  ['_outputFormat=text/csv', 'http._outputFormat'],
  ['_since=yesterday', 'http._since'],
  ['_elements=id', 'http._elements'],
  ['_type=Medication', 'http._type'],
  ['_typeFilter=Observation', 'http._typeFilter'],
  [`_typeFilter=${encodeURIComponent('Observation?patient.name=a')}`, 'http._typeFilter'],
])('%s is refused with 400', async (query, expression) => {
  const answer = await get(`/fhir/$export?${query}`, await service.who(staff))

  expect([answer.status, expressions(answer)[0]]).toEqual([400, expression])
})

test('a type that is no patient’s is named where patients are exported', async () => {
  const url = '/fhir/Patient/$export?_type=Patient,Organization'
  const answer = await get(url, await service.who(staff))

  expect([answer.status, expressions(answer)]).toEqual([400, ['http._type']])
  expect(answer.text).toContain('Organization cannot be exported here.')
})

test('what is not offered is left out when the client is lenient, and the manifest says so', async () => {
  const who = await service.who(staff)

  const { manifest } = await exported('$export?_type=Patient&_elements=id', who, {
    prefer: 'respond-async, handling=lenient',
  })

  expect((await lines(manifest.error[0]?.url ?? '', who))[0]).toMatchObject({
    resourceType: 'OperationOutcome',
  })
})

test('a type that the token does not allow: 403 when it is named, else left out', async () => {
  const who = await service.who({ clinicId: staff.clinicId, scope: 'system/Patient.rs' })

  expect((await get('/fhir/$export?_type=Observation', who)).status).toBe(403)
  expect([...(await exported('$export', who)).files.keys()]).toEqual(['Patient'])
})

const postExport = async (body: unknown, headers: Record<string, string> = {}) =>
  service.send(await service.who(staff), { method: 'POST', url: '/fhir/$export', body, headers })
const named = (name: string, value: Json): Json => ({
  resourceType: 'Parameters',
  parameter: [{ name, ...value }],
})

test('the parameters may come in a Parameters body', async () => {
  const answer = await postExport(named('_type', { valueString: 'Patient' }))
  const { output } = await manifestOf(
    String(answer.headers['content-location']),
    await service.who(staff),
  )

  expect(answer.status).toBe(202)
  expect(output.map(({ type }) => type)).toEqual(['Patient'])
})

test.each([
  ['a type that is not kept', named('_type', { valueString: 'Medication' }), 'http._type'],
  [
    'patients one by one',
    named('patient', { valueReference: { reference: 'Patient/1' } }),
    'http.patient',
  ],
  ['a body that is no Parameters', { resourceType: 'Patient' }, 'Parameters'],
  [
    'a parameter without a name',
    { resourceType: 'Parameters', parameter: [{}] },
    'Parameters.parameter[0].name',
  ],
  ['a list', [], 'Parameters'],
])('by POST, %s is refused with 400 rather than left out', async (_, body, expression) => {
  const answer = await postExport(body)

  expect([answer.status, expressions(answer)[0]]).toEqual([400, expression])
})

test('a token that allows no type gets no export: 403', async () => {
  const who = await service.who({ clinicId: staff.clinicId, scope: 'system/Observation.c' })

  expect((await get('/fhir/$export', who)).status).toBe(403)
})

test('an export waits for what was being written when it was asked for', async () => {
  const place = (await child(await service.who(partner)))('walking-alone')
  const who = await service.who(staff)
  const writer = new Client({ connectionString: service.url })
  await writer.connect()
  await writer.query('begin')
  // A transaction that has written and is not seen yet; what it writes is of no matter.
  await writer.query('create temporary table unseen ()')
  const status = await kickOff('$export?_type=Observation', who)

  const early = await get(status, who)
  service.clock.advance(10_000)
  const waiting = await get(status, who)
  await writer.query('rollback')
  await writer.end()
  const { output } = await manifestOf(status, who)

  expect([early.status, waiting.status]).toEqual([202, 202])
  expect(idsOf(await lines(output[0]?.url ?? '', who))).toContain(place.split('/')[1])
})

test('what never ends holds up no export for good', async () => {
  const who = await service.who(staff)
  const writer = new Client({ connectionString: service.url })
  await writer.connect()
  await writer.query('begin')
  await writer.query('create temporary table unseen ()')
  const status = await kickOff('$export?_type=Patient', who)

  service.clock.advance(120_000)
  const answer = await get(status, await service.who(staff))
  await writer.end()

  expect(answer.status).toBe(200)
})

test('members that come and go after the kick-off change nothing', async () => {
  const sender = await service.who(partner)
  const [one, two] = [await child(sender), await child(sender)]
  const group = (place: string) => ({
    resourceType: 'Group',
    type: 'person',
    actual: true,
    member: [{ entity: { reference: place } }],
  })
  const made = await service.send(sender, {
    method: 'POST',
    url: '/fhir/Group',
    body: group(one('patient')),
  })
  const id = String(resource(made)['id'])
  service.clock.advance(1_000)
  const status = await kickOff(`Group/${id}/$export?_type=Patient,Observation`, sender)
  service.clock.advance(1_000)
  const changed = await service.send(sender, {
    method: 'PUT',
    url: `/fhir/Group/${id}`,
    body: { ...group(two('patient')), id },
  })
  await service.send(sender, { method: 'DELETE', url: `/fhir/${one('walking-alone')}` })
  await service.send(sender, { method: 'DELETE', url: `/fhir/Group/${id}` })

  const { output } = await manifestOf(status, sender)
  const files = await Promise.all(output.map(({ url }) => lines(url, sender)))

  expect(changed.status).toBe(200)
  expect(idsOf(files[0])).toEqual([one('patient').split('/')[1]])
  expect(idsOf(files[1])).toContain(one('walking-alone').split('/')[1])
})

test('what was deleted in a group since is told of its members alone', async () => {
  const sender = await service.who(partner)
  const [one, two] = [await child(sender), await child(sender)]
  const made = await service.send(sender, {
    method: 'POST',
    url: '/fhir/Group',
    body: {
      resourceType: 'Group',
      type: 'person',
      actual: true,
      member: [{ entity: { reference: one('patient') } }],
    },
  })
  service.clock.advance(1_000)
  const since = service.service.context.now().toISOString()
  service.clock.advance(1_000)
  for (const place of [one, two])
    await service.send(sender, { method: 'DELETE', url: `/fhir/${place('walking-alone')}` })
  service.clock.advance(1_000)

  const { manifest } = await exported(
    `Group/${String(resource(made)['id'])}/$export?_since=${since}`,
    sender,
  )
  const told = await lines(manifest.deleted[0]?.url ?? '', sender)

  expect(told.map((line) => JSON.stringify(line['entry']))).toEqual([
    JSON.stringify([{ request: { method: 'DELETE', url: one('walking-alone') } }]),
  ])
})

test('the token of the fetch decides, not that of the kick-off', async () => {
  const clientId = 'one-client'
  const of = (scope: string) =>
    service.who({ clinicId: staff.clinicId, clientId, scope: `system/Patient.rs ${scope}` })
  const status = await kickOff('$export?_type=Patient,Observation', await of('system/*.rs'))
  const { output } = await manifestOf(status, await of('system/*.rs'))
  const narrow = await of('system/Observation.s')

  expect(output.map(({ type }) => type)).toEqual(['Patient', 'Observation'])
  expect((await manifestOf(status, narrow)).output.map(({ type }) => type)).toEqual(['Patient'])
  expect((await get(output[1]?.url ?? '', narrow)).status).toBe(403)
  expect((await get(output[0]?.url ?? '', narrow)).status).toBe(200)
})

test('too many files at once: 429, with the time to wait', async () => {
  const who = await service.who(staff)
  const status = await kickOff('$export?_type=Patient', who)
  const { output } = await manifestOf(status, who)
  const { copies } = service.service.context
  const held = await Promise.all(
    [1, 2].map(() =>
      copies.copy({ clinicId: who.clinicId }, { text: 'copy (select 1) to stdout', settings: {} }),
    ),
  )

  const answer = await get(output[0]?.url ?? '', who)
  for (const stream of held) stream?.destroy()

  expect([answer.status, issues(answer)[0]?.code]).toEqual([429, 'throttled'])
  expect(Number(answer.headers['retry-after'])).toBeGreaterThan(0)
  expect((await get(output[0]?.url ?? '', who)).status).toBe(200)
})
