import { z } from 'zod'
import { AppError } from '../errors.ts'
import { parseText } from '../fhir/json-body.ts'
import { matches } from '../fhir/matches.ts'
import type { Resource } from '../fhir/r4/types.ts'
import { searchValues } from '../fhir/search-values.ts'
import { filterQuery } from '../fhir/subscription-profile.ts'
import { type Topic, topicOf } from '../fhir/subscription-topics.ts'
import { serialise } from '../storage/idempotency.ts'
import {
  countEvents,
  type NewEvent,
  takeWritten,
  type WrittenVersion,
} from '../storage/subscription-events.ts'
import { subscriptionStates, type SubscriptionState } from '../storage/subscription-states.ts'
import type { Context } from './context.ts'

/** Versions that are decided in one transaction. */
const TOGETHER = 200
/**
 * A version has the time at which its transaction began to write, and is seen when that has ended: what was being
 * written when somebody subscribed counts.
 */
const LONGEST_WRITE_MS = 60_000

/**
 * Decides of everything that was written in a clinic until now which subscriptions it concerns, and numbers it
 * for each of them. Both happen in the transaction that takes it out, so it is counted once.
 */
export async function numberEvents(
  context: Pick<Context, 'db' | 'baseUrl' | 'now'>,
  clinicId: string,
): Promise<void> {
  for (let taken = TOGETHER; taken === TOGETHER; )
    taken = await context.db.inClinic({ clinicId }, async (tx) => {
      await serialise(tx, [`subscription-events ${clinicId}`])
      const written = await takeWritten(tx, clinicId, TOGETHER)
      if (written.length === 0) return 0
      const states = await subscriptionStates(tx, clinicId)
      // Also while it shakes hands or is in error: what it missed is told as soon as it is active.
      const counting = states.filter(({ status }) => status !== 'off')
      const now = context.now().toISOString()
      const events = written.flatMap((version) => eventsOf(context, version, counting))
      await countEvents(tx, clinicId, events, now)
      return written.length
    })
}

type Reading = Pick<Context, 'baseUrl' | 'now'>

function eventsOf(
  reading: Reading,
  written: WrittenVersion,
  states: readonly SubscriptionState[],
): NewEvent[] {
  const { type, id, version, at, partnerId } = written
  const concerned = states.filter(
    (state) =>
      Date.parse(state.countedSince) - LONGEST_WRITE_MS <= Date.parse(at) &&
      // A partner is told of its own compartment alone.
      (state.partnerId === null || state.partnerId === partnerId),
  )
  if (concerned.length === 0) return []
  const now = resourceOf(written.body)
  const before = written.before === null ? undefined : resourceOf(written.before)
  return concerned.flatMap(({ subscriptionId, topic: url, filters }): NewEvent[] => {
    const topic = topicOf(url)
    if (topic?.type !== type || !topic.isTriggered(now, before)) return []
    if (!passes(reading, topic, filters, { written, now })) return []
    return [{ subscriptionId, type, id, version, at }]
  })
}

/** What left the database was validated when it came in. */
function resourceOf(body: string): Resource {
  const parsed = parseText(body)
  if (!parsed.ok) throw new Error('A stored resource is not JSON')
  return parsed.value as Resource
}

const Filters = z.array(z.string())

function passes(
  { baseUrl, now: clock }: Reading,
  topic: Topic,
  filters: string,
  { written: { type, id, at, partnerId }, now }: { written: WrittenVersion; now: Resource },
): boolean {
  const texts = Filters.parse(JSON.parse(filters))
  if (texts.length === 0) return true
  const values = searchValues({ type, id, baseUrl, partnerId: partnerId ?? undefined }, now)
  const reading = { baseUrl, now: clock().toISOString() }
  return texts.every((text) => {
    const query = readable(() => filterQuery(text, topic, reading))
    return query === undefined || matches(query, { type, id, updatedAt: at, values })
  })
}

/**
 * A filter that was read when it came in and cannot be any more, after a change of what is searched by, holds
 * nothing back: within its compartment its subscriber hears too much, and nobody else hears nothing for it.
 */
function readable<Read>(read: () => Read): Read | undefined {
  try {
    return read()
  } catch (error) {
    if (error instanceof AppError) return undefined
    throw error
  }
}
