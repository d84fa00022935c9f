import { drizzle, type NodePgDatabase } from 'drizzle-orm/node-postgres'
import type { PoolClient, QueryConfig, QueryResult, QueryResultRow } from 'pg'
import { DatabaseFailure, databaseFailure, withoutParameters } from './database-failure.ts'
import { typeParser } from './database-types.ts'

export interface Statement {
  /** Prepared once per connection under this name, one text per name; without one it is not prepared. */
  readonly name?: string
  readonly text: string
  readonly values?: readonly unknown[]
}

/** What a storage function works with. Of no use after its unit of work has ended. */
export interface Tx {
  /** The query builder. Without `transaction`, whose commit would end the unit of work. */
  readonly drizzle: Omit<NodePgDatabase, 'transaction' | '$client'>
  /** A prepared statement, for the hottest paths. */
  readonly query: <Row extends QueryResultRow>(statement: Statement) => Promise<Row[]>
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

async function between<T>(
  client: PoolClient,
  [begin, ...entry]: readonly [Statement, ...Statement[]],
  work: (tx: Tx) => Promise<T>,
): Promise<T> {
  const opened = Promise.all([
    command(client, begin.text),
    ...entry.map((step) => send(client, step)),
  ])
  // Whoever waits for it hears of the failure; it may come before anybody does.
  opened.catch(() => {})
  const lease = new Lease(client, opened)
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

/** One reading statement in a transaction of its own, all in one round trip. */
export async function readTransaction<Row extends QueryResultRow>(
  client: PoolClient,
  entry: readonly Statement[],
  statement: Statement,
): Promise<Row[]> {
  const { result } = await inOneTrip(client, [{ text: BEGIN_READ }, ...entry], () =>
    send<Row>(client, statement),
  )
  return result.rows
}

/** One writing statement, committed, all in one round trip. Throws without parameters. */
export async function writeTransaction(
  client: PoolClient,
  entry: readonly Statement[],
  statement: Statement,
): Promise<void> {
  try {
    const { ended } = await inOneTrip(client, [{ text: BEGIN }, ...entry], () =>
      send(client, statement),
    )
    if (ended !== 'COMMIT') throw new DatabaseFailure(FAILED_TRANSACTION)
  } catch (error) {
    throw withoutParameters(error)
  }
}

async function inOneTrip<Result>(
  client: PoolClient,
  [begin, ...entry]: readonly [Statement, ...Statement[]],
  ask: () => Promise<Result>,
): Promise<{ readonly result: Result; readonly ended: string }> {
  const opened = [command(client, begin.text), ...entry.map((step) => send(client, step))]
  const answer = ask()
  const end = command(client, COMMIT)
  // All have ended before the connection goes back, also when an early one failed.
  await Promise.allSettled([...opened, answer, end])
  await Promise.all(opened)
  return { result: await answer, ended: await end }
}

/** The loan of a connection to one unit of work: what is called after its end is refused. */
class Lease {
  readonly tx: Tx
  private ended = false
  private readonly client: PoolClient
  private readonly opened: Promise<unknown>

  constructor(client: PoolClient, opened: Promise<unknown>) {
    this.client = client
    this.opened = opened
    const builder = () => drizzle(this.guarded())
    let made: NodePgDatabase | undefined
    this.tx = {
      get drizzle() {
        return (made ??= builder())
      },
      query: async <Row extends QueryResultRow>(statement: Statement) => {
        const { rows } = await this.during(() => send<Row>(client, statement))
        return rows
      },
    }
  }

  end(): void {
    this.ended = true
  }

  private async during<Result>(call: () => Promise<Result>): Promise<Result> {
    if (this.ended) throw new Error('A query was made after its unit of work had ended')
    try {
      const [, result] = await Promise.all([this.opened, call()])
      return result
    } catch (error) {
      throw databaseFailure(error)
    }
  }

  /** The connection as the query builder sees it. */
  private guarded(): PoolClient {
    const query = (config: QueryConfig, values?: unknown[]): Promise<QueryResult> =>
      this.during(() =>
        this.client.query({ ...config, types: { getTypeParser: typeParser } }, values),
      )
    return new Proxy(this.client, {
      get: (target, key): unknown => (key === 'query' ? query : Reflect.get(target, key)),
    })
  }
}

/** A statement without an answer; what remains is the word PostgreSQL confirms it with. */
async function command(client: PoolClient, text: string): Promise<string> {
  try {
    return (await client.query(text)).command
  } catch (error) {
    throw databaseFailure(error)
  }
}

async function send<Row extends QueryResultRow>(
  client: PoolClient,
  { name, text, values }: Statement,
): Promise<QueryResult<Row>> {
  try {
    return await client.query<Row>({
      ...(name === undefined ? {} : { name }),
      text,
      values: [...(values ?? [])],
    })
  } catch (error) {
    throw databaseFailure(error)
  }
}
