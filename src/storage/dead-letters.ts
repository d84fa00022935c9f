import type { SubscriptionKey } from './subscription-states.ts'
import type { Tx } from './transaction.ts'

// Subscriptions that were given up, and what they were not told.

/** It is asked for again: the endpoint must show that it answers. */
export async function reviveSubscription(
  tx: Tx,
  { clinicId, subscriptionId }: SubscriptionKey,
  now: string,
): Promise<void> {
  await tx.query({
    name: 'revive-subscription',
    text: `update subscription_states set status = 'requested', attempts = 0, error = null, due_at = $3,
        lease = null, leased_until = null
      where clinic_id = $1 and subscription_id = $2`,
    values: [clinicId, subscriptionId, now],
  })
}

/** The events that wait are not delivered any more; they stay counted. */
export async function discardEvents(
  tx: Tx,
  { clinicId, subscriptionId }: SubscriptionKey,
): Promise<void> {
  await tx.query({
    name: 'discard-events',
    text: `update subscription_states set settled_number = last_number
      where clinic_id = $1 and subscription_id = $2`,
    values: [clinicId, subscriptionId],
  })
}
