import type { FastifyBaseLogger } from 'fastify'
import { traceOf } from './http/error-handler.ts'
import type { Tokens } from './security/access-token.ts'
import { keepAudit } from './services/audit-upkeep.ts'
import { keepCheckpoints } from './services/checkpoint-upkeep.ts'
import type { Context } from './services/context.ts'
import { keepNotifications } from './services/notification-dispatch.ts'
import { openExchange } from './services/outgoing-request.ts'
import { keepReminders } from './services/referral-reminders.ts'
import type { Repeated } from './services/repeated.ts'
import { openJobQueue } from './storage/job-queue.ts'

interface BackgroundOptions {
  readonly databaseUrl: string
  /** How often the service looks for what is to be done; undefined: this process does no jobs. */
  readonly jobsPollMs: number | undefined
  readonly tokens: Tokens
  /** Who signs notifications, as in our tokens. */
  readonly issuer: string
  readonly logger: FastifyBaseLogger | undefined
}

/** What the service does beside answering calls; every process takes its share. */
export async function startBackgroundWork(
  context: Context,
  options: BackgroundOptions,
): Promise<Repeated> {
  const { logger } = options
  const told = (what: string) => (error: unknown) =>
    logger?.warn({ err: traceOf(error) }, `${what} failed`)
  const jobs = await startJobs(context, options, told('a job'))
  const upkeep = keepAudit(context, told('the upkeep of the audit'))
  const checkpoints = keepCheckpoints(context, {
    // Kept where the log goes, so that not even the owner of the database can go back behind it.
    onSealed: (sealed) => logger?.info(sealed, 'audit checkpoint'),
    onFailure: told('a checkpoint'),
  })
  return {
    stop: async () => {
      await jobs.stop()
      await upkeep.stop()
      await checkpoints.stop()
    },
  }
}

async function startJobs(
  context: Context,
  { databaseUrl: url, jobsPollMs: pollMs, tokens, issuer }: BackgroundOptions,
  onFailure: (error: unknown) => void,
): Promise<Repeated> {
  if (pollMs === undefined) return { stop: () => Promise.resolve() }
  const queue = await openJobQueue({ url, pollMs, onFailure })
  try {
    const exchange = openExchange(context.notifyOrigins)
    const sender = { exchange, tokens, issuer, random: Math.random }
    const every = { everyMs: pollMs, onFailure }
    await keepReminders(context, queue)
    const notifications = await keepNotifications(context, { queue, sender }, every)
    return {
      stop: async () => {
        await notifications.stop()
        await queue.stop()
      },
    }
  } catch (error) {
    await queue.stop()
    throw error
  }
}
