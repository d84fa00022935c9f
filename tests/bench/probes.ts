import { randomUUID } from 'node:crypto'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Client } from 'pg'
import { openService } from '../../src/service.ts'
import { startEmbedded } from '../../src/storage/embedded.ts'
import { Dice } from '../helpers/any-request.ts'
import { compartments, type Planting } from '../helpers/compartments.ts'
import { probeRun, sendTo } from '../helpers/probe-run.ts'
import type { Who } from '../helpers/service.ts'

// 200,000 generated requests by everybody after what everybody else has, in process; the count is printed.
// PROBE_SEED begins elsewhere, PROBES sends another number.

const PROBES = Number(process.env['PROBES'] ?? 200_000)
const SEED = Number(process.env['PROBE_SEED'] ?? 5_002)
/** Each with two clinics of its own; they are asked at the same time. */
const WORLDS = 3
const PARTS = 20
/** The clock stands, so that two answers to one question are the same. */
const AT = new Date()

const dataDir = mkdtempSync(join(tmpdir(), 'footing-probes-'))
const server = await startEmbedded({ dataDir })
const service = await openService({
  databaseUrl: server.url,
  origin: 'https://footing-test.example',
  tokenIssuer: undefined,
  tokenLifetimeSeconds: 360_000,
  poolSize: 8,
  statementTimeoutMs: 10_000,
  answerLanguage: 'en',
  now: () => AT,
})
const owner = new Client({ connectionString: server.url })
await owner.connect()

async function who(clinicId: string, partnerId?: string): Promise<Who> {
  const clientId = `client-of-${partnerId ?? clinicId}`
  if (partnerId !== undefined)
    await owner.query(
      `insert into partners (clinic_id, partner_id, name, created_at, regime)
      values ($1, $2, 'An invented partner', now(), 'hipaa')`,
      [clinicId, partnerId],
    )
  await owner.query(
    `insert into clients (clinic_id, client_id, partner_id, name, scope, created_at)
    values ($1, $2, $3, 'An invented system', 'system/*.cruds', now())`,
    [clinicId, clientId, partnerId ?? null],
  )
  const token = await service.tokens.issue(
    { clinicId, partnerId, clientId, scope: 'system/*.cruds' },
    { tokenId: randomUUID(), nowS: Math.floor(AT.getTime() / 1000) },
  )
  return { clinicId, clientId, token, ...(partnerId === undefined ? {} : { partnerId }) }
}

const planting: Planting = {
  service,
  clinic: async () => {
    const clinicId = randomUUID()
    return {
      staff: await who(clinicId),
      partner: await who(clinicId, randomUUID()),
      other: await who(clinicId, randomUUID()),
    }
  },
}

const leaks: string[] = []
const statuses = new Map<number, number>()
let probes = 0
let compared = 0
const started = performance.now()
try {
  const worlds = []
  for (let world = 0; world < WORLDS; world += 1) worlds.push(await compartments(planting))
  await owner.query('analyze')
  for (let part = 0; part < PARTS; part += 1) {
    const runs = await Promise.all(
      worlds.map((world, index) =>
        probeRun(sendTo(service.app), world, {
          probes: Math.ceil(PROBES / PARTS / WORLDS),
          dice: new Dice(SEED + part * WORLDS + index),
        }),
      ),
    )
    for (const run of runs) {
      probes += run.probes
      compared += run.compared
      leaks.push(...run.leaks)
      for (const [status, count] of run.statuses)
        statuses.set(status, (statuses.get(status) ?? 0) + count)
    }
    const seconds = (performance.now() - started) / 1_000
    process.stdout.write(
      `${probes} probes and ${compared} comparisons, ${Math.round(seconds)} s, ${Math.round((probes + compared) / seconds)} requests a second, ${leaks.length} leaks\n`,
    )
  }
  const counts = [...statuses]
    .toSorted(([a], [b]) => a - b)
    .map(([status, count]) => `${status}: ${count}`)
  process.stdout.write(`${counts.join(', ')}\n${leaks.slice(0, 40).join('\n')}\n`)
  process.stdout.write(`${probes} probes, ${leaks.length} leaks\n`)
} finally {
  await owner.end()
  await service.close()
  await server.stop()
  rmSync(dataDir, { recursive: true, force: true })
}
process.exitCode = leaks.length === 0 ? 0 : 1
