import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { mkdtempSync, rmSync } from 'node:fs'
import { Agent } from 'node:http'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { fileURLToPath } from 'node:url'
import { Client } from 'pg'
import { DEMO } from '#service/services/clinic-setup.ts'
import { issueToken } from '#service/services/token.ts'
import { openService } from '#service/service.ts'
import { startEmbedded } from '#service/storage/embedded.ts'
import { getText } from './get-text.ts'
import { observations } from './observations.ts'
import { median } from './rounds.ts'

// Full reads by id (token, scope, policies, a durable audit record before the answer) over 32 connections,
// in turn with the least that reads the same text, and with the service without one of its parts.

const CONNECTIONS = 32
const REQUESTS = 2_000
const ROUNDS = 7
const READS = 1_000
const SERVER = fileURLToPath(new URL('reading-server.ts', import.meta.url))
const VARIANTS = ['full', 'bare', 'bare-pipelined', 'no-audit', 'no-token'] as const
type Variant = (typeof VARIANTS)[number]

const dataDir = mkdtempSync(join(tmpdir(), 'footing-reading-'))
const line = (name: string, value: string, wanted = '') =>
  process.stdout.write(`${name.padEnd(72)} ${value.padStart(10)}   ${wanted}\n`)

const server = await startEmbedded({ dataDir })
const client = new Client({ connectionString: server.url })
await client.connect()
const children: ChildProcess[] = []
try {
  const token = await prepared()
  const origins = new Map<Variant, string>()
  for (const variant of VARIANTS) origins.set(variant, await serve(variant))
  const rate = async (variant: Variant): Promise<number> => {
    const from = performance.now()
    await readMany(origins.get(variant) ?? '', token)
    return (REQUESTS / (performance.now() - from)) * 1_000
  }
  for (const variant of VARIANTS) await rate(variant)
  const rounds = new Map<string, number[]>(
    [...VARIANTS, 'no-policies'].map((variant) => [variant, []]),
  )
  for (let round = 0; round < ROUNDS; round += 1) {
    for (const variant of VARIANTS) rounds.get(variant)?.push(await rate(variant))
    await client.query('alter table resources disable row level security')
    rounds.get('no-policies')?.push(await rate('full'))
    await client.query('alter table resources enable row level security')
  }
  const of = (variant: string): number[] => rounds.get(variant) ?? []
  const ratio = (variant: string): string =>
    median(of('full').map((value, round) => value / (of(variant)[round] ?? 1))).toFixed(2)
  const spread = Math.max(...of('bare')) / Math.min(...of('bare'))

  line(
    'full read by id, 32 connections ÷ bare Fastify and pg (rate)',
    ratio('bare'),
    'at least 0.8',
  )
  line('  ÷ bare and pipelined', ratio('bare-pipelined'), 'at least 0.5')
  line('  audit on ÷ off', ratio('no-audit'), 'at least 0.65')
  line('  row-level security on ÷ off', ratio('no-policies'), 'at least 0.95')
  line('  token checked, cached ÷ not at all', ratio('no-token'), 'at least 0.95')
  for (const [variant, values] of rounds)
    line(`  ${variant}: requests a second`, median(values).toFixed(0))
  line('  spread of the bare rounds', spread.toFixed(2), 'up to 2.5, else void')
} finally {
  for (const child of children) child.kill('SIGTERM')
  await client.end()
  await server.stop()
  rmSync(dataDir, { recursive: true, force: true })
}

/** A migrated database with observations to read; a token of the clinic's staff. */
async function prepared(): Promise<string> {
  const service = await openService({
    databaseUrl: server.url,
    origin: 'http://127.0.0.1',
    tokenIssuer: undefined,
    tokenLifetimeSeconds: 3_600,
    poolSize: 2,
    statementTimeoutMs: 60_000,
    answerLanguage: 'en',
  })
  await observations(client, DEMO.clinic.clinicId, { from: 0, to: READS })
  const asked = { clientId: DEMO.clients.staff, scope: undefined }
  const token = await issueToken({ ...service.context, tokens: service.tokens }, asked)
  await service.close()
  return token
}

async function serve(variant: Variant): Promise<string> {
  const child = spawn(
    process.execPath,
    [
      '--max-semi-space-size=8',
      '--conditions=built',
      '--import',
      'tsx',
      SERVER,
      variant,
      server.url,
    ],
    {
      stdio: ['ignore', 'pipe', 'inherit'],
    },
  )
  children.push(child)
  const lines = createInterface({ input: child.stdout })
  const [origin] = (await once(lines, 'line')) as [string]
  return origin
}

async function readMany(origin: string, token: string): Promise<void> {
  const agent = new Agent({ keepAlive: true, maxSockets: CONNECTIONS })
  const headers = { authorization: `Bearer ${token}` }
  let next = 0
  const loop = async (): Promise<void> => {
    while (next < REQUESTS) {
      next += 1
      await getText(`${origin}/fhir/Observation/bench-${next % READS}`, { agent, headers })
    }
  }
  await Promise.all(Array.from({ length: CONNECTIONS }, loop))
  agent.destroy()
}
