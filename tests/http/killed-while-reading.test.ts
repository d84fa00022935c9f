import { setTimeout } from 'node:timers/promises'
import { Client } from 'pg'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { testDatabase, type TestDatabase } from '../helpers/database.ts'
import { freePort, type RunningService, startService, tokenOf } from '../helpers/killed-service.ts'

// What was answered was recorded before, whenever the process is killed: the record is durable before the
// answer leaves. More kills with KILLS=10.

const KILLS = Number(process.env['KILLS'] ?? 3)
const READERS = 32
const WRITERS = 4

let database: TestDatabase
let client: Client
let port: number
let token: string

beforeAll(async () => {
  database = await testDatabase()
  client = new Client({ connectionString: database.url })
  await client.connect()
  port = await freePort()
})
afterAll(async () => {
  await client.end()
  await database.drop()
})

/** Of every request whose answer was read to its end: its name, and what it made. */
interface Acknowledged {
  readonly request: string
  readonly location: string | undefined
}

async function underLoad(
  { origin, kill }: RunningService,
  round: number,
  place: string,
): Promise<Acknowledged[]> {
  const acknowledged: Acknowledged[] = []
  const end = new AbortController()
  const ask = async (request: string, init: RequestInit, path: string): Promise<void> => {
    const headers = {
      authorization: `Bearer ${token}`,
      'content-type': 'application/fhir+json',
      'x-request-id': request,
    }
    const response = await fetch(`${origin}/fhir/${path}`, { ...init, headers })
    await response.text()
    // Too much at once for this machine: nothing was answered, so nothing is owed.
    if (response.status === 503) return setTimeout(50)
    if (response.status >= 500) throw new Error(`answered with ${response.status}`)
    const location = response.headers.get('location') ?? undefined
    acknowledged.push({ request, location: location?.split('/fhir/')[1] })
  }
  const loop = async (name: string, init: RequestInit, path: string): Promise<void> => {
    for (let count = 0; !end.signal.aborted; count += 1)
      try {
        await ask(`${name}-${round}-${count}`, init, path)
      } catch (error) {
        // Once it is killed, whatever was on its way gets no answer.
        if (!end.signal.aborted) throw error
      }
  }
  const body = JSON.stringify({ resourceType: 'Organization', name: 'An invented practice' })
  const loops = [
    ...Array.from({ length: READERS }, (_, index) => loop(`read-${index}`, {}, place)),
    ...Array.from({ length: WRITERS }, (_, index) =>
      loop(`write-${index}`, { method: 'POST', body }, 'Organization'),
    ),
  ]
  // At no moment that means anything to the service: some time after it has begun to answer.
  await expect.poll(() => acknowledged.length, { timeout: 60_000 }).toBeGreaterThan(100)
  await setTimeout(37 * round)
  end.abort()
  await kill()
  await Promise.all(loops)
  return acknowledged
}

const unrecorded = async (requests: readonly string[]): Promise<string[]> => {
  const { rows } = await client.query<{ request: string }>(
    `select sent.request from unnest($1::text[]) sent(request)
    where sent.request not in (select record::jsonb ->> 'request' from audit_log)`,
    [requests],
  )
  return rows.map(({ request }) => request)
}

test('a service that is killed has recorded every read and every write that it answered', async () => {
  let service = await startService(database.url, port)
  token = tokenOf(database.url, port, 'demo-staff')
  const made = await fetch(`${service.origin}/fhir/Organization`, {
    method: 'POST',
    headers: { authorization: `Bearer ${token}`, 'content-type': 'application/fhir+json' },
    body: JSON.stringify({ resourceType: 'Organization', name: 'An invented practice' }),
  })
  const place = /Organization\/[^/]+/.exec(made.headers.get('location') ?? '')?.[0] ?? ''
  const acknowledged: Acknowledged[] = []
  for (let round = 0; round < KILLS; round += 1) {
    if (round > 0) service = await startService(database.url, port)
    acknowledged.push(...(await underLoad(service, round, place)))
  }

  expect(await unrecorded(acknowledged.map(({ request }) => request))).toEqual([])
  // The checker sees what is missing.
  expect(await unrecorded(['never-sent'])).toEqual(['never-sent'])

  const kept = await client.query<{ place: string }>(
    `select type || '/' || id || '/_history/' || version as place from resource_versions`,
  )
  const places = new Set(kept.rows.map((row) => row.place))
  const lost = acknowledged.filter(
    ({ location }) => location !== undefined && !places.has(location),
  )
  expect(lost).toEqual([])
}, 300_000)
