import { type NotificationType, notificationBundle } from '../fhir/notification-bundle.ts'
import type { Bundle } from '../fhir/r4/types.ts'
import { eventsBetween } from '../storage/subscription-events.ts'
import type { Context } from './context.ts'
import type { Taken } from './notification-delivery.ts'
import { type ReleasedEvent, releasedEvents } from './released-events.ts'
import { sightOf } from './sight.ts'
import { stableId } from './stable-id.ts'

/** What a subscription is told next. */
export interface Message {
  readonly type: NotificationType
  /** Undefined when nothing of it may be told. */
  readonly bundle: Bundle | undefined
  readonly events: readonly ReleasedEvent[]
  /** The last event that it settles. */
  readonly upTo: number
}

/** Has the Subscription said that it is over by now? */
export const isOver = ({ terms: { end } }: Taken, now: Date): boolean =>
  end !== undefined && Date.parse(end) <= now.getTime()

/** What is to be told now; undefined when there is nothing. */
export async function messageOf(context: Context, taken: Taken): Promise<Message | undefined> {
  const { state, terms } = taken
  const now = context.now()
  if (isOver(taken, now)) return undefined
  const plain = (type: NotificationType): Message => ({
    type,
    bundle: bundleOf(context, taken, type, []),
    events: [],
    upTo: state.settledNumber,
  })
  if (state.status === 'requested') return plain('handshake')
  if (state.status !== 'active') return undefined
  if (state.lastNumber > state.settledNumber) return eventMessage(context, taken)
  if (terms.heartbeatS === undefined) return undefined
  const since = Date.parse(state.lastSentAt ?? '')
  // A heartbeat that failed is tried again; its time has come also when the clock was set.
  const isDue = !(now.getTime() < since + terms.heartbeatS * 1_000)
  return isDue ? plain('heartbeat') : undefined
}

async function eventMessage(context: Context, taken: Taken): Promise<Message> {
  const { state, terms, stored, scopes, lease } = taken
  const { clinicId } = lease
  const { partnerId } = stored
  const recipient = { clinicId, partnerId, scopes }
  const sight = sightOf({
    clinicId,
    scopes,
    ...NO_TOKEN,
    ...(partnerId === undefined ? {} : { partnerId }),
  })
  const [waiting, events] = await context.db.inClinic(sight, async (tx) => {
    const found = await eventsBetween(tx, lease, {
      from: state.settledNumber + 1,
      to: state.lastNumber,
      most: terms.maxCount,
    })
    return [found, await releasedEvents(tx, context, recipient, found)] as const
  })
  const type = 'event-notification'
  return {
    type,
    bundle: events.length === 0 ? undefined : bundleOf(context, taken, type, events),
    events,
    upTo: waiting.at(-1)?.number ?? state.lastNumber,
  }
}

/** No call is answered. */
const NO_TOKEN = { clientId: '', tokenId: '', expiresAtMs: 0 }

const bundleOf = (
  { baseUrl, now }: Context,
  { state, terms }: Taken,
  type: NotificationType,
  events: readonly ReleasedEvent[],
): Bundle =>
  notificationBundle(
    {
      subscriptionId: state.subscriptionId,
      topic: state.topic,
      status: state.status,
      lastNumber: state.lastNumber,
    },
    type,
    { events, content: terms.content },
    { baseUrl, idOf: stableId, now: now().toISOString() },
  )
