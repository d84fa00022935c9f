import type { Subscription } from '../fhir/r4/types.ts'
import { type SubscriptionTerms, subscriptionTerms } from '../fhir/subscription-terms.ts'
import type { Scope } from '../security/scopes.ts'
import { readResource, type StoredVersion } from '../storage/resources.ts'
import {
  forgetSubscription,
  type Lease,
  type SubscriptionKey,
  type SubscriptionState,
  takeSubscription,
} from '../storage/subscription-states.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { outcomeOf } from './delivery-outcome.ts'
import { messageOf } from './notification-messages.ts'
import { type Sender, sendNotification } from './notification-sending.ts'
import { readEntry } from './referral-record.ts'
import { scopesOf } from './released-events.ts'
import { settle } from './delivery-settling.ts'

/** A subscription that somebody is at, with all that is needed to serve it. */
export interface Taken {
  readonly lease: Lease
  readonly state: SubscriptionState
  readonly stored: StoredVersion
  readonly subscription: Subscription
  readonly terms: SubscriptionTerms
  /** What its system may be told of, now. */
  readonly scopes: readonly Scope[]
}

/** Longer than an endpoint may take to answer. Whoever ended meanwhile left it to somebody else after it. */
const LEASE_MS = 120_000
/** Notifications of one subscription in one go, begun within so long; then others have their turn. */
const IN_ONE_GO = 50
const ONE_GO_MS = 10_000

/** Does what there is to do for a subscription now, in order; nothing when somebody else is at it. */
export async function deliver(
  context: Context,
  sender: Sender,
  key: SubscriptionKey,
): Promise<void> {
  const end = context.now().getTime() + ONE_GO_MS
  for (let count = 0; count < IN_ONE_GO && context.now().getTime() < end; count += 1)
    if (!(await deliverOnce(context, sender, key))) return
}

/** The steps of a delivery: it is taken, told and settled, each by itself. No transaction waits for an endpoint. */
async function deliverOnce(
  context: Context,
  sender: Sender,
  key: SubscriptionKey,
): Promise<boolean> {
  const lease: Lease = { ...key, lease: context.newId() }
  const taken = await context.db.inClinic({ clinicId: key.clinicId }, (tx) =>
    take(tx, context, lease),
  )
  if (taken === undefined) return false
  const message = await messageOf(context, taken)
  const failure =
    message?.bundle === undefined
      ? undefined
      : await sendNotification(context, sender, taken.terms, message.bundle)
  const outcome = outcomeOf(context, taken, { message, failure, random: sender.random })
  await settle(context, taken, { message, failure, outcome })
  return true
}

async function take(tx: Tx, { now }: Context, lease: Lease): Promise<Taken | undefined> {
  const at = now()
  const until = new Date(at.getTime() + LEASE_MS).toISOString()
  const state = await takeSubscription(tx, lease, { now: at.toISOString(), until })
  if (state === undefined) return undefined
  const { clinicId, subscriptionId } = lease
  const stored = await readResource(tx, { clinicId, type: 'Subscription', id: subscriptionId })
  const subscription =
    stored === undefined || stored.deleted ? undefined : readEntry(stored).resource
  if (stored === undefined || subscription?.resourceType !== 'Subscription') {
    await forgetSubscription(tx, lease)
    return undefined
  }
  const scopes = await scopesOf(tx, state)
  return { lease, state, stored, subscription, terms: subscriptionTerms(subscription), scopes }
}
