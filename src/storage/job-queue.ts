import { Pool } from 'pg'
import PgBoss from 'pg-boss'
import type { z } from 'zod'
import { databaseFailure } from './database-failure.ts'

/** What is to be done in the background. Its data say where to look, never what is there. */
export interface JobKind<Data extends object> {
  readonly name: string
  readonly data: z.ZodType<Data>
}

/**
 * Work beside the calls, in one of the processes that share the database. A job is tried once: what is
 * still to be done is found again by whoever sent it, so nothing hangs on a job that was lost.
 */
export interface JobQueue {
  /**
   * At the minutes of a cron expression, in UTC, in one process. Of a run that takes longer than to the next,
   * two may be at work.
   */
  readonly every: (name: string, cron: string, work: () => Promise<void>) => Promise<void>
  /** Once for each key, as long as it was not begun. */
  readonly send: <Data extends object>(
    kind: JobKind<Data>,
    key: string,
    data: Data,
  ) => Promise<void>
  /** Does the jobs of a kind, as many at once in this process. */
  readonly work: <Data extends object>(
    kind: JobKind<Data>,
    atOnce: number,
    work: (data: Data) => Promise<void>,
  ) => Promise<void>
  /** Takes no more jobs, and waits for those that were begun. */
  readonly stop: () => Promise<void>
}

export interface JobQueueOptions {
  readonly url: string
  /** How often each worker asks for a job when there was none. */
  readonly pollMs: number
  /** Of a job or of the queue; the service goes on. */
  readonly onFailure: (error: unknown) => void
}

const SCHEMA = 'jobs'
/** The queue's own, beside the pool of the service. */
const CONNECTIONS = 2
const STATEMENT_TIMEOUT_MS = 10_000
const CONNECT_TIMEOUT_MS = 10_000
/** After it the queue counts a job as lost. */
const JOB_WITHIN_S = 300
const STOP_WITHIN_MS = 10_000
/** For each key one job that waits, however many are at work. */
const ONE_WAITING = 'short'

/** The role sees the queue and nothing else of the database; the tables are made by the migrations. */
const SESSION_OPTIONS = '-c role=app_jobs -c timezone=UTC'

export async function openJobQueue({ url, pollMs, onFailure }: JobQueueOptions): Promise<JobQueue> {
  const pool = openPool(url, onFailure)
  const asked = { isStarting: true }
  const db = {
    executeSql: (text: string, values?: unknown[]) => pool.query(text, values),
  }
  const boss = new PgBoss({
    schema: SCHEMA,
    db: { executeSql: answered(db.executeSql, asked, onFailure) },
    pollingIntervalSeconds: pollMs / 1_000,
    retryLimit: 0,
    expireInSeconds: JOB_WITHIN_S,
  })
  boss.on('error', onFailure)
  try {
    await boss.start()
  } catch (error) {
    await pool.end()
    throw databaseFailure(error)
  }
  asked.isStarting = false

  const reported = async (work: () => Promise<void>): Promise<void> => {
    try {
      await work()
    } catch (error) {
      // What a job failed with is not kept in the queue: it may quote a row.
      onFailure(error)
    }
  }
  const made = (name: string) => boss.createQueue(name, { name, policy: ONE_WAITING })
  return {
    every: async (name, cron, work) => {
      await made(name)
      await boss.work(name, () => reported(work))
      await boss.schedule(name, cron)
    },
    send: async (kind, key, data) => {
      await boss.send(kind.name, data, { singletonKey: key, db })
    },
    work: async (kind, atOnce, work) => {
      await made(kind.name)
      for (let count = 0; count < atOnce; count += 1) await workInTurn(boss, kind, reported, work)
    },
    stop: async () => {
      await boss.stop({ graceful: true, wait: true, timeout: STOP_WITHIN_MS })
      await pool.end()
    },
  }
}

/** After a job the next one is asked for at once. */
async function workInTurn<Data extends object>(
  boss: PgBoss,
  kind: JobKind<Data>,
  reported: (work: () => Promise<void>) => Promise<void>,
  work: (data: Data) => Promise<void>,
): Promise<void> {
  const worker = { id: '' }
  worker.id = await boss.work<unknown>(kind.name, { batchSize: 1 }, async (jobs) => {
    for (const job of jobs) await reported(() => work(kind.data.parse(job.data)))
    boss.notifyWorker(worker.id)
  })
}

type Ask = (text: string, values?: unknown[]) => Promise<{ rows: unknown[] }>

/**
 * The library waits for no answer when it notes what became of a job, so a failure there would end the process.
 * It takes an answer without rows for one that did not come.
 */
const answered =
  (ask: Ask, asked: { readonly isStarting: boolean }, onFailure: (error: unknown) => void): Ask =>
  async (text, values) => {
    try {
      return await ask(text, values)
    } catch (error) {
      const failure = databaseFailure(error)
      if (asked.isStarting) throw failure
      onFailure(failure)
      return noAnswer()
    }
  }

function noAnswer(): { rows: unknown[] } {
  const answer = { rows: [] }
  Reflect.deleteProperty(answer, 'rows')
  return answer
}

function openPool(url: string, onFailure: (error: unknown) => void): Pool {
  const target = new URL(url)
  const given = target.searchParams.get('options')
  target.searchParams.set('options', given ? `${given} ${SESSION_OPTIONS}` : SESSION_OPTIONS)
  const pool = new Pool({
    connectionString: target.href,
    application_name: 'footing-jobs',
    max: CONNECTIONS,
    keepAlive: true,
    connectionTimeoutMillis: CONNECT_TIMEOUT_MS,
    statement_timeout: STATEMENT_TIMEOUT_MS,
    lock_timeout: STATEMENT_TIMEOUT_MS,
  })
  pool.on('error', (error) => {
    if (!pool.ending) onFailure(databaseFailure(error))
  })
  return pool
}
