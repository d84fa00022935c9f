import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Client } from 'pg'
import { DEMO } from '../../src/services/clinic-setup.ts'
import { issueToken } from '../../src/services/token.ts'
import { openService, type Service } from '../../src/service.ts'
import { startEmbedded } from '../../src/storage/embedded.ts'
import { multiplyChildren } from '../helpers/many-children.ts'
import { bundleOf, referralParts } from '../helpers/referral.ts'
import { ruleSetLibrary } from '../helpers/rule-sets.ts'

// A what-if over invented children: so many are sent as referrals, and the rest are copies made by SQL, with
// the findings of their triage.

const SENT = 40
const CHILDREN = 10_000
const LIMIT_S = 60
const SAMPLE_MS = 100
const MB = 1_048_576
/** The counts stand in the last so many characters of the answer. */
const END_LENGTH = 600

const RULE_SETS = [
  { name: 'another urgency', version: 'bench.1', values: { 'urgency.windowZeroFromMonths': 50 } },
  {
    name: 'nothing shared',
    version: 'bench.2',
    values: { 'urgency.windowZeroFromMonths': 50, 'age.serviceToMonths': 42 },
  },
]

const dataDir = mkdtempSync(join(tmpdir(), 'footing-what-if-'))
const line = (name: string, value: string, wanted: string) =>
  process.stdout.write(`${name.padEnd(72)} ${value.padStart(10)}   ${wanted}\n`)

async function tokenOf({ context, tokens }: Service, clientId: string): Promise<string> {
  return issueToken({ ...context, tokens }, { clientId, scope: undefined })
}

interface Caller {
  readonly origin: string
  readonly token: string
}

async function post({ origin, token }: Caller, path: string, body: unknown): Promise<string> {
  const response = await fetch(`${origin}/fhir${path}`, {
    method: 'POST',
    headers: { authorization: `Bearer ${token}`, 'content-type': 'application/fhir+json' },
    body: JSON.stringify(body),
  })
  const text = await response.text()
  if (!response.ok) throw new Error(`${path} was not taken: ${text}`)
  return text
}

async function storeChildren(caller: Caller, databaseUrl: string): Promise<void> {
  for (let index = 0; index < SENT; index += 1) {
    const month = String((index % 12) + 1).padStart(2, '0')
    const birthDate = `${2022 + (index % 2)}-${month}-15`
    const on = new Date().toISOString().slice(0, 10)
    await post(caller, '', bundleOf(referralParts({ key: `bench-${index}`, birthDate, on })))
  }
  const client = new Client({ connectionString: databaseUrl })
  await client.connect()
  await multiplyChildren(
    (text, values) => client.query(text, values && [...values]),
    DEMO.clinic.clinicId,
    CHILDREN / SENT - 1,
  )
  await client.end()
}

/** Reads the whole answer and keeps its end alone. */
async function ask({ origin, token }: Caller, id: string) {
  const start = performance.now()
  const response = await fetch(`${origin}/fhir/Library/${id}/$what-if`, {
    headers: { authorization: `Bearer ${token}` },
  })
  const reader = response.body?.getReader()
  let bytes = 0
  let end = ''
  for (;;) {
    const chunk = await reader?.read()
    if (chunk?.value === undefined) break
    const part = Buffer.from(chunk.value as Uint8Array)
    bytes += part.length
    end = (end + part.toString('utf8')).slice(-END_LENGTH)
  }
  const count = (name: string) =>
    Number(new RegExp(`"${name}","valueInteger":(\\d+)`).exec(end)?.[1] ?? Number.NaN)
  return {
    seconds: (performance.now() - start) / 1000,
    megabytes: bytes / MB,
    referrals: count('referrals'),
    changed: count('changed'),
  }
}

/** Asks once, watching the memory of this process: the service and its client. */
async function measure(staff: Caller, name: string, id: string): Promise<void> {
  const samples: number[] = []
  const timer = setInterval(() => samples.push(process.memoryUsage().rss / MB), SAMPLE_MS)
  const before = process.cpuUsage()
  const found = await ask(staff, id)
  const { user, system } = process.cpuUsage(before)
  clearInterval(timer)
  const half = Math.floor(samples.length / 2)
  const most = (part: readonly number[]) => Math.max(...part).toFixed(0)
  line(`what-if, ${name}: referrals`, String(found.referrals), String(CHILDREN))
  line('  of them changed', String(found.changed), '')
  line('  seconds', found.seconds.toFixed(1), `under ${LIMIT_S}`)
  line('  as a share of that limit', (found.seconds / LIMIT_S).toFixed(2), 'under 1')
  line('  processor time of the service and its client: s', ((user + system) / 1e6).toFixed(1), '')
  line('  answer: MB', found.megabytes.toFixed(1), '')
  line('  resident memory, most in the first half: MB', most(samples.slice(0, half)), '')
  line('  most in the second half: MB', most(samples.slice(half)), 'no more')
}

const server = await startEmbedded({ dataDir })
try {
  const service = await openService({
    databaseUrl: server.url,
    origin: 'http://127.0.0.1:0',
    tokenIssuer: undefined,
    tokenLifetimeSeconds: 3_600,
    poolSize: 4,
    statementTimeoutMs: 600_000,
    answerLanguage: 'en',
  })
  const origin = await service.app.listen({ port: 0, host: '127.0.0.1' })
  const partner = { origin, token: await tokenOf(service, DEMO.clients.partner) }
  const staff = { origin, token: await tokenOf(service, DEMO.clients.staff) }
  const stored = performance.now()
  await storeChildren(partner, server.url)
  line('storing the children: s', ((performance.now() - stored) / 1000).toFixed(0), '')
  for (const { name, version, values } of RULE_SETS) {
    const library = await post(staff, '/Library', ruleSetLibrary({ version, values }))
    await measure(staff, name, /"id":"([^"]+)"/.exec(library)?.[1] ?? '')
  }
  await service.close()
} finally {
  await server.stop()
  rmSync(dataDir, { recursive: true, force: true })
}
