import type { PoolClient, QueryResultRow } from 'pg'
import { send } from './lease.ts'
import type { Statement } from './transaction.ts'

/** Lends a connection for as long as it is used. */
export type Lending = <T>(use: (client: PoolClient) => Promise<T>) => Promise<T>

/** Reading statements, each a transaction of its own, each in a scope. */
export interface ScopedReads {
  /** @param entry enters the scope, for as long as the connection lasts or until it enters another */
  readonly read: <Row extends QueryResultRow>(
    entry: Statement,
    statement: Statement,
  ) => Promise<Row[]>
}

/**
 * A statement goes together with what enters its scope, and alone where its connection is in that scope
 * already: each answer that PostgreSQL sends by itself costs more than these settings. The connections are
 * of app_service from their start and have no other use; one counts as in a scope only once that was set.
 */
export function scopedReads(withClient: Lending): ScopedReads {
  const scopes = new WeakMap<PoolClient, string>()

  const ask = async <Row extends QueryResultRow>(
    client: PoolClient,
    entry: Statement,
    statement: Statement,
  ): Promise<Row[]> => {
    const scope = JSON.stringify(entry.values)
    if (scopes.get(client) === scope) return (await send<Row>(client, statement)).rows
    scopes.delete(client)
    const entered = send(client, entry)
    const answer = send<Row>(client, statement)
    // Both have ended before the connection goes back; without the first, the second is nobody's to see.
    await Promise.allSettled([entered, answer])
    await entered
    scopes.set(client, scope)
    return (await answer).rows
  }

  return {
    read: (entry, statement) => withClient((client) => ask(client, entry, statement)),
  }
}
