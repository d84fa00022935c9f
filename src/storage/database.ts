import { setTimeout as delay } from 'node:timers/promises'
import { Pool, type PoolClient, type QueryResultRow } from 'pg'
import { DatabaseFailure, databaseFailure } from './database-failure.ts'
import { typeParser } from './database-types.ts'
import { GatheringSocket } from './gathering-socket.ts'
import {
  readTransaction,
  snapshot,
  type Statement,
  transaction,
  type Tx,
  writeTransaction,
} from './transaction.ts'

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
}

/** The way to the database; there is no other. */
export interface Database {
  /**
   * Runs the work in a transaction that sees one scope. The work is done again from its start when the
   * database could not order it among others, so it must have no effect outside the transaction.
   */
  readonly inClinic: <T>(scope: Scope, work: (tx: Tx) => Promise<T>) => Promise<T>
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
  /** One writing statement in a scope, committed, in one round trip. */
  readonly writeInClinic: (scope: Scope, statement: Statement) => Promise<void>
  /** For the start of the service and its commands: as the login role, which may own the tables. */
  readonly asOwner: <T>(work: (tx: Tx) => Promise<T>) => Promise<T>
  readonly close: () => Promise<void>
}

const CONNECT_TIMEOUT_MS = 10_000
const IDLE_TIMEOUT_MS = 30_000
/** A unit of work computes and waits for nothing, so an open transaction without a statement is a bug. */
const IDLE_IN_TRANSACTION_TIMEOUT_MS = 30_000
/** How much longer than the server's own limit we wait before the connection counts as dead. */
const ANSWER_MARGIN_MS = 5_000

/**
 * What leaves a transaction by whatever fault can change nothing: only BEGIN READ WRITE allows it. UTC is
 * what database-types.ts expects.
 */
const SESSION_OPTIONS = '-c timezone=UTC -c default_transaction_read_only=on'
const OUTSIDE_TRANSACTION = 'I'

const ATTEMPTS = 4
const RETRY_STEP_MS = 10
/** serialization_failure, deadlock_detected: nothing was changed, and another attempt may succeed. */
const REPEATABLE = new Set(['40001', '40P01'])

export function openDatabase(options: DatabaseOptions): Database {
  const pool = openPool(options)
  const entryTo = entryAt(options.now)

  const withClient = async <T>(use: (client: PoolClient) => Promise<T>): Promise<T> => {
    const client = await pool.connect().catch(rethrow)
    try {
      return await use(client)
    } finally {
      // A connection whose transaction did not end is broken: it is destroyed, never lent again.
      client.release(client.getTransactionStatus() !== OUTSIDE_TRANSACTION)
    }
  }

  return {
    inClinic: (scope, work) =>
      repeated(() => withClient((client) => transaction(client, [entryTo(scope)], work))),
    snapshotInClinic: (scope, work) =>
      withClient((client) => snapshot(client, [entryTo(scope)], work)),
    readInClinic: (scope, statement) =>
      withClient((client) => readTransaction(client, [entryTo(scope)], statement)),
    writeInClinic: (scope, statement) =>
      withClient((client) => writeTransaction(client, [entryTo(scope)], statement)),
    asOwner: (work) => repeated(() => withClient((client) => transaction(client, [], work))),
    close: () => pool.end(),
  }
}

/** The login role may own the tables and so escape the policies; app_service cannot. */
const entryAt =
  (now: DatabaseOptions['now']) =>
  ({ clinicId, partnerId }: Scope): Statement => ({
    name: 'enter-scope',
    text: `select set_config('role', 'app_service', true),
      set_config('app.clinic', $1, true), set_config('app.partner', $2, true),
      set_config('app.now', $3, true)`,
    values: [clinicId, partnerId ?? '', now?.().toISOString() ?? ''],
  })

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

function openPool({ url, poolSize, statementTimeoutMs, onIdleFailure }: DatabaseOptions): Pool {
  const pool = new Pool({
    connectionString: withSessionOptions(url),
    application_name: 'footing',
    max: poolSize,
    // Statements are sent without waiting for the answer to the one before.
    pipeline: true,
    stream: () => new GatheringSocket(),
    keepAlive: true,
    types: { getTypeParser: typeParser },
    connectionTimeoutMillis: CONNECT_TIMEOUT_MS,
    idleTimeoutMillis: IDLE_TIMEOUT_MS,
    statement_timeout: statementTimeoutMs,
    lock_timeout: statementTimeoutMs,
    query_timeout: statementTimeoutMs + ANSWER_MARGIN_MS,
    idle_in_transaction_session_timeout: IDLE_IN_TRANSACTION_TIMEOUT_MS,
  })
  pool.on('error', (error) => {
    if (!pool.ending) onIdleFailure?.(databaseFailure(error))
  })
  // While a connection is lent the pool does not listen; its queries report the failure.
  pool.on('connect', (client) => client.on('error', () => {}))
  return pool
}

function withSessionOptions(url: string): string {
  const target = new URL(url)
  const given = target.searchParams.get('options')
  target.searchParams.set('options', given ? `${given} ${SESSION_OPTIONS}` : SESSION_OPTIONS)
  return target.href
}

function rethrow(error: unknown): never {
  throw databaseFailure(error)
}
