import { randomBytes, randomUUID } from 'node:crypto'
import { linkSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { z } from 'zod'
import { identityOf, isRunning, type ProcessIdentity } from './embedded-process.ts'

const State = z.object({ password: z.string().min(1), port: z.number().int().optional() })
const Identity = z.object({ pid: z.number().int(), started: z.string() })

/** What a command beside the service needs to reach the server; the port only while it runs. */
export type ServerState = z.infer<typeof State>

const PASSWORD_BYTES = 24

const lockFile = (dataDir: string) => join(dataDir, 'embedded.lock')
const stateFile = (dataDir: string) => join(dataDir, 'embedded.json')

export const clusterFolder = (dataDir: string) => join(dataDir, 'postgres')
export const logFile = (dataDir: string) => join(dataDir, 'postgres.log')

export function readState(dataDir: string): ServerState | undefined {
  const text = readIfThere(stateFile(dataDir))
  return text === undefined ? undefined : State.parse(JSON.parse(text))
}

/** Replaced as a whole, so that a reader never sees half a file. */
export function writeState(dataDir: string, state: ServerState): void {
  const draft = `${stateFile(dataDir)}.${randomUUID()}`
  writeFileSync(draft, `${JSON.stringify(state)}\n`, { mode: 0o600, flush: true })
  renameSync(draft, stateFile(dataDir))
}

/** The password of the cluster in this folder, made up at the first start. */
export function passwordOf(dataDir: string, clusterExists: boolean): string {
  const known = readState(dataDir)?.password
  if (known !== undefined) return known
  if (clusterExists)
    throw new Error(
      `${stateFile(dataDir)} is missing, and with it the password of the database beside it. ` +
        'Put it back, or set DATA_DIR to an empty folder.',
    )
  const password = randomBytes(PASSWORD_BYTES).toString('hex')
  writeState(dataDir, { password })
  return password
}

/**
 * Makes this process the only one that uses the folder; the answer gives it up again. A lock whose
 * process is gone is taken over.
 */
export function lockFolder(dataDir: string): () => void {
  const lock = lockFile(dataDir)
  const draft = `${lock}.${randomUUID()}`
  writeFileSync(draft, JSON.stringify(identityOf(process.pid)), { mode: 0o600 })
  try {
    // A link appears whole or not at all, and only when the name is free.
    while (!linked(draft, lock)) takeAway(dataDir)
  } finally {
    rmSync(draft, { force: true })
  }
  return () => rmSync(lock, { force: true })
}

/** Removes the lock of a process that is gone; throws when it runs. */
function takeAway(dataDir: string): void {
  const lock = lockFile(dataDir)
  refuseIfRunning(dataDir, holderOf(lock))
  const aside = `${lock}.${randomUUID()}`
  try {
    renameSync(lock, aside)
    // Between the two steps another process may have taken the folder over: then it is its lock.
    const holder = holderOf(aside)
    if (holder !== undefined && isRunning(holder)) linked(aside, lock)
    refuseIfRunning(dataDir, holder)
  } catch (error) {
    if (codeOf(error) !== 'ENOENT') throw error
  } finally {
    rmSync(aside, { force: true })
  }
}

function refuseIfRunning(dataDir: string, holder: ProcessIdentity | undefined): void {
  if (holder !== undefined && isRunning(holder))
    throw new Error(
      `Another Footing service (process ${holder.pid}) is already running on ${dataDir}. ` +
        'Stop it, or set DATA_DIR or DATABASE_URL.',
    )
}

function holderOf(lock: string): ProcessIdentity | undefined {
  const text = readIfThere(lock)
  return text === undefined ? undefined : Identity.parse(JSON.parse(text))
}

function linked(from: string, to: string): boolean {
  try {
    linkSync(from, to)
    return true
  } catch (error) {
    if (codeOf(error) === 'EEXIST') return false
    throw error
  }
}

function readIfThere(path: string): string | undefined {
  try {
    return readFileSync(path, 'utf8')
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return undefined
    throw error
  }
}

const codeOf = (error: unknown): unknown =>
  error instanceof Error && 'code' in error ? error.code : undefined
