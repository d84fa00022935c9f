import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { openService } from '../../src/service.ts'
import { DEMO } from '../../src/services/clinic-setup.ts'
import { startEmbedded } from '../../src/storage/embedded.ts'
import { Dice } from '../helpers/any-request.ts'
import { hostileRun } from '../helpers/hostile-run.ts'
import { MutatedRequests } from '../helpers/mutated-requests.ts'
import { watchdog } from '../helpers/watchdog.ts'

// 100,000 requests, nearly honest and not at all; FUZZ_SEED begins elsewhere.

const REQUESTS = Number(process.env['FUZZ_REQUESTS'] ?? 100_000)
const SEED = Number(process.env['FUZZ_SEED'] ?? 4_011)
const PARTS = 10
const EACH = Math.ceil(REQUESTS / PARTS)
const LONGEST_MS = 2_000
/** A process that stands still this long will not come back. */
const STANDSTILL_MS = 20_000
const MB = 1_048_576

/** What is held after everything that is not needed was let go, where node was started with --expose-gc. */
function heapMb(): number {
  globalThis.gc?.()
  return Math.round(process.memoryUsage().heapUsed / MB)
}

const dataDir = mkdtempSync(join(tmpdir(), 'footing-fuzz-'))
const server = await startEmbedded({ dataDir })
const ids = new Dice(SEED)
const hex = (digits: number) =>
  ids
    .below(16 ** digits)
    .toString(16)
    .padStart(digits, '0')
const service = await openService({
  databaseUrl: server.url,
  origin: 'http://127.0.0.1:3919',
  tokenIssuer: undefined,
  tokenLifetimeSeconds: 360_000,
  poolSize: 4,
  statementTimeoutMs: 10_000,
  answerLanguage: 'en',
  // The same seed gives the same ids, so that a fault is found again.
  newId: () => `${hex(8)}-${hex(4)}-4${hex(3)}-8${hex(3)}-${hex(6)}${hex(6)}`,
})
const token = await service.tokens.issue(
  {
    clinicId: DEMO.clinic.clinicId,
    partnerId: undefined,
    clientId: DEMO.clients.staff,
    scope: 'system/*.cruds',
  },
  { tokenId: 'fuzz', nowS: Math.floor(Date.now() / 1000) },
)
const total = new Map<number, number>()
const faults: string[] = []
const dog = watchdog(STANDSTILL_MS)
const before = heapMb()
try {
  for (let part = 0; part < PARTS; part += 1) {
    const started = performance.now()
    const run = await hostileRun(service.app, {
      source: new MutatedRequests(new Dice(SEED + part), token),
      requests: EACH,
      longestMs: LONGEST_MS,
      begun: (index) => dog.seen(part * EACH + index),
    })
    for (const [status, count] of run.statuses) total.set(status, (total.get(status) ?? 0) + count)
    faults.push(...run.faults.map((fault) => `seed ${SEED + part}: ${fault}`))
    const resident = Math.round(process.memoryUsage().rss / MB)
    const seconds = Math.round((performance.now() - started) / 1_000)
    process.stdout.write(
      `${(part + 1) * EACH} requests, ${seconds} s, heap ${heapMb()} MB (${before} MB before), ${resident} MB resident, ${faults.length} faults\n`,
    )
  }
  const counts = [...total]
    .toSorted(([a], [b]) => a - b)
    .map(([status, count]) => `${status}: ${count}`)
  process.stdout.write(
    `${counts.join(', ')}\n${faults.length} faults\n${faults.slice(0, 60).join('\n')}\n`,
  )
} finally {
  dog.stop()
  await service.close()
  await server.stop()
  rmSync(dataDir, { recursive: true, force: true })
}
process.exitCode = faults.length === 0 ? 0 : 1
