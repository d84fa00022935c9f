import { AppError } from '../errors.ts'
import {
  notificationBundle,
  statusBundle,
  type ToldStatus,
  withoutEventsBefore,
} from '../fhir/notification-bundle.ts'
import type { Bundle, Subscription } from '../fhir/r4/types.ts'
import { type PayloadContent, subscriptionTerms } from '../fhir/subscription-terms.ts'
import type { Caller } from '../security/access-token.ts'
import { eventsBetween } from '../storage/subscription-events.ts'
import { firstKeptEvent } from '../storage/subscription-retention.ts'
import { subscriptionStates, type SubscriptionState } from '../storage/subscription-states.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { numberEvents } from './event-numbering.ts'
import { readEntry } from './referral-record.ts'
import { releasedEvents } from './released-events.ts'
import { readIn } from './resources.ts'
import { stableId } from './stable-id.ts'
import { unitOfWork } from './unit-of-work.ts'

/** Events of one answer; the rest is asked for from the next number on. */
const MOST_EVENTS = 100

const NEEDS = [{ type: 'Subscription', letter: 'r' }] as const
const ALL_NEEDS = [...NEEDS, { type: 'Subscription', letter: 's' }] as const

/** Where one subscription stands, now. */
export async function subscriptionStatus(
  context: Context,
  caller: Caller,
  id: string,
): Promise<Bundle> {
  await numberEvents(context, caller.clinicId)
  return unitOfWork(context, caller, NEEDS, async (tx) => {
    const { state } = await present(tx, context, caller, id)
    return statusBundle([toldOf(state)], telling(context))
  })
}

/** Where the subscriptions stand that a caller sees, in part when ids or states are named. */
export async function subscriptionStatuses(
  context: Context,
  caller: Caller,
  asked: { readonly ids: readonly string[]; readonly statuses: readonly string[] },
): Promise<Bundle> {
  await numberEvents(context, caller.clinicId)
  return unitOfWork(context, caller, ALL_NEEDS, async (tx) => {
    const ids = asked.ids.length === 0 ? undefined : asked.ids
    const states = await subscriptionStates(tx, caller.clinicId, ids)
    const shown = states.filter(
      ({ status }) => asked.statuses.length === 0 || asked.statuses.includes(status),
    )
    for (const { subscriptionId: id } of shown)
      caller.call.touch({ type: 'Subscription', id, did: 'read' })
    return statusBundle(shown.map(toldOf), telling(context))
  })
}

export interface AskedEvents {
  readonly since: number
  readonly until: number | undefined
  /** As in the subscription when it is not said. */
  readonly content: PayloadContent | undefined
}

/**
 * What a subscription has counted, as its caller may see it now. A number that is not there is one of which
 * nothing may be told, and was told to nobody; the answer says from which number on events are kept.
 */
export async function subscriptionEvents(
  context: Context,
  caller: Caller,
  { id, since, until, content }: AskedEvents & { readonly id: string },
): Promise<Bundle> {
  const { clinicId, partnerId, scopes, call } = caller
  await numberEvents(context, clinicId)
  return unitOfWork(context, caller, NEEDS, async (tx) => {
    const { state, subscription } = await present(tx, context, caller, id)
    const found = await eventsBetween(tx, state, {
      from: since,
      to: until ?? state.lastNumber,
      most: MOST_EVENTS,
    })
    const events = await releasedEvents(tx, context, { clinicId, partnerId, scopes }, found)
    for (const { type, id: focus, version, patientId } of events)
      call.touch({ type, id: focus, version, did: 'read' }, patientId)
    const told = { events, content: content ?? subscriptionTerms(subscription).content }
    const answer = notificationBundle(toldOf(state), 'query-event', told, telling(context))
    const first = (await firstKeptEvent(tx, state)) ?? state.lastNumber + 1
    return Math.max(since, 1) < first ? withoutEventsBefore(answer, first) : answer
  })
}

const telling = ({ baseUrl, now }: Context) => ({
  baseUrl,
  idOf: stableId,
  now: now().toISOString(),
})

const toldOf = ({
  subscriptionId,
  topic,
  status,
  lastNumber,
  error,
}: SubscriptionState): ToldStatus => ({
  subscriptionId,
  topic,
  status,
  lastNumber,
  // What is tried again is no error yet.
  ...(error === null || status !== 'error' ? {} : { error }),
})

async function present(
  tx: Tx,
  context: Context,
  caller: Caller,
  id: string,
): Promise<{ readonly state: SubscriptionState; readonly subscription: Subscription }> {
  const kept = await readIn(tx, context, caller, { type: 'Subscription', id })
  const { resource } = readEntry({ ...kept, deleted: false, partnerId: undefined })
  const [state] = await subscriptionStates(tx, caller.clinicId, [id])
  if (state === undefined || resource.resourceType !== 'Subscription')
    throw new AppError('not-found', 'There is no such Subscription.')
  return { state, subscription: resource }
}
