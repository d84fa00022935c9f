import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { z } from 'zod'
import { median } from './rounds.ts'

const ROOT = new URL('../../', import.meta.url)
const { scripts } = z
  .object({ scripts: z.object({ start: z.string() }) })
  .parse(JSON.parse(readFileSync(new URL('package.json', ROOT), 'utf8')))
/** What `npm start` gives to node. */
const START = scripts.start.split(' ').slice(1)
const STARTS = 5
const PORT = 3_917
const ORIGIN = `http://127.0.0.1:${PORT}`

/** The service as `npm start` runs it, on a data folder. */
export interface Running {
  readonly origin: string
  readonly startMs: number
  /** Resident memory of the service process, without PostgreSQL, in MB. */
  readonly residentMb: () => number
  readonly stop: () => Promise<void>
}

export async function start(dataDir: string): Promise<Running> {
  const from = performance.now()
  const child = spawn(process.execPath, START, {
    cwd: fileURLToPath(ROOT),
    env: {
      ...process.env,
      DATA_DIR: dataDir,
      PORT: String(PORT),
      LOG_LEVEL: 'error',
      // What is measured is the service, not how much it grants to one client.
      CLIENT_REQUESTS_PER_MINUTE: '10000000',
      CLINIC_REQUESTS_PER_MINUTE: '10000000',
    },
    stdio: ['ignore', 'ignore', 'inherit'],
  })
  await answered(child)
  return {
    origin: ORIGIN,
    startMs: performance.now() - from,
    residentMb: () => residentMb(child),
    stop: async () => {
      child.kill('SIGTERM')
      await once(child, 'exit')
    },
  }
}

/** Median time from start to the first answer of the database, on a folder that exists. */
export async function startTime(dataDir: string): Promise<number> {
  const times: number[] = []
  for (let round = 0; round < STARTS; round += 1) {
    const running = await start(dataDir)
    times.push(running.startMs)
    await running.stop()
  }
  return median(times)
}

async function answered(child: ChildProcess): Promise<void> {
  while (child.exitCode === null) {
    const ready = await fetch(`${ORIGIN}/health/ready`).catch(() => undefined)
    if (ready?.status === 200) return
    await new Promise((resolve) => setTimeout(resolve, 20))
  }
  throw new Error('The service ended before it answered')
}

function residentMb({ pid }: ChildProcess): number {
  const status = readFileSync(`/proc/${pid ?? 'self'}/status`, 'utf8')
  return Number(/VmRSS:\s+(\d+) kB/.exec(status)?.[1]) / 1024
}
