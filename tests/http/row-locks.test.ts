import { setTimeout as delay } from 'node:timers/promises'
import { Client } from 'pg'
import { beforeAll, expect, test } from 'vitest'
import { referralParts } from '../helpers/referral.ts'
import {
  issues,
  keptAs,
  resource,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// A row that somebody else holds, and a transaction that forgets to go on: both end by the database's own limits,
// and whoever waited is told to come again.

const STATEMENT_TIMEOUT_MS = 600

let service: TestService
let partner: Who
let patient: string

beforeAll(async () => {
  service = await testService({ statementTimeoutMs: STATEMENT_TIMEOUT_MS })
  ;({ partner } = await service.clinic())
  const parts = referralParts({ key: 'locks' })
  patient = keptAs(await service.refer(partner, parts), parts, 'patient')
  return service.close
})

/** Another session that holds what the statement locks until the work is done. */
async function whileHeld<T>(
  { statement, values }: { readonly statement: string; readonly values: readonly unknown[] },
  work: () => Promise<T>,
): Promise<T> {
  const holder = new Client({ connectionString: service.url })
  await holder.connect()
  await holder.query('begin')
  await holder.query(statement, [...values])
  try {
    return await work()
  } finally {
    await holder.query('rollback')
    await holder.end()
  }
}

const read = () => service.send(partner, { url: `/fhir/${patient}` })
const language = async () => resource(await read())['language']
const renamed = async (to: string) =>
  service.send(partner, {
    method: 'PATCH',
    url: `/fhir/${patient}`,
    headers: { 'content-type': 'application/json-patch+json' },
    body: [{ op: 'add', path: '/language', value: to }],
  })

const ROW = () => ({
  statement: 'select 1 from resources where clinic_id = $1 and type = $2 and id = $3 for update',
  values: [partner.clinicId, 'Patient', patient.split('/')[1] ?? ''],
})
const CHANGE = () => ({
  statement: 'select pg_advisory_xact_lock(hashtextextended($1, 0))',
  values: [`update ${partner.clinicId} ${patient}`],
})

test.each([
  ['the row of a resource', ROW],
  ['the right to change a resource', CHANGE],
])(
  'while another session holds %s a change is 503, and reads are answered',
  async (_what, held) => {
    const before = await language()

    const [answer, reading] = await whileHeld(held(), async () => [
      await renamed('es'),
      await read(),
    ])

    expect(answer.status).toBe(503)
    expect(['timeout', 'transient']).toContain(issues(answer)[0]?.code)
    expect(Number(answer.headers['retry-after'])).toBeGreaterThanOrEqual(1)
    expect(reading.status).toBe(200)
    expect(await language()).toBe(before)
  },
)

test('once it is let go the same change is taken, on connections as good as before', async () => {
  await whileHeld(ROW(), () => renamed('fr'))

  const answers = await Promise.all(Array.from({ length: 8 }, () => read()))
  const changed = await renamed('fr')

  expect(answers.map(({ status }) => status)).toEqual(Array.from({ length: 8 }, () => 200))
  expect(changed.status).toBe(200)
  expect(await language()).toBe('fr')
})

test('a transaction that is left idle is ended by the database, and its connection is not lent again', async () => {
  const { db } = service.service.context
  const idle = db.inClinic({ clinicId: partner.clinicId }, async (tx) => {
    await tx.query({
      text: `select set_config('idle_in_transaction_session_timeout', '40', true)`,
    })
    await delay(400)
    await tx.query({ text: 'select 1' })
  })

  await expect(idle).rejects.toMatchObject({ name: 'DatabaseFailure' })
  const answers = await Promise.all(Array.from({ length: 12 }, () => read()))
  expect(answers.map(({ status }) => status)).toEqual(Array.from({ length: 12 }, () => 200))
  expect((await renamed('de')).status).toBe(200)
})
