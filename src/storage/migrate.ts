import { fileURLToPath } from 'node:url'
import { DrizzleQueryError } from 'drizzle-orm'
import { readMigrationFiles } from 'drizzle-orm/migrator'
import { drizzle } from 'drizzle-orm/node-postgres'
import { migrate as applyFiles } from 'drizzle-orm/node-postgres/migrator'
import { Client, DatabaseError } from 'pg'
import { DatabaseFailure, databaseFailure } from './database-failure.ts'

const MIGRATIONS = fileURLToPath(new URL('../../migrations', import.meta.url))

/** Any number will do, as long as every version of the service uses the same. */
const MIGRATION_LOCK = 7_460_221
/** For another instance that migrates, and for a table that is in use. */
const LOCK_WAIT_MS = 120_000
const CONNECT_TIMEOUT_MS = 10_000

/**
 * Brings the database to the newest migration; answers how many were applied. Of several instances that
 * start together one migrates and the others wait for it.
 *
 * The role of the URL becomes the owner of the tables.
 */
export async function migrate(url: string, folder = MIGRATIONS): Promise<number> {
  const client = new Client({
    connectionString: url,
    application_name: 'footing-migrate',
    connectionTimeoutMillis: CONNECT_TIMEOUT_MS,
    lock_timeout: LOCK_WAIT_MS,
  })
  client.on('error', () => {})
  try {
    await client.connect()
    // The lock belongs to the connection and ends with it, whatever happens.
    await client.query('select pg_advisory_lock($1)', [MIGRATION_LOCK])
    return await bringUpToDate(client, folder)
  } catch (error) {
    throw readable(error)
  } finally {
    await client.end()
  }
}

async function bringUpToDate(client: Client, folder: string): Promise<number> {
  const files = readMigrationFiles({ migrationsFolder: folder }).map((file) => file.hash)
  const before = await appliedHashes(client)
  const known = Math.min(before.length, files.length)
  refuseDifference(before.slice(0, known), files)

  await applyFiles(drizzle(client), { migrationsFolder: folder })

  const after = await appliedHashes(client)
  refuseDifference(files, after)
  return after.length - before.length
}

async function appliedHashes(client: Client): Promise<string[]> {
  const journal = await client.query<{ there: boolean }>(
    "select to_regclass('drizzle.__drizzle_migrations') is not null as there",
  )
  if (journal.rows[0]?.there !== true) return []
  const { rows } = await client.query<{ hash: string }>(
    'select hash from drizzle.__drizzle_migrations order by id',
  )
  return rows.map((row) => row.hash)
}

/** A merged migration is never edited, and a new one comes after all others. */
function refuseDifference(expected: readonly string[], actual: readonly string[]): void {
  const place = expected.findIndex((hash, index) => actual[index] !== hash)
  if (place >= 0)
    throw new Error(
      `Migration number ${place} is not the one this database was built with. ` +
        'Migrations are only ever added, at the end.',
    )
}

/** The statement is ours and may be shown; what the database says about it may quote a row. */
function readable(error: unknown): unknown {
  if (error instanceof DrizzleQueryError) {
    const { code } = databaseFailure(error)
    return new Error(`A migration failed (${code ?? 'connection'}) at:\n${error.query.trim()}`)
  }
  return error instanceof DatabaseError ? new DatabaseFailure(error.code) : error
}
