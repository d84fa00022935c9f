import { mkdir, realpath } from 'node:fs/promises'
import { dirname } from 'node:path'
import { accountFor, giveTo, launchAs } from './embedded-account.ts'
import { findBinaries } from './embedded-binaries.ts'
import { clearRemains, clusterExists, createCluster } from './embedded-cluster.ts'
import {
  clusterFolder,
  lockFolder,
  logFile,
  passwordOf,
  readState,
  writeState,
} from './embedded-folder.ts'
import { identityOf, shutDown } from './embedded-process.ts'
import {
  embeddedUrl,
  failureOf,
  type RunningServer,
  serverArguments,
  startServer,
} from './embedded-server.ts'

export interface EmbeddedOptions {
  /** Made when it is missing. Holds the database, its password and the server's log. */
  readonly dataDir: string
  readonly log?: (message: string) => void
  /** Told when the server ends without having been asked: the service cannot go on. */
  readonly onExit?: () => void
}

export interface EmbeddedServer {
  /** For the owner of all tables. */
  readonly url: string
  readonly stop: () => Promise<void>
}

/** Starts the PostgreSQL server of a data folder, which exists or is made, and waits until it answers. */
export async function startEmbedded(options: EmbeddedOptions): Promise<EmbeddedServer> {
  const dataDir = await openFolder(options.dataDir)
  const account = await accountFor(clusterFolder(dataDir))
  const unlock = lockFolder(dataDir)
  try {
    const password = await prepare(dataDir, account)
    const { postgres } = await findBinaries()
    const cluster = clusterFolder(dataDir)
    const server = await startServer({
      launch: (port) =>
        launchAs(account, [dirname(postgres), cluster], postgres, serverArguments(cluster, port)),
      password,
      logFile: logFile(dataDir),
    })
    writeState(dataDir, { password, port: server.port })
    options.log?.(`PostgreSQL (process ${server.pid}) runs on 127.0.0.1:${server.port}`)
    return supervise(server, options, {
      url: embeddedUrl(server.port, password),
      released: () => {
        writeState(dataDir, { password })
        unlock()
      },
    })
  } catch (error) {
    unlock()
    throw error
  }
}

/** The URL of the server that runs on the data folder; nothing when none answers. */
export async function readEmbedded(dataDir: string): Promise<string | undefined> {
  const state = readState(dataDir)
  if (state?.port === undefined) return undefined
  const url = embeddedUrl(state.port, state.password)
  return (await failureOf(url, 'select 1')) === undefined ? url : undefined
}

async function openFolder(path: string): Promise<string> {
  await mkdir(path, { recursive: true })
  return realpath(path)
}

/** Leaves a complete cluster that nobody uses; answers its password. */
async function prepare(
  dataDir: string,
  account: Awaited<ReturnType<typeof accountFor>>,
): Promise<string> {
  const exists = clusterExists(dataDir)
  const password = passwordOf(dataDir, exists)
  if (exists) {
    await clearRemains(dataDir)
    await giveTo(account, clusterFolder(dataDir))
  } else {
    await createCluster(dataDir, await findBinaries(), account, password)
  }
  return password
}

function supervise(
  { child, pid }: RunningServer,
  { log, onExit }: EmbeddedOptions,
  { url, released }: { url: string; released: () => void },
): EmbeddedServer {
  const identity = identityOf(pid)
  // The last resort when the service ends without stop(), by an error that nobody caught.
  const abandon = () => child.kill('SIGINT')
  const unexpected = (code: number | null, signal: NodeJS.Signals | null) => {
    process.off('exit', abandon)
    log?.(`PostgreSQL (process ${pid}) has ended by itself (${signal ?? code})`)
    onExit?.()
  }
  process.once('exit', abandon)
  child.once('exit', unexpected)

  let stopped: Promise<void> | undefined
  const stop = async () => {
    child.off('exit', unexpected)
    process.off('exit', abandon)
    if (identity !== undefined) await shutDown(identity)
    released()
  }
  return { url, stop: () => (stopped ??= stop()) }
}
