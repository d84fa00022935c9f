import { spawnSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { setTimeout as delay } from 'node:timers/promises'

/** A process that can be told from a later one that was given the same number. */
export interface ProcessIdentity {
  readonly pid: number
  /** When it started, in the words of the system; comparable, not readable. */
  readonly started: string
}

const POLL_MS = 20

/** PostgreSQL's signals, from polite to last resort, with the time each is given to take effect. */
const SHUTDOWN_STEPS = [
  { signal: 'SIGINT', patienceMs: 20_000 },
  { signal: 'SIGQUIT', patienceMs: 5_000 },
  { signal: 'SIGKILL', patienceMs: 5_000 },
] as const

/** Nothing when no such process runs; one that ended and waits for its parent does not run. */
export function identityOf(pid: number): ProcessIdentity | undefined {
  const started = process.platform === 'linux' ? startInProc(pid) : startFromPs(pid)
  return started === undefined ? undefined : { pid, started }
}

export function isRunning(identity: ProcessIdentity): boolean {
  return identityOf(identity.pid)?.started === identity.started
}

/** The command line of a process, its arguments separated by spaces; empty when there is none. */
export function commandOf(pid: number): string {
  if (process.platform !== 'linux') return ps(pid, 'command=') ?? ''
  return (readProc(`${pid}/cmdline`) ?? '').replaceAll('\0', ' ')
}

/** Ends a PostgreSQL server and waits for it: fast shutdown first, force only after its time is up. */
export async function shutDown(server: ProcessIdentity): Promise<void> {
  for (const { signal, patienceMs } of SHUTDOWN_STEPS) {
    if (!isRunning(server)) return
    process.kill(server.pid, signal)
    if (await becomes(() => !isRunning(server), patienceMs)) return
  }
  throw new Error(`PostgreSQL (process ${server.pid}) does not end`)
}

/** Waits until the condition holds; false when it did not in time. */
export async function becomes(condition: () => boolean, patienceMs: number): Promise<boolean> {
  for (let waitedMs = 0; waitedMs < patienceMs; waitedMs += POLL_MS) {
    if (condition()) return true
    await delay(POLL_MS)
  }
  return condition()
}

function startInProc(pid: number): string | undefined {
  const stat = readProc(`${pid}/stat`)
  // The name in brackets may itself hold brackets and spaces. Behind it: state (3rd field) … start (22nd).
  const fields = stat?.slice(stat.lastIndexOf(')') + 2).split(' ')
  if (fields === undefined || fields[0] === 'Z' || fields[0] === 'X') return undefined
  return `${readProc('sys/kernel/random/boot_id')?.trim() ?? ''} ${fields[19] ?? ''}`
}

function readProc(name: string): string | undefined {
  try {
    return readFileSync(`/proc/${name}`, 'utf8')
  } catch {
    return undefined
  }
}

function startFromPs(pid: number): string | undefined {
  return ps(pid, 'stat=')?.startsWith('Z') ? undefined : ps(pid, 'lstart=')
}

function ps(pid: number, column: string): string | undefined {
  const { stdout } = spawnSync('ps', ['-o', column, '-p', String(pid)], { encoding: 'utf8' })
  return stdout.trim() === '' ? undefined : stdout.trim()
}
