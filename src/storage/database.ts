import { setTimeout as delay } from 'node:timers/promises'
import { type ClientConfig, Pool, type PoolClient, type QueryResultRow } from 'pg'
import { connectionTo } from './connection.ts'
import { DatabaseFailure, databaseFailure } from './database-failure.ts'
import { type Lending, scopedReads } from './scoped-reads.ts'
import { openSharedLines } from './shared-lines.ts'
import { reading, snapshot, type Statement, transaction, type Tx } from './transaction.ts'

export interface DatabaseOptions {
  readonly url: string
  readonly poolSize: number
  readonly statementTimeoutMs: number
  /** The time by which records are open or closed; without it, the database's own. */
  readonly now?: () => Date
  /** Told when a connection fails that nobody is using. */
  readonly onIdleFailure?: (failure: DatabaseFailure) => void
}

/** Whose rows a unit of work sees: those of the clinic, and for a partner its own compartment of them. */
export interface Scope {
  readonly clinicId: string
  readonly partnerId?: string
  /** What is left of some types: JSON of type and predicate, as the policies read it. */
  readonly narrowed?: string
}

/** A function made by a migration as `name(clinic, partner, moment, …values)`. */
export interface ScopedCall {
  readonly name: 'read_resource'
  readonly values: readonly string[]
}

/** The way to the database; there is no other. */
export interface Database {
  /**
   * Runs the work in a transaction that sees one scope. The work is done again from its start when the
   * database could not order it among others, so it must have no effect outside the transaction.
   */
  readonly inClinic: <T>(scope: Scope, work: (tx: Tx) => Promise<T>) => Promise<T>
  /** The same for work that only reads, once; one round trip less. */
  readonly readingInClinic: <T>(scope: Scope, work: (tx: Tx) => Promise<T>) => Promise<T>
  /**
   * Runs reading work on one snapshot of a scope, once. Between two statements it may take no longer than
   * an open transaction may be idle.
   */
  readonly snapshotInClinic: <T>(scope: Scope, work: (tx: Tx) => Promise<T>) => Promise<T>
  /** One reading statement in a scope, in one round trip. */
  readonly readInClinic: <Row extends QueryResultRow>(
    scope: Scope,
    statement: Statement,
  ) => Promise<Row[]>
  /**
   * One function of the database that enters a scope by itself and reads: its first three arguments are
   * the scope. In one round trip, on a connection that it shares.
   */
  readonly callInClinic: <Row extends QueryResultRow>(
    scope: Scope,
    call: ScopedCall,
  ) => Promise<Row[]>
  /** One function of the database that enters a clinic by itself and writes; committed once this returns. */
  readonly committed: (statement: Statement) => Promise<void>
  /** For the start of the service and its commands: as the login role, which may own the tables. */
  readonly asOwner: <T>(work: (tx: Tx) => Promise<T>) => Promise<T>
  readonly close: () => Promise<void>
}

const IDLE_TIMEOUT_MS = 30_000
/** Two keep both sides busy; more only divide what would travel together. */
const READING_LINES = 2
/** What is written by itself waits for the one before anyway. */
const WRITING_LINES = 1
const OUTSIDE_TRANSACTION = 'I'

const ATTEMPTS = 4
const RETRY_STEP_MS = 10
/** serialization_failure, deadlock_detected: nothing was changed, and another attempt may succeed. */
const REPEATABLE = new Set(['40001', '40P01'])

export function openDatabase(options: DatabaseOptions): Database {
  const connection = connectionTo(options)
  const pool = openPool(connection, options)
  const reads = openSharedLines(connection, READING_LINES)
  const writes = openSharedLines(connectionTo({ ...options, session: 'writing' }), WRITING_LINES)
  const scopedPool = openPool(connectionTo({ ...options, session: 'service' }), options)
  const scoped = scopedReads(lending(scopedPool))
  const entryTo = entryAt(options.now)

  const readInClinic: Database['readInClinic'] = (scope, statement) =>
    scoped.read(settledAt(scope, options.now), statement)

  const withClient = lending(pool)

  return {
    inClinic: (scope, work) =>
      repeated(() => withClient((client) => transaction(client, [entryTo(scope)], work))),
    readingInClinic: async (scope, work) => {
      const client = await pool.connect().catch(rethrow)
      try {
        const { result, ended } = await reading(client, [entryTo(scope)], work)
        void ended.then(() => giveBack(client))
        return result
      } catch (error) {
        giveBack(client)
        throw error
      }
    },
    snapshotInClinic: (scope, work) =>
      withClient((client) => snapshot(client, [entryTo(scope)], work)),
    readInClinic,
    callInClinic: (scope, { name, values }) => {
      const given = [...scopeValues(scope, options.now), ...values]
      const places = given.map((_, place) => `$${place + 1}`).join(', ')
      const statement = { name, text: `select * from ${name}(${places})`, values: given }
      // What is narrowed is not the function's to know: it is called where that was said.
      return scope.narrowed === undefined ? reads.send(statement) : readInClinic(scope, statement)
    },
    committed: async (statement) => {
      await writes.send(statement)
    },
    asOwner: (work) => repeated(() => withClient((client) => transaction(client, [], work))),
    close: async () => {
      await Promise.all([pool.end(), scopedPool.end(), reads.close(), writes.close()])
    },
  }
}

const lending =
  (pool: Pool): Lending =>
  async (use) => {
    const client = await pool.connect().catch(rethrow)
    try {
      return await use(client)
    } finally {
      giveBack(client)
    }
  }

/** A connection whose transaction did not end is broken: it is destroyed, never lent again. */
const giveBack = (client: PoolClient): void =>
  client.release(client.getTransactionStatus() !== OUTSIDE_TRANSACTION)

/** The login role may own the tables and so escape the policies; app_service cannot. */
const entryAt =
  (now: DatabaseOptions['now']) =>
  (scope: Scope): Statement => ({
    name: 'enter-scope',
    text: `select set_config('role', 'app_service', true),
      set_config('app.clinic', $1, true), set_config('app.partner', $2, true),
      -- Stays who it is, also while more is seen.
      set_config('app.author', $2, true),
      set_config('app.now', $3, true), set_config('app.narrowed', $4, true)`,
    values: [...scopeValues(scope, now), scope.narrowed ?? ''],
  })

/** The same for a connection of app_service, until it is told another. */
const settledAt = (scope: Scope, now: DatabaseOptions['now']): Statement => ({
  name: 'settle-scope',
  text: `select set_config('app.clinic', $1, false), set_config('app.partner', $2, false),
    set_config('app.author', $2, false), set_config('app.now', $3, false),
    set_config('app.narrowed', $4, false)`,
  values: [...scopeValues(scope, now), scope.narrowed ?? ''],
})

const scopeValues = ({ clinicId, partnerId }: Scope, now: DatabaseOptions['now']): string[] => [
  clinicId,
  partnerId ?? '',
  now?.().toISOString() ?? '',
]

async function repeated<T>(run: () => Promise<T>): Promise<T> {
  for (let attempt = 1; ; attempt += 1) {
    try {
      return await run()
    } catch (error) {
      const passing = error instanceof DatabaseFailure && REPEATABLE.has(error.code ?? '')
      if (!passing || attempt === ATTEMPTS) throw error
      await delay(RETRY_STEP_MS * attempt)
    }
  }
}

function openPool(
  connection: ClientConfig,
  { poolSize, onIdleFailure }: Pick<DatabaseOptions, 'poolSize' | 'onIdleFailure'>,
): Pool {
  const pool = new Pool({ ...connection, max: poolSize, idleTimeoutMillis: IDLE_TIMEOUT_MS })
  pool.on('error', (error) => {
    if (!pool.ending) onIdleFailure?.(databaseFailure(error))
  })
  // While a connection is lent the pool does not listen; its queries report the failure.
  pool.on('connect', (client) => client.on('error', () => {}))
  return pool
}

function rethrow(error: unknown): never {
  throw databaseFailure(error)
}
