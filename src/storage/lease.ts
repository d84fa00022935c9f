import { drizzle, type NodePgDatabase } from 'drizzle-orm/node-postgres'
import type { PoolClient, QueryConfig, QueryResult, QueryResultRow } from 'pg'
import { databaseFailure } from './database-failure.ts'
import { typeParser } from './database-types.ts'
import type { Statement, Tx } from './transaction.ts'

/** The loan of a connection to one unit of work: what is called after its end is refused. */
export class Lease {
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
export async function command(client: PoolClient, text: string): Promise<string> {
  try {
    return (await client.query(text)).command
  } catch (error) {
    throw databaseFailure(error)
  }
}

export async function send<Row extends QueryResultRow>(
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
