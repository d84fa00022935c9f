import type { ClientConfig } from 'pg'
import { typeParser } from './database-types.ts'
import { GatheringSocket } from './gathering-socket.ts'

const CONNECT_TIMEOUT_MS = 10_000
/** A unit of work computes and waits for nothing, so an open transaction without a statement is a bug. */
const IDLE_IN_TRANSACTION_TIMEOUT_MS = 30_000
/** How much longer than the server's own limit we wait before the connection counts as dead. */
const ANSWER_MARGIN_MS = 5_000

/** UTC is what database-types.ts expects. */
const SESSIONS = {
  /** What leaves a transaction by whatever fault can change nothing: only BEGIN READ WRITE allows it. */
  guarded: '-c timezone=UTC -c default_transaction_read_only=on',
  /** The same, and as the role that owns nothing, whoever logged in. */
  service: '-c timezone=UTC -c default_transaction_read_only=on -c role=app_service',
  /** For statements that are a transaction of their own and write. */
  writing: '-c timezone=UTC',
}

/** How every connection of the service is made. */
export const connectionTo = ({
  url,
  statementTimeoutMs,
  session = 'guarded',
}: {
  readonly url: string
  readonly statementTimeoutMs: number
  readonly session?: keyof typeof SESSIONS
}): ClientConfig => ({
  connectionString: withOptions(url, SESSIONS[session]),
  application_name: 'footing',
  // Statements are sent without waiting for the answer to the one before.
  pipeline: true,
  // What is written by itself comes in one statement for all who wait, and would only leave later.
  ...(session === 'writing' ? {} : { stream: () => new GatheringSocket() }),
  keepAlive: true,
  types: { getTypeParser: typeParser },
  connectionTimeoutMillis: CONNECT_TIMEOUT_MS,
  statement_timeout: statementTimeoutMs,
  lock_timeout: statementTimeoutMs,
  query_timeout: statementTimeoutMs + ANSWER_MARGIN_MS,
  idle_in_transaction_session_timeout: IDLE_IN_TRANSACTION_TIMEOUT_MS,
})

function withOptions(url: string, options: string): string {
  const target = new URL(url)
  const given = target.searchParams.get('options')
  target.searchParams.set('options', given ? `${given} ${options}` : options)
  return target.href
}
