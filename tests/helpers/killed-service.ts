import { type ChildProcess, execFileSync, spawn } from 'node:child_process'
import { once } from 'node:events'
import { createServer } from 'node:net'
import { fileURLToPath } from 'node:url'

// The service as `npm start` runs it, in a process of its own that can be killed.

const ROOT = fileURLToPath(new URL('../..', import.meta.url))

export interface RunningService {
  readonly origin: string
  /** SIGKILL; returns when it is gone. */
  readonly kill: () => Promise<void>
}

export async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1')
  await once(server, 'listening')
  const address = server.address()
  server.close()
  await once(server, 'close')
  if (address === null || typeof address === 'string') throw new Error('There is no free port')
  return address.port
}

const environment = (databaseUrl: string, port: number) => ({
  ...process.env,
  DATABASE_URL: databaseUrl,
  PORT: String(port),
  LOG_LEVEL: 'silent',
  // The test runner has one of its own.
  BASE_URL: '',
})

/** @param more variables of its environment */
export async function startService(
  databaseUrl: string,
  port: number,
  more: Readonly<Record<string, string>> = {},
): Promise<RunningService> {
  const child = spawn(process.execPath, ['--import', 'tsx', 'src/main.ts'], {
    cwd: ROOT,
    env: { ...environment(databaseUrl, port), ...more },
    stdio: ['ignore', 'ignore', 'inherit'],
  })
  const origin = `http://127.0.0.1:${port}`
  await answering(child, origin)
  return {
    origin,
    kill: async () => {
      child.kill('SIGKILL')
      await once(child, 'exit')
    },
  }
}

/** A token of the demo's own systems, as the command issues it. */
export const tokenOf = (databaseUrl: string, port: number, client: string): string =>
  execFileSync(
    process.execPath,
    ['--import', 'tsx', 'src/token-command.ts', client, '--lifetime', '3600'],
    { cwd: ROOT, encoding: 'utf8', env: environment(databaseUrl, port) },
  ).trim()

async function answering(child: ChildProcess, origin: string): Promise<void> {
  while (child.exitCode === null) {
    const ready = await fetch(`${origin}/health/ready`).catch(() => undefined)
    if (ready?.status === 200) return
    await new Promise((resolve) => setTimeout(resolve, 50))
  }
  throw new Error('The service ended before it answered')
}
