import type { NodePgDatabase } from 'drizzle-orm/node-postgres'
import type { PoolClient, QueryResultRow } from 'pg'
import { DatabaseFailure, withoutParameters } from './database-failure.ts'
import { command, Lease, send } from './lease.ts'

export interface Statement {
  /** Prepared once per connection under this name, one text per name; without one it is not prepared. */
  readonly name?: string
  readonly text: string
  readonly values?: readonly unknown[]
}

/** What a storage function asks. */
export interface Asking {
  /** A prepared statement, for the hottest paths. */
  readonly query: <Row extends QueryResultRow>(statement: Statement) => Promise<Row[]>
}

/** What a storage function works with. Of no use after its unit of work has ended. */
export interface Tx extends Asking {
  /** The query builder. Without `transaction`, whose commit would end the unit of work. */
  readonly drizzle: Omit<NodePgDatabase, 'transaction' | '$client'>
}

const BEGIN = 'begin read write'
const BEGIN_SNAPSHOT = 'begin isolation level repeatable read read only'
const BEGIN_READ = 'begin read only'
const COMMIT = 'commit'
const ROLLBACK = 'rollback'
/** SQLSTATE in_failed_sql_transaction: a commit that rolled back because a statement had failed. */
const FAILED_TRANSACTION = '25P02'

/**
 * Runs the work between BEGIN and COMMIT. The opening statements are sent together with the first of the
 * work, in one round trip; the work sees no answer before theirs. Throws without parameters.
 */
export const transaction = <T>(
  client: PoolClient,
  entry: readonly Statement[],
  work: (tx: Tx) => Promise<T>,
): Promise<T> => between(client, [{ text: BEGIN }, ...entry], work)

/** The same for work that only reads: all that it reads is as it was at its first statement. */
export const snapshot = <T>(
  client: PoolClient,
  entry: readonly Statement[],
  work: (tx: Tx) => Promise<T>,
): Promise<T> => between(client, [{ text: BEGIN_SNAPSHOT }, ...entry], work)

/**
 * Reading work whose answer is known before its transaction has ended: its end is sent with nobody waiting
 * for it, `ended` tells when the connection is free.
 */
export async function reading<T>(
  client: PoolClient,
  entry: readonly Statement[],
  work: (tx: Tx) => Promise<T>,
): Promise<{ readonly result: T; readonly ended: Promise<unknown> }> {
  const { lease, opened } = open(client, [{ text: BEGIN_READ }, ...entry])
  try {
    const result = await work(lease.tx)
    await opened
    return { result, ended: command(client, COMMIT).catch(() => {}) }
  } catch (error) {
    await command(client, ROLLBACK).catch(() => {})
    throw withoutParameters(error)
  } finally {
    lease.end()
  }
}

async function between<T>(
  client: PoolClient,
  steps: readonly [Statement, ...Statement[]],
  work: (tx: Tx) => Promise<T>,
): Promise<T> {
  const { lease, opened } = open(client, steps)
  try {
    const result = await work(lease.tx)
    await opened
    lease.end()
    if ((await command(client, COMMIT)) !== 'COMMIT') throw new DatabaseFailure(FAILED_TRANSACTION)
    return result
  } catch (error) {
    lease.end()
    // Its failure leaves the connection inside the transaction, where the pool's owner sees it.
    await command(client, ROLLBACK).catch(() => {})
    throw withoutParameters(error)
  }
}

/** The opening statements are under way; the lease sends what follows them. */
function open(
  client: PoolClient,
  [begin, ...entry]: readonly [Statement, ...Statement[]],
): { readonly lease: Lease; readonly opened: Promise<unknown> } {
  const opened = Promise.all([
    command(client, begin.text),
    ...entry.map((step) => send(client, step)),
  ])
  // Whoever waits for it hears of the failure; it may come before anybody does.
  opened.catch(() => {})
  return { lease: new Lease(client, opened), opened }
}
