import { deleteOldEvents } from '../storage/subscription-retention.ts'
import type { Context } from './context.ts'

const DAY_MS = 86_400_000
/** How long what was told can be asked for again with $events. */
const SETTLED_DAYS = 30
/** How long an administrator has to bring a subscription back that was given up, with all that it missed. */
const WAITING_DAYS = 90

/** Forgets events that nobody will ask for any more; which version of what they were stays in the history. */
export async function forgetOldEvents(context: Pick<Context, 'db' | 'now'>): Promise<void> {
  const now = context.now().getTime()
  const daysAgo = (days: number): string => new Date(now - days * DAY_MS).toISOString()
  const since = { settled: daysAgo(SETTLED_DAYS), waiting: daysAgo(WAITING_DAYS) }
  while (await context.db.asOwner((tx) => deleteOldEvents(tx, since)));
}
