import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Client } from 'pg'
import { DEMO } from '#service/services/clinic-setup.ts'
import { issueToken } from '#service/services/token.ts'
import { openService } from '#service/service.ts'
import { startEmbedded } from '#service/storage/embedded.ts'
import { bareByDriver, type ChildSearch, childSearch, sameByDriver } from './child-search.ts'
import { observations, SYSTEM } from './observations.ts'
import { oneConnection } from './one-connection.ts'
import { median } from './rounds.ts'
import { serviceVariant } from './service-variant.ts'

// Searches over a million invented observations, over HTTP and by the driver, in turn.

const ORIGIN = 'http://127.0.0.1:3918'
const SMALL = 10_000
const LARGE = 1_000_000
const ROUNDS = 15
/** A round is so many searches of each side, one after the other. */
const SEARCHES = 50
/** Before them, so that neither side is measured while it is still being compiled. */
const WARM_UP_ROUNDS = 10
const PAGE = 20
const FAR_PAGE = 1_000

const SIDES = ['overHttp', 'unrecorded', 'same', 'bare'] as const
type Side = (typeof SIDES)[number]

/** Who asks first finds children whose data nobody has touched: each side does so equally often. */
const inTurn = (round: number): readonly Side[] =>
  SIDES.map((_, place) => SIDES[(round + place) % SIDES.length] ?? 'same')

const dataDir = mkdtempSync(join(tmpdir(), 'footing-search-'))
const line = (name: string, value: string, wanted: string) =>
  process.stdout.write(`${name.padEnd(72)} ${value.padStart(10)}   ${wanted}\n`)

async function timed(work: () => Promise<unknown>): Promise<number> {
  const start = performance.now()
  await work()
  return performance.now() - start
}

const server = await startEmbedded({ dataDir })
const client = new Client({ connectionString: server.url, pipeline: true })
await client.connect()
const service = await openService({
  databaseUrl: server.url,
  origin: ORIGIN,
  tokenIssuer: undefined,
  tokenLifetimeSeconds: 3600,
  poolSize: 4,
  statementTimeoutMs: 60_000,
  answerLanguage: 'en',
  corsOrigins: [],
})
const unrecorded = await serviceVariant(service, 'no-audit')
const { clinicId } = DEMO.clinic
const token = await issueToken(
  { ...service.context, tokens: service.tokens },
  { clientId: 'demo-staff', scope: undefined },
)
const origin = await service.app.listen({ port: 0 })
const unrecordedOrigin = await unrecorded.listen({ port: 0 })
try {
  await observations(client, clinicId, { from: 0, to: SMALL })
  const small = await patientCodeDate(SMALL / 100)
  await observations(client, clinicId, { from: SMALL, to: LARGE })
  const large = await patientCodeDate(LARGE / 100)

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
    '  spread of the rounds of the same SQL',
    (Math.max(...large.same) / Math.min(...large.same)).toFixed(2),
    'up to 2.5, else void',
  )
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

  const { get, end } = await oneConnection(origin, token)
  const query = `/fhir/Observation?code=${SYSTEM}|code-3&_count=${PAGE}`
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
  end()
  line('  page 1: ms', median(firsts).toFixed(2), '')
} finally {
  await client.end()
  await unrecorded.close()
  await service.close()
  await server.stop()
  rmSync(dataDir, { recursive: true, force: true })
}

/** Median of the milliseconds of each round. */
type Times = Readonly<Record<Side, number[]>>

/** Searches of so many children, each side after the same ones. */
async function patientCodeDate(children: number): Promise<Times> {
  await client.query('vacuum analyze')
  await client.query('checkpoint')
  // Opened for each size: the service closes what is idle while a million are written.
  const recorded = await oneConnection(origin, token)
  const beside = await oneConnection(unrecordedOrigin, token)
  const ask: Readonly<Record<Side, (asked: ChildSearch) => Promise<unknown>>> = {
    overHttp: ({ query }) => recorded.get(`/fhir/${query}`),
    unrecorded: ({ query }) => beside.get(`/fhir/${query}`),
    same: (asked) => sameByDriver(client, clinicId, asked),
    bare: (asked) => bareByDriver(client, asked),
  }
  const times: Times = { overHttp: [], unrecorded: [], same: [], bare: [] }
  for (let round = -WARM_UP_ROUNDS; round < ROUNDS; round += 1) {
    for (const side of inTurn(round + SIDES.length * WARM_UP_ROUNDS)) {
      const each: number[] = []
      for (let search = 0; search < SEARCHES; search += 1) {
        const place = (round + WARM_UP_ROUNDS) * SEARCHES + search
        const asked = childSearch(place, { clinicId, children, baseUrl: `${ORIGIN}/fhir` })
        each.push(await timed(() => ask[side](asked)))
      }
      if (round >= 0) times[side].push(median(each))
    }
  }
  recorded.end()
  beside.end()
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
    path = next.replace(ORIGIN, '')
  }
  return path
}
