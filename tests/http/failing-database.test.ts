import { Client } from 'pg'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { pino } from 'pino'
import { identifierOf, referralParts } from '../helpers/referral.ts'
import { issues, keptAs, type TestService, testService, type Who } from '../helpers/service.ts'

// What happens when the database is slow, busy or away, and that nobody reads the inside of it.

const STATEMENT_TIMEOUT_MS = 700

const lines: string[] = []
let service: TestService
let partner: Who
let patient: string

beforeAll(async () => {
  service = await testService({
    statementTimeoutMs: STATEMENT_TIMEOUT_MS,
    logger: pino({ level: 'trace' }, { write: (line: string) => lines.push(line) }),
  })
  ;({ partner } = await service.clinic())
  const parts = referralParts({ key: 'outage' })
  patient = keptAs(await service.refer(partner, parts), parts, 'patient')
})
afterAll(() => service.close())

const INSIDE =
  /\bselect\b|\binsert\b|\bupdate [a-z_]+\b|\bfrom [a-z_]+\b|resource_versions|audit_log|\$\d|SQLSTATE|\b57014\b|\b55P03\b|ECONN|node_modules|file:|\.ts\b|\bat [A-Za-z.]+ \(|127\.0\.0\.1|postgres/i

/** Another session that holds the rows of a table until it is told to go. */
async function whileLocked<T>(table: string, act: () => Promise<T>): Promise<T> {
  const holder = new Client({ connectionString: service.url })
  await holder.connect()
  await holder.query(`begin; lock table ${table} in access exclusive mode`)
  try {
    return await act()
  } finally {
    await holder.query('rollback')
    await holder.end()
  }
}
const read = () => service.send(partner, { url: `/fhir/${patient}` })
const write = () =>
  service.send(partner, {
    method: 'POST',
    url: '/fhir/Organization',
    body: {
      resourceType: 'Organization',
      identifier: [identifierOf('outage', 'canary-organization')],
      name: 'Canary of Invention',
    },
  })

test.each([
  ['a read', 'resources', () => read()],
  ['a write', 'resources', () => write()],
  ['a search', 'resources', () => service.send(partner, { url: '/fhir/Patient?family=Canary' })],
  ['the record of a read', 'audit_log', () => read()],
] as const)(
  '%s that waits too long is given up, says so without the inside, and the connection is as good as before',
  async (_what, table, act) => {
    const answer = await whileLocked(table, () => act())
    const after = await read()

    expect([400, 503]).toContain(answer.status)
    expect(['timeout', 'transient', 'too-costly']).toContain(issues(answer)[0]?.code)
    if (answer.status === 503)
      expect(Number(answer.headers['retry-after'])).toBeGreaterThanOrEqual(1)
    expect(answer.text).not.toMatch(INSIDE)
    expect(after.status).toBe(200)
  },
)

test('a write that was given up left nothing', async () => {
  const refused = await whileLocked('resource_versions', () => write())
  const found = await service.send(partner, {
    url: '/fhir/Organization?identifier=canary-organization',
  })

  expect(refused.status).toBe(503)
  expect(found.json).toMatchObject({ total: 0 })
})

test('connections that are cut are replaced: no answer shows it but 503, and the next is good', async () => {
  const cut = () =>
    service.sql(
      'select pg_terminate_backend(pid) from pg_stat_activity where datname = current_database() and pid <> pg_backend_pid()',
    )
  await cut()

  const during = await Promise.all(Array.from({ length: 12 }, () => read()))
  await expect.poll(async () => (await read()).status, { timeout: 20_000 }).toBe(200)

  for (const answer of during) {
    expect([200, 503]).toContain(answer.status)
    if (answer.status === 503) expect(answer.text).not.toMatch(INSIDE)
  }
})

test('a table that is not there is a plain 500 that tells nothing, and the log neither', async () => {
  await service.sql('alter table resource_versions rename to hidden_for_a_test')
  try {
    const answer = await service.send(partner, { url: `/fhir/${patient}/_history?_count=7` })

    expect(answer.status).toBe(500)
    expect(issues(answer)).toEqual([
      {
        severity: 'fatal',
        code: 'exception',
        details: { text: 'The service failed. Nothing was stored.' },
      },
    ])
    expect(answer.text).not.toMatch(INSIDE)
  } finally {
    await service.sql('alter table hidden_for_a_test rename to resource_versions')
  }
})

test('the log of all this names no child, no parameter and no statement', async () => {
  const log = lines.join('')

  expect(log).toContain('request could not be answered now')
  expect(log).not.toMatch(/Musterkind|canary|Canary|select |insert |outage-patient/)
})
