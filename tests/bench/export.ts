import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Readable } from 'node:stream'
import { setTimeout as delay } from 'node:timers/promises'
import { fileURLToPath } from 'node:url'
import { Client } from 'pg'
import { to as copyTo } from 'pg-copy-streams'
import { z } from 'zod'
import { DEMO } from '../../src/services/clinic-setup.ts'
import { readEmbedded } from '../../src/storage/embedded.ts'
import { discardedAnswer } from './discarded-answer.ts'
import { observations } from './observations.ts'
import { median } from './rounds.ts'
import { type Running, start } from './start.ts'

// A file of a bulk export over HTTP, and the same rows copied by the driver and thrown away, in turn.

const ROOT = fileURLToPath(new URL('../..', import.meta.url))
const ROWS = 400_000
const ROUNDS = 5
const SAMPLE_MS = 50
const MB = 1_048_576

const line = (name: string, value: string, wanted: string) =>
  process.stdout.write(`${name.padEnd(72)} ${value.padStart(10)}   ${wanted}\n`)

interface Measured {
  readonly bytes: number
  readonly mbPerS: number
}

/** @param read how many bytes came */
async function measured(read: () => Promise<number>): Promise<Measured> {
  const from = performance.now()
  const bytes = await read()
  return { bytes, mbPerS: bytes / MB / ((performance.now() - from) / 1_000) }
}

function discarded(stream: Readable): Promise<number> {
  let bytes = 0
  stream.on('data', (chunk: Buffer) => {
    bytes += chunk.length
  })
  return new Promise((resolve, reject) => {
    stream.once('end', () => resolve(bytes))
    stream.once('error', reject)
  })
}

const Manifest = z.object({ output: z.array(z.object({ type: z.string(), url: z.string() })) })

/** Asks for an export and waits until it is ready. @returns the address of its only file */
async function exportedFile({ origin }: Running, token: string): Promise<string> {
  const headers = { authorization: `Bearer ${token}`, prefer: 'respond-async' }
  const asked = await fetch(`${origin}/fhir/$export?_type=Observation`, { headers })
  const status = asked.headers.get('content-location') ?? ''
  for (;;) {
    const answer = await fetch(status, { headers })
    const text = await answer.text()
    if (answer.status === 200) return Manifest.parse(JSON.parse(text)).output[0]?.url ?? ''
    if (answer.status !== 202) throw new Error(text)
    await delay(1_000 * Number(answer.headers.get('retry-after')))
  }
}

/** The most memory that is seen while the work is done. */
async function mostMemory<T>(running: Running, work: () => Promise<T>): Promise<[T, number]> {
  let most = running.residentMb()
  const timer = setInterval(() => {
    most = Math.max(most, running.residentMb())
  }, SAMPLE_MS)
  try {
    return [await work(), most]
  } finally {
    clearInterval(timer)
  }
}

async function compare(running: Running, client: Client, token: string): Promise<void> {
  const url = await exportedFile(running, token)
  const file = () => measured(() => discardedAnswer(url, token))
  const copy = () =>
    measured(() =>
      discarded(
        client.query(
          copyTo(`copy (select body from resources where clinic_id = '${DEMO.clinic.clinicId}'
            and type = 'Observation' and not deleted) to stdout
            (format csv, delimiter e'\\x02', quote e'\\x01', escape e'\\x01')`),
        ),
      ),
    )
  await copy()
  await file()
  const before = running.residentMb()
  const [rounds, most] = await mostMemory(running, async () => {
    const all: { readonly file: Measured; readonly copy: Measured }[] = []
    for (let round = 0; round < ROUNDS; round += 1)
      all.push({ copy: await copy(), file: await file() })
    return all
  })
  for (const round of rounds)
    if (round.file.bytes !== round.copy.bytes) throw new Error('The two did not give the same')
  const limits = rounds.map((round) => round.copy.mbPerS)
  const ratio = median(rounds.map((round) => round.file.mbPerS / round.copy.mbPerS))
  line('bulk export over HTTP ÷ COPY discarded by Node', ratio.toFixed(2), 'at least 0.6')
  line('  over HTTP: MB/s', median(rounds.map((round) => round.file.mbPerS)).toFixed(0), '')
  line('  COPY: MB/s', median(limits).toFixed(0), '')
  line(
    '  spread of the COPY rounds',
    (Math.max(...limits) / Math.min(...limits)).toFixed(2),
    'up to 2.5, else void',
  )
  const sent = rounds.reduce((sum, round) => sum + round.file.bytes, 0) / MB
  line(
    `  memory growth of the service over ${sent.toFixed(0)} MB: MB`,
    (most - before).toFixed(0),
    'up to 64',
  )
  line('  resident memory, most: MB', most.toFixed(0), '')
}

const dataDir = mkdtempSync(join(tmpdir(), 'footing-export-'))
try {
  const running = await start(dataDir)
  try {
    const databaseUrl = await readEmbedded(dataDir)
    if (databaseUrl === undefined) throw new Error('The embedded server does not answer')
    const token = execFileSync(
      process.execPath,
      ['--import', 'tsx', 'src/token-command.ts', DEMO.clients.staff, '--lifetime', '3600'],
      { cwd: ROOT, encoding: 'utf8', env: { ...process.env, DATA_DIR: dataDir } },
    ).trim()
    const client = new Client({ connectionString: databaseUrl })
    await client.connect()
    await observations(client, DEMO.clinic.clinicId, { from: 0, to: ROWS })
    await client.query('vacuum analyze resources')
    await compare(running, client, token)
    await client.end()
  } finally {
    await running.stop()
  }
} finally {
  rmSync(dataDir, { recursive: true, force: true })
}
