import { Client, type ClientConfig, type QueryResultRow } from 'pg'
import { databaseFailure } from './database-failure.ts'
import type { Statement } from './transaction.ts'

/** Statements that are a transaction of their own, so that many callers' use one connection at once. */
export interface SharedLines {
  readonly send: <Row extends QueryResultRow>(statement: Statement) => Promise<Row[]>
  readonly close: () => Promise<void>
}

/**
 * Each statement opens and ends its transaction by itself, so nobody needs a connection alone: what is
 * asked in one turn leaves together, and its answers come back together. A connection that breaks takes
 * with it what it was asked; the next statement opens another.
 */
export function openSharedLines(config: ClientConfig, connections: number): SharedLines {
  const lines: (Promise<Client> | undefined)[] = Array.from({ length: connections })
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
    send: async <Row extends QueryResultRow>({ name, text, values }: Statement) => {
      turn = (turn + 1) % connections
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
