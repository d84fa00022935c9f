import { Client, type ClientConfig, type QueryResultRow } from 'pg'
import { databaseFailure } from './database-failure.ts'
import type { Statement } from './transaction.ts'

/** Two keep both sides busy; more only divide what would travel together. */
const CONNECTIONS = 2

/** Statements that are a transaction of their own, so that many callers' use one connection at once. */
export interface SharedReads {
  readonly read: <Row extends QueryResultRow>(statement: Statement) => Promise<Row[]>
  readonly close: () => Promise<void>
}

/**
 * Each statement opens and ends its transaction by itself, so nobody needs a connection alone: what is
 * asked in one turn leaves together, and its answers come back together. A connection that breaks takes
 * with it what it was asked; the next statement opens another.
 */
export function openSharedReads(config: ClientConfig): SharedReads {
  const lines: (Promise<Client> | undefined)[] = Array.from({ length: CONNECTIONS })
  let turn = 0

  const lineAt = (place: number): Promise<Client> => {
    const known = lines[place]
    if (known !== undefined) return known
    const client = new Client(config)
    const line = client.connect().then(() => client)
    const forget = (): void => {
      if (lines[place] === line) lines[place] = undefined
    }
    client.on('error', forget)
    client.on('end', forget)
    line.catch(forget)
    lines[place] = line
    return line
  }

  return {
    read: async <Row extends QueryResultRow>({ name, text, values }: Statement) => {
      turn = (turn + 1) % CONNECTIONS
      try {
        const client = await lineAt(turn)
        const asked = { ...(name === undefined ? {} : { name }), text, values: [...(values ?? [])] }
        return (await client.query<Row>(asked)).rows
      } catch (error) {
        throw databaseFailure(error)
      }
    },
    close: async () => {
      const ended = lines.map((line) => line?.then((client) => client.end()))
      await Promise.allSettled(ended.filter((end) => end !== undefined))
    },
  }
}
