import { mkdtempSync, rmSync } from 'node:fs'
import { Agent } from 'node:http'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Client } from 'pg'
import { DEMO } from '../../src/services/clinic-setup.ts'
import { issueToken } from '../../src/services/token.ts'
import { parseQuery } from '../../src/fhir/query.ts'
import { rowOf } from '../../src/fhir/registry.ts'
import { openService } from '../../src/service.ts'
import { startEmbedded } from '../../src/storage/embedded.ts'
import { pageStatement } from '../../src/storage/search-page.ts'
import { getText } from './get-text.ts'
import { childId, CODES, observations, SYSTEM } from './observations.ts'
import { median } from './rounds.ts'
import { serviceVariant } from './service-variant.ts'

// Searches over a million invented observations, over HTTP and by the driver, in turn.

const SMALL = 10_000
const LARGE = 1_000_000
const ROUNDS = 300
const PAGE = 20
const FAR_PAGE = 1_000

const SIDES = ['overHttp', 'unrecorded', 'same', 'bare'] as const

/** Who asks first finds a child whose data nobody has touched: each side does so equally often. */
const inTurn = (round: number): readonly (keyof Times)[] =>
  SIDES.map((_, place) => SIDES[(round + place) % SIDES.length] ?? 'same')

const dataDir = mkdtempSync(join(tmpdir(), 'footing-search-'))
const line = (name: string, value: string, wanted: string) =>
  process.stdout.write(`${name.padEnd(72)} ${value.padStart(10)}   ${wanted}\n`)

async function timed(work: () => Promise<unknown>): Promise<number> {
  const start = performance.now()
  await work()
  return performance.now() - start
}

/** The least that could answer: no role, no policy, no further codings, no precision of dates. */
const BARE = `select body from resources where clinic_id = $1 and type = 'Observation' and not deleted
  and patient_id = $2 and code_system = $3 and code = $4 and date_start >= $5
  order by created_at desc, id desc limit 51`
const ENTER = `select set_config('role', 'app_service', true), set_config('app.clinic', $1, true),
  set_config('app.partner', '', true), set_config('app.author', '', true), set_config('app.now', $2, true),
  set_config('app.narrowed', '', true)`

const server = await startEmbedded({ dataDir })
const client = new Client({ connectionString: server.url, pipeline: true })
await client.connect()
const service = await openService({
  databaseUrl: server.url,
  origin: 'http://127.0.0.1:3918',
  tokenIssuer: undefined,
  tokenLifetimeSeconds: 3600,
  poolSize: 4,
  statementTimeoutMs: 60_000,
  answerLanguage: 'en',
  corsOrigins: [],
})
const unrecorded = await serviceVariant(service, 'no-audit')
try {
  const clinicId = DEMO.clinic.clinicId
  const { context, tokens } = service
  const token = await issueToken(
    { ...context, tokens },
    { clientId: 'demo-staff', scope: undefined },
  )
  const getting = (origin: string): Get => {
    const agent = new Agent({ keepAlive: true, maxSockets: 1 })
    const headers = { authorization: `Bearer ${token}` }
    return (path) => {
      const url = path.startsWith('http') ? path : `${origin}/fhir/${path}`
      return getText(url.replace('http://127.0.0.1:3918', origin), { agent, headers })
    }
  }
  const get = getting(await service.app.listen({ port: 0 }))
  const getUnrecorded = getting(await unrecorded.listen({ port: 0 }))

  await observations(client, clinicId, { from: 0, to: SMALL })
  const small = await patientCodeDate({ get, getUnrecorded }, client, {
    clinicId,
    children: SMALL / 100,
  })
  await observations(client, clinicId, { from: SMALL, to: LARGE })
  const large = await patientCodeDate({ get, getUnrecorded }, client, {
    clinicId,
    children: LARGE / 100,
  })

  const against = (of: readonly number[], { same }: Times): string =>
    median(of.map((ms, round) => ms / (same[round] ?? ms))).toFixed(2)
  for (const [size, times] of [
    ['10^4', small],
    ['10^6', large],
  ] as const) {
    const work = `search patient+code+date over HTTP ÷ the same SQL, p50, at ${size}`
    line(work, against(times.overHttp, times), 'up to 3')
    line('  without its record in the log', against(times.unrecorded, times), 'up to 3')
  }
  line('  over HTTP: ms', median(large.overHttp).toFixed(2), '')
  line(
    '  the same SQL as the service has it, in its role and transaction: ms',
    median(large.same).toFixed(2),
    '',
  )
  line('  a bare SELECT of the same rows: ms', median(large.bare).toFixed(2), '')
  line(
    '  p50 at 10^6 ÷ at 10^4',
    (median(large.overHttp) / median(small.overHttp)).toFixed(2),
    'up to 2',
  )

  const query = `Observation?code=${SYSTEM}|code-3&_count=${PAGE}`
  const far = await nthPage(get, query, FAR_PAGE)
  const firsts: number[] = []
  const fars: number[] = []
  for (let round = 0; round < 100; round += 1) {
    firsts.push(await timed(() => get(query)))
    fars.push(await timed(() => get(far)))
  }
  line(
    `page ${FAR_PAGE} ÷ page 1 of a search by code`,
    (median(fars) / median(firsts)).toFixed(2),
    'up to 3',
  )
  line('  page 1: ms', median(firsts).toFixed(2), '')
} finally {
  await client.end()
  await unrecorded.close()
  await service.close()
  await server.stop()
  rmSync(dataDir, { recursive: true, force: true })
}

type Get = (path: string) => Promise<string>

/** Milliseconds of each round. */
type Times = Readonly<Record<(typeof SIDES)[number], number[]>>

async function patientCodeDate(
  { get, getUnrecorded }: { readonly get: Get; readonly getUnrecorded: Get },
  by: Client,
  { clinicId, children }: { readonly clinicId: string; readonly children: number },
): Promise<Times> {
  const times: Times = { overHttp: [], unrecorded: [], same: [], bare: [] }
  const row = rowOf('Observation')
  if (row === undefined) throw new Error('Observation is kept')
  for (let round = 0; round < ROUNDS; round += 1) {
    const child = childId((round * 7919) % children)
    const code = `code-${round % CODES}`
    const from = '2022-01-01'
    const asked = `patient=Patient/${child}&code=${SYSTEM}|${code}&date=ge${from}`
    const now = new Date().toISOString()
    const reading = { handling: 'strict', baseUrl: 'http://127.0.0.1:3918/fhir', now } as const
    const page = pageStatement(
      { clinicId },
      parseQuery(row, [...new URLSearchParams(asked)], reading),
    )
    const works: Readonly<Record<keyof Times, () => Promise<unknown>>> = {
      overHttp: () => get(`Observation?${asked}`),
      unrecorded: () => getUnrecorded(`Observation?${asked}`),
      same: () =>
        Promise.all([
          by.query('begin read only'),
          by.query({ name: 'enter', text: ENTER, values: [clinicId, now] }),
          by.query({ name: 'same', text: page.text, values: [...page.values] }),
          by.query('commit'),
        ]),
      bare: () =>
        by.query({ name: 'bare', text: BARE, values: [clinicId, child, SYSTEM, code, from] }),
    }
    for (const name of inTurn(round)) times[name].push(await timed(works[name]))
  }
  return times
}

async function nthPage(
  get: (path: string) => Promise<string>,
  first: string,
  number: number,
): Promise<string> {
  let path = first
  for (let page = 1; page < number; page += 1) {
    const next = /"relation":"next","url":"([^"]+)"/.exec(await get(path))?.[1]
    if (next === undefined) throw new Error(`There is no page ${page + 1}`)
    path = next
  }
  return path
}
