import { setTimeout as delay } from 'node:timers/promises'
import { beforeAll, beforeEach, expect, test } from 'vitest'
import { z } from 'zod'
import { type TestService, testService, type Who } from '../helpers/service.ts'

// A file of an export over a real connection, larger than the buffers on the way.

const ROWS = 20_000

let service: TestService
let origin: string
let staff: Who

beforeAll(async () => {
  service = await testService()
  ;({ staff } = await service.clinic())
  origin = await service.service.app.listen({ port: 0, host: '127.0.0.1' })
  // Invented rows of some 4 kB, as the owner writes them.
  await service.sql(
    `insert into resources (clinic_id, type, id, version, partner_id, deleted, body, updated_at, created_at)
    select $1, 'Observation', 'invented-' || n, 1, null, false, json_build_object(
      'resourceType', 'Observation', 'id', 'invented-' || n, 'status', 'final',
      'code', json_build_object('text', repeat('invented ', 450)))::text, at, at
    from generate_series(1, ${ROWS}) n, (select timestamptz '2026-01-01' as at) one`,
    [staff.clinicId],
  )
  return service.close
})
beforeEach(nothingGoesOn)

const ask = (path: string, signal?: AbortSignal): Promise<Response> =>
  fetch(`${origin}${path}`, {
    headers: { authorization: `Bearer ${staff.token}` },
    ...(signal === undefined ? {} : { signal }),
  })
const Manifest = z.object({ output: z.array(z.object({ url: z.string() })) })

/** The path of the only file of an export. */
async function fileOf(query: string): Promise<string> {
  const started = await service.send(staff, { url: `/fhir/$export?${query}` })
  const status = new URL(String(started.headers['content-location'])).pathname
  for (;;) {
    const answer = await service.send(staff, { url: status })
    if (answer.status === 200)
      return new URL(Manifest.parse(answer.json).output[0]?.url ?? '').pathname
    expect(answer.status, answer.text).toBe(202)
    service.clock.advance(1_000 * Number(answer.headers['retry-after']))
    await delay(20)
  }
}

const goingOn = () =>
  service.sql<{ pid: number }>(
    `select pid from pg_stat_activity
    where application_name = 'footing-export' and datname = current_database()`,
  )
/** A test that waits in vain runs out of time. */
async function nothingGoesOn(): Promise<void> {
  while ((await goingOn()).length > 0) await delay(20)
}

test('every line comes, each once, and nothing more', async () => {
  const answer = await ask(await fileOf('_type=Observation'))
  const text = await answer.text()
  const ids = text
    .split('\n')
    .slice(0, -1)
    .map((line) => z.object({ id: z.string() }).parse(JSON.parse(line)).id)

  expect(text.endsWith('\n')).toBe(true)
  expect(ids.length).toBe(ROWS)
  expect(new Set(ids).size).toBe(ROWS)
})

test('what is more than is counted is told without a count', async () => {
  const started = await service.send(staff, { url: '/fhir/$export?_type=Observation' })
  service.clock.advance(120_000)
  const status = new URL(String(started.headers['content-location'])).pathname

  const { json } = await service.send(staff, { url: status })

  expect(json).toMatchObject({ output: [{ type: 'Observation' }] })
  expect(JSON.stringify(json)).not.toContain('"count"')
})

test.each([
  ['a file', '_type=Observation'],
  [
    'a file that is narrowed',
    `_type=Observation&_typeFilter=${encodeURIComponent('Observation?status=final')}`,
  ],
])('%s is read no further when its client goes away, and others can be had', async (_, query) => {
  const path = await fileOf(query)
  for (const __ of [1, 2, 3]) {
    const gone = new AbortController()
    const answer = await ask(path, gone.signal)
    expect(answer.status).toBe(200)
    await answer.body?.getReader().read()
    expect((await goingOn()).length).toBe(1)

    gone.abort()

    await nothingGoesOn()
  }
})

test('a client that goes away before there is a line ends it too', async () => {
  const filter = encodeURIComponent('Observation?status=amended')
  const path = await fileOf(`_type=Observation&_typeFilter=${filter}`)
  const gone = new AbortController()
  const asked = ask(path, gone.signal).catch((error: unknown) => error)
  while ((await goingOn()).length === 0) await delay(1)

  gone.abort()

  expect(await asked).toMatchObject({ name: 'AbortError' })
  await nothingGoesOn()
})

test('a file that the database breaks off is cut off, so that nobody takes it for the whole', async () => {
  const answer = await ask(await fileOf('_type=Observation'))
  const reader = answer.body?.getReader()
  await reader?.read()
  await service.sql('select pg_terminate_backend($1)', [(await goingOn())[0]?.pid])

  const rest = async () => {
    while ((await reader?.read())?.done === false);
  }

  await expect(rest()).rejects.toThrow(/terminated/)
})
