import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { DEMO } from '../../src/services/clinic-setup.ts'
import { openService } from '../../src/service.ts'
import { startEmbedded } from '../../src/storage/embedded.ts'
import { hostileRun } from '../helpers/hostile-run.ts'

// 100,000 requests that no honest client sends; FUZZ_SEED begins elsewhere.

const REQUESTS = Number(process.env['FUZZ_REQUESTS'] ?? 100_000)
const SEED = Number(process.env['FUZZ_SEED'] ?? 4_011)
const PARTS = 10
const MB = 1_048_576

const dataDir = mkdtempSync(join(tmpdir(), 'footing-fuzz-'))
const server = await startEmbedded({ dataDir })
const service = await openService({
  databaseUrl: server.url,
  origin: 'http://127.0.0.1:3919',
  tokenIssuer: undefined,
  tokenLifetimeSeconds: 36_000,
  poolSize: 4,
  statementTimeoutMs: 10_000,
  answerLanguage: 'en',
})
const token = await service.tokens.issue(
  {
    clinicId: DEMO.clinic.clinicId,
    partnerId: undefined,
    clientId: 'fuzz',
    scope: 'system/*.cruds',
  },
  { tokenId: 'fuzz', nowS: Math.floor(Date.now() / 1000) },
)
const total = new Map<number, number>()
const faults: string[] = []
try {
  for (let part = 0; part < PARTS; part += 1) {
    const run = await hostileRun(service.app, {
      token,
      seed: SEED + part,
      requests: REQUESTS / PARTS,
      longestMs: 2_000,
    })
    for (const [status, count] of run.statuses) total.set(status, (total.get(status) ?? 0) + count)
    faults.push(...run.faults)
    const memory = Math.round(process.memoryUsage().rss / MB)
    process.stdout.write(`${(part + 1) * (REQUESTS / PARTS)} requests, ${memory} MB resident\n`)
  }
  const counts = [...total]
    .toSorted(([a], [b]) => a - b)
    .map(([status, count]) => `${status}: ${count}`)
  process.stdout.write(
    `${counts.join(', ')}\n${faults.length} faults\n${faults.slice(0, 20).join('\n')}\n`,
  )
} finally {
  await service.close()
  await server.stop()
  rmSync(dataDir, { recursive: true, force: true })
}
process.exitCode = faults.length === 0 ? 0 : 1
