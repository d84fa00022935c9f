import { z } from 'zod'
import type { JobKind, JobQueue } from '../storage/job-queue.ts'
import { clinicsWithWritten } from '../storage/subscription-events.ts'
import { dueSubscriptions, type SubscriptionKey } from '../storage/subscription-states.ts'
import type { Context } from './context.ts'
import { numberEvents } from './event-numbering.ts'
import { forgetOldEvents } from './event-retention.ts'
import { deliver } from './notification-delivery.ts'
import type { Sender } from './notification-sending.ts'
import { type Repeated, repeated } from './repeated.ts'

/** Subscriptions that are looked for in one go. */
const TOGETHER = 500
/** Endpoints that one process waits for at a time. */
const AT_ONCE = 8

const DELIVERY: JobKind<SubscriptionKey> = {
  name: 'notification-delivery',
  data: z.object({ clinicId: z.uuid(), subscriptionId: z.string() }),
}

const RETENTION = 'event-retention'
/** In UTC. */
const AT_NIGHT = '23 3 * * *'

/**
 * Finds what is to be told, everywhere, and hands it to whoever tells it. What is to be done stands in the tables
 * alone, so nothing is lost with the process that found it.
 */
export async function dispatch(
  context: Context,
  hand: (key: SubscriptionKey) => Promise<void>,
): Promise<void> {
  const failures: unknown[] = []
  for (const clinicId of await context.db.asOwner(clinicsWithWritten))
    await numberEvents(context, clinicId).catch((error: unknown) => failures.push(error))
  const now = context.now().toISOString()
  for (const key of await context.db.asOwner((tx) => dueSubscriptions(tx, now, TOGETHER)))
    await hand(key)
  // Said when all others have had their turn.
  if (failures.length > 0) throw failures[0]
}

/** Tells subscribers, as long as the service runs, and forgets once a day what was told long ago. */
export async function keepNotifications(
  context: Context,
  { queue, sender }: { readonly queue: JobQueue; readonly sender: Sender },
  { everyMs, onFailure }: { readonly everyMs: number; onFailure: (error: unknown) => void },
): Promise<Repeated> {
  await queue.work(DELIVERY, AT_ONCE, (key) => deliver(context, sender, key))
  await queue.every(RETENTION, AT_NIGHT, () => forgetOldEvents(context))
  return repeated(everyMs, async () => {
    try {
      await dispatch(context, (key) =>
        queue.send(DELIVERY, `${key.clinicId} ${key.subscriptionId}`, key),
      )
    } catch (error) {
      onFailure(error)
    }
  })
}
