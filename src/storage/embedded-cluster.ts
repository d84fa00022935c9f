import { spawn } from 'node:child_process'
import { existsSync } from 'node:fs'
import { mkdir, readFile, rename, rm, writeFile } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { type Account, giveTo, type Launch, launchAs } from './embedded-account.ts'
import type { Binaries } from './embedded-binaries.ts'
import { clusterFolder } from './embedded-folder.ts'
import { commandOf, identityOf, shutDown } from './embedded-process.ts'

/** The owner of the embedded databases. */
export const OWNER = 'footing'

/** All that the programs of PostgreSQL get to see of the environment. */
export const PROGRAM_ENV = {
  PATH: '/usr/local/bin:/usr/bin:/bin:/usr/sbin:/sbin',
  LC_ALL: 'C',
  TZ: 'UTC',
} as const

export const clusterExists = (dataDir: string): boolean =>
  existsSync(join(clusterFolder(dataDir), 'PG_VERSION'))

/**
 * Makes the cluster in a folder beside its place and moves it there when it is complete, so that an
 * interrupted first start leaves nothing that looks like a cluster.
 */
export async function createCluster(
  dataDir: string,
  binaries: Binaries,
  account: Account | undefined,
  password: string,
): Promise<void> {
  const draft = join(dataDir, 'postgres.new')
  const passwordFile = join(dataDir, 'postgres.password')
  await rm(draft, { recursive: true, force: true })
  await mkdir(draft, { mode: 0o700 })
  try {
    await writeFile(passwordFile, `${password}\n`, { mode: 0o600 })
    for (const path of [draft, passwordFile]) await giveTo(account, path)
    const args = ['-D', draft, '--auth=scram-sha-256', `--pwfile=${passwordFile}`]
    // A locale that PostgreSQL brings itself sorts the same on every machine.
    const locale = ['--locale-provider=builtin', '--builtin-locale=C.UTF-8', '--locale=C']
    await run(
      await launchAs(account, [dirname(binaries.initdb), draft], binaries.initdb, [
        ...args,
        ...locale,
        '--encoding=UTF8',
        `--username=${OWNER}`,
      ]),
    )
    await rename(draft, clusterFolder(dataDir))
  } finally {
    await rm(passwordFile, { force: true })
  }
}

/**
 * Ends a server that outlived the service which started it, and removes the trace of one that was killed:
 * its process number may meanwhile belong to anybody, and PostgreSQL would wait for that one.
 *
 * Only for the holder of the folder's lock.
 */
export async function clearRemains(dataDir: string): Promise<void> {
  const cluster = clusterFolder(dataDir)
  const pidFile = join(cluster, 'postmaster.pid')
  const [line] = (await readFile(pidFile, 'utf8').catch(() => '')).split('\n')
  const server = line ? identityOf(Number(line)) : undefined
  const command = server === undefined ? '' : commandOf(server.pid)

  if (server !== undefined && command.includes(`-D ${cluster} `)) await shutDown(server)
  else if (command.includes('postgres -D'))
    throw new Error(`PostgreSQL (process ${server?.pid}) already uses ${cluster}. Stop it first.`)
  await rm(pidFile, { force: true })
}

function run({ command, args, as }: Launch): Promise<void> {
  return new Promise((resolve, reject) => {
    const stdio: ['ignore', 'ignore', 'pipe'] = ['ignore', 'ignore', 'pipe']
    const child = spawn(command, args, { cwd: '/', env: PROGRAM_ENV, stdio, ...as })
    let complaint = ''
    child.stderr.setEncoding('utf8').on('data', (text: string) => (complaint += text))
    child.once('error', (error) => reject(launchFailure(command, error)))
    child.once('close', (code) => {
      if (code === 0) resolve()
      else reject(new Error(`PostgreSQL could not set up its folder: ${complaint.trim()}`))
    })
  })
}

/** Says what to do when a program of PostgreSQL, or the one that changes the user, is not there. */
export function launchFailure(command: string, error: Error): Error {
  if (command === 'setpriv')
    return new Error(
      'PostgreSQL does not run as root, and the user it would run as cannot enter this folder. ' +
        'Install setpriv (package util-linux), or set DATA_DIR or DATABASE_URL.',
    )
  return new Error(`PostgreSQL could not be run here: ${error.message}. Set DATABASE_URL.`)
}
