import { Readable } from 'node:stream'
import { Client } from 'pg'
import { to as copyTo } from 'pg-copy-streams'
import type { Scope } from './database.ts'
import { databaseFailure } from './database-failure.ts'

/** Copies that go on at once: each has a connection of its own, beside those of the pool. */
const MOST_COPIES = 2
const CONNECT_TIMEOUT_MS = 10_000
const LONGEST_COPY_MS = 3_600_000
/** Whoever takes nothing for so long makes room for others. */
const STALL_MS = 60_000
const BUFFERED_BYTES = 262_144

export interface Copies {
  /**
   * Streams what a COPY statement gives, in a scope, no faster than it is read; undefined when too many
   * go on already. Destroy the stream to end it early; one that nobody reads is ended.
   */
  readonly copy: (
    scope: Scope,
    statement: { readonly text: string; readonly settings: Readonly<Record<string, string>> },
  ) => Promise<Readable | undefined>
}

export function openCopies(
  url: string,
  { stallMs = STALL_MS }: { readonly stallMs?: number } = {},
): Copies {
  let going = 0
  return {
    copy: async (scope, { text, settings }) => {
      if (going >= MOST_COPIES) return undefined
      going += 1
      const client = new Client({
        connectionString: url,
        application_name: 'footing-export',
        connectionTimeoutMillis: CONNECT_TIMEOUT_MS,
        statement_timeout: LONGEST_COPY_MS,
        options: '-c timezone=UTC',
      })
      client.on('error', () => {})
      const end = () => {
        going -= 1
        // In the midst of a statement this cuts the connection, and the server gives up.
        client.end().catch(() => {})
      }
      try {
        await client.connect()
        await enter(client, scope, settings)
        return relayed(client.query(copyTo(text)), { end, stallMs })
      } catch (error) {
        end()
        throw databaseFailure(error)
      }
    },
  }
}

/**
 * Passes on what the driver's stream gives. That stream reports a failure without ending, in the server's
 * own words; this one ends whatever happens, and names the failure by its code alone.
 */
function relayed(
  source: Readable,
  { end, stallMs }: { readonly end: () => void; readonly stallMs: number },
): Readable {
  let stall: NodeJS.Timeout | undefined
  const wait = () => {
    clearTimeout(stall)
    stall = setTimeout(() => relay.destroy(), stallMs)
  }
  const relay = new Readable({
    highWaterMark: BUFFERED_BYTES,
    read() {
      clearTimeout(stall)
      source.resume()
    },
    destroy(error, done) {
      clearTimeout(stall)
      source.destroy()
      end()
      done(error)
    },
  })
  source.on('data', (chunk: Buffer) => {
    if (relay.push(chunk)) return
    source.pause()
    wait()
  })
  source.once('end', () => {
    relay.push(null)
    wait()
  })
  source.on('error', (error: unknown) => relay.destroy(databaseFailure(error)))
  source.pause()
  wait()
  return relay
}

/** The same scope as every transaction has: a role that owns nothing, one clinic, one partner. */
async function enter(
  client: Client,
  { clinicId, partnerId, narrowed }: Scope,
  settings: Readonly<Record<string, string>>,
): Promise<void> {
  await client.query('begin isolation level repeatable read read only')
  const all = Object.entries({
    'app.clinic': clinicId,
    'app.partner': partnerId ?? '',
    'app.narrowed': narrowed ?? '',
    ...settings,
    // Rows are sent by one process anyway; the other processors are for those who wait.
    max_parallel_workers_per_gather: '0',
    role: 'app_service',
  })
  await client.query(
    'select set_config(name, value, true) from unnest($1::text[], $2::text[]) as s(name, value)',
    [all.map(([name]) => name), all.map(([, value]) => value)],
  )
}
