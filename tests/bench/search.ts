import { mkdtempSync, rmSync } from 'node:fs'
import { Agent } from 'node:http'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Client } from 'pg'
import { DEMO } from '../../src/services/clinic-setup.ts'
import { issueToken } from '../../src/services/token.ts'
import { openService } from '../../src/service.ts'
import { startEmbedded } from '../../src/storage/embedded.ts'
import { getText } from './get-text.ts'
import { childId, CODES, observations, SYSTEM } from './observations.ts'
import { median } from './rounds.ts'

// Searches over a million invented observations, over HTTP and by the driver, in turn.

const SMALL = 10_000
const LARGE = 1_000_000
const ROUNDS = 300
const PAGE = 20
const FAR_PAGE = 1_000

const dataDir = mkdtempSync(join(tmpdir(), 'footing-search-'))
const line = (name: string, value: string, wanted: string) =>
  process.stdout.write(`${name.padEnd(72)} ${value.padStart(10)}   ${wanted}\n`)

async function timed(work: () => Promise<unknown>): Promise<number> {
  const start = performance.now()
  await work()
  return performance.now() - start
}

const SAME = `select body from resources where clinic_id = $1 and type = 'Observation' and not deleted
  and patient_id = $2 and code_system = $3 and code = $4 and date_start >= $5
  order by created_at desc, id desc limit 51`

const server = await startEmbedded({ dataDir })
const client = new Client({ connectionString: server.url })
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
try {
  const clinicId = DEMO.clinic.clinicId
  const { context, tokens } = service
  const token = await issueToken(
    { ...context, tokens },
    { clientId: 'demo-staff', scope: undefined },
  )
  const origin = await service.app.listen({ port: 0 })
  const agent = new Agent({ keepAlive: true, maxSockets: 1 })
  const get = async (path: string): Promise<string> => {
    const url = path.startsWith('http') ? path : `${origin}/fhir/${path}`
    return getText(url.replace('http://127.0.0.1:3918', origin), {
      agent,
      headers: { authorization: `Bearer ${token}` },
    })
  }

  await observations(client, clinicId, { from: 0, to: SMALL })
  const small = await patientCodeDate(get, client, { clinicId, children: SMALL / 100 })
  await observations(client, clinicId, { from: SMALL, to: LARGE })
  const large = await patientCodeDate(get, client, { clinicId, children: LARGE / 100 })

  line(
    'search patient+code+date over HTTP ÷ the same SQL, p50, at 10^6',
    large.ratio.toFixed(2),
    'up to 3',
  )
  line('  over HTTP: ms', large.overHttp.toFixed(2), '')
  line('  by the driver: ms', large.byDriver.toFixed(2), '')
  line('  p50 at 10^6 ÷ at 10^4', (large.overHttp / small.overHttp).toFixed(2), 'up to 2')

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
  await service.close()
  await server.stop()
  rmSync(dataDir, { recursive: true, force: true })
}

async function patientCodeDate(
  get: (path: string) => Promise<string>,
  by: Client,
  { clinicId, children }: { readonly clinicId: string; readonly children: number },
): Promise<{ readonly ratio: number; readonly overHttp: number; readonly byDriver: number }> {
  const overHttp: number[] = []
  const byDriver: number[] = []
  for (let round = 0; round < ROUNDS; round += 1) {
    const child = childId((round * 7919) % children)
    const code = `code-${round % CODES}`
    const from = '2022-01-01'
    overHttp.push(
      await timed(() =>
        get(`Observation?patient=Patient/${child}&code=${SYSTEM}|${code}&date=ge${from}`),
      ),
    )
    byDriver.push(
      await timed(() =>
        by.query({ name: 'same', text: SAME, values: [clinicId, child, SYSTEM, code, from] }),
      ),
    )
  }
  const ofHttp = median(overHttp)
  const ofDriver = median(byDriver)
  return { ratio: ofHttp / ofDriver, overHttp: ofHttp, byDriver: ofDriver }
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
