import { isoInstant } from './instant.ts'
import type { Tx } from './transaction.ts'

/** How far a subscription has come. */
export interface SubscriptionState {
  readonly clinicId: string
  readonly subscriptionId: string
  /** Null: of the clinic's own staff. */
  readonly partnerId: string | null
  readonly clientId: string
  /** What the token allowed with which it was written. */
  readonly scope: string
  readonly topic: string
  /** A JSON array of searches. */
  readonly filters: string
  readonly status: string
  readonly countedSince: string
  readonly lastNumber: number
  readonly settledNumber: number
  readonly attempts: number
  readonly error: string | null
  readonly lastSentAt: string | null
}

export interface SubscriptionKey {
  readonly clinicId: string
  readonly subscriptionId: string
}

const COLUMNS = `clinic_id as "clinicId", subscription_id as "subscriptionId", partner_id as "partnerId",
  client_id as "clientId", scope, topic, filters, status, ${isoInstant('counted_since')} as "countedSince",
  last_number as "lastNumber", settled_number as "settledNumber", attempts, error,
  ${isoInstant('last_sent_at')} as "lastSentAt"`

type Asked = Pick<
  SubscriptionState,
  | 'clinicId'
  | 'subscriptionId'
  | 'partnerId'
  | 'clientId'
  | 'scope'
  | 'topic'
  | 'filters'
  | 'status'
>

/** A Subscription was written: from now on it is as it says, and whoever was at it is no longer. */
export async function keepSubscription(
  tx: Tx,
  asked: Asked,
  { at, dueAt }: { readonly at: string; readonly dueAt: string | undefined },
): Promise<void> {
  await tx.query({
    name: 'keep-subscription',
    text: `insert into subscription_states as s
        (clinic_id, subscription_id, partner_id, client_id, scope, topic, filters, status, counted_since, due_at)
      values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)
      on conflict (clinic_id, subscription_id) do update set client_id = excluded.client_id,
        scope = excluded.scope, topic = excluded.topic, filters = excluded.filters,
        status = excluded.status, due_at = excluded.due_at, attempts = 0, error = null, lease = null,
        leased_until = null`,
    values: [
      asked.clinicId,
      asked.subscriptionId,
      asked.partnerId,
      asked.clientId,
      asked.scope,
      asked.topic,
      asked.filters,
      asked.status,
      at,
      dueAt ?? null,
    ],
  })
}

/** A Subscription was deleted, and with it all that it counted. */
export async function forgetSubscription(
  tx: Tx,
  { clinicId, subscriptionId }: SubscriptionKey,
): Promise<void> {
  await tx.query({
    name: 'forget-subscription',
    text: `with events as (delete from subscription_events where clinic_id = $1 and subscription_id = $2)
      delete from subscription_states where clinic_id = $1 and subscription_id = $2`,
    values: [clinicId, subscriptionId],
  })
}

/** Those in sight that are not over, or the ones that are named. */
export async function subscriptionStates(
  tx: Tx,
  clinicId: string,
  ids?: readonly string[],
): Promise<SubscriptionState[]> {
  return tx.query<SubscriptionState>({
    name: 'subscription-states',
    text: `select ${COLUMNS} from subscription_states
      where clinic_id = $1 and ($2::text[] is null or subscription_id = any($2)) order by subscription_id`,
    values: [clinicId, ids ?? null],
  })
}

/** Subscriptions that have something to do, and clinics where something was written, as the owner. */
export async function dueSubscriptions(
  tx: Tx,
  now: string,
  most: number,
): Promise<SubscriptionKey[]> {
  return tx.query<SubscriptionKey>({
    name: 'due-subscriptions',
    text: `select clinic_id as "clinicId", subscription_id as "subscriptionId" from subscription_states
      where due_at <= $1 and (leased_until is null or leased_until <= $1) order by due_at limit $2`,
    values: [now, most],
  })
}

/** What the system is registered for that wrote a subscription; undefined when it was revoked. */
export async function currentScope(
  tx: Tx,
  { clinicId, clientId }: Pick<SubscriptionState, 'clinicId' | 'clientId'>,
): Promise<string | undefined> {
  const [client] = await tx.query<{ scope: string }>({
    name: 'scope-of-client',
    text: 'select scope from clients where clinic_id = $1 and client_id = $2 and revoked_at is null',
    values: [clinicId, clientId],
  })
  return client?.scope
}

export interface Lease extends SubscriptionKey {
  readonly lease: string
}

/** Takes a subscription that has something to do; undefined when it has not, or somebody else is at it. */
export async function takeSubscription(
  tx: Tx,
  { clinicId, subscriptionId, lease }: Lease,
  { now, until }: { readonly now: string; readonly until: string },
): Promise<SubscriptionState | undefined> {
  const [taken] = await tx.query<SubscriptionState>({
    name: 'take-subscription',
    text: `update subscription_states set lease = $3, leased_until = $5
      where clinic_id = $1 and subscription_id = $2 and due_at <= $4
        and (leased_until is null or leased_until <= $4)
      returning ${COLUMNS}`,
    values: [clinicId, subscriptionId, lease, now, until],
  })
  return taken
}

/** What became of it. */
export interface Settled {
  readonly status: string
  readonly settledNumber: number
  readonly attempts: number
  readonly error: string | undefined
  readonly sentAt: string | undefined
  /** When there is something to do again, where no event waits. */
  readonly dueAt: string | undefined
  /** When events that wait are delivered; undefined: not before it is active again. */
  readonly eventsAt: string | undefined
}

/** Gives it back. False when it was written meanwhile, or taken by somebody else: then nothing is changed. */
export async function settleSubscription(
  tx: Tx,
  { clinicId, subscriptionId, lease }: Lease,
  settled: Settled,
): Promise<boolean> {
  const found = await tx.query({
    name: 'settle-subscription',
    text: `update subscription_states set status = $4,
        settled_number = greatest(settled_number, $5), attempts = $6, error = $7,
        last_sent_at = coalesce($8, last_sent_at),
        due_at = case when last_number > greatest(settled_number, $5) then $10 else $9 end::timestamptz,
        lease = null, leased_until = null
      where clinic_id = $1 and subscription_id = $2 and lease = $3 returning 1`,
    values: [
      clinicId,
      subscriptionId,
      lease,
      settled.status,
      settled.settledNumber,
      settled.attempts,
      settled.error ?? null,
      settled.sentAt ?? null,
      settled.dueAt ?? null,
      settled.eventsAt ?? null,
    ],
  })
  return found.length > 0
}
