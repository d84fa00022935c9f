import { readEmbedded, startEmbedded } from './storage/embedded.ts'

/** A database to work with, and how to let go of it. */
export interface DatabaseSource {
  readonly url: string
  readonly release: () => Promise<void>
}

interface Where {
  readonly databaseUrl: string | undefined
  /** Of the embedded server, when no other is given. */
  readonly dataDir: string
}

/** The server that is configured, or an embedded one of our own. */
export async function ownDatabase(
  { databaseUrl, dataDir }: Where,
  onExit: () => void,
): Promise<DatabaseSource> {
  if (databaseUrl !== undefined) return { url: databaseUrl, release: async () => {} }
  const server = await startEmbedded({ dataDir, onExit })
  return { url: server.url, release: () => server.stop() }
}

/** For a command beside a service: the embedded server that is running, or one for the moment. */
export async function sharedDatabase(where: Where): Promise<DatabaseSource> {
  if (where.databaseUrl === undefined) {
    const url = await readEmbedded(where.dataDir)
    if (url !== undefined) return { url, release: async () => {} }
  }
  return ownDatabase(where, () => {})
}
