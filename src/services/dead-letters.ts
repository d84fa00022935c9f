import { AppError } from '../errors.ts'
import type { Caller } from '../security/access-token.ts'
import { discardEvents, reviveSubscription } from '../storage/dead-letters.ts'
import { serialise } from '../storage/idempotency.ts'
import { insertVersions } from '../storage/resource-writes.ts'
import { readResource } from '../storage/resources.ts'
import { subscriptionStates, type SubscriptionState } from '../storage/subscription-states.ts'
import type { Tx } from '../storage/transaction.ts'
import { administrating } from './clients.ts'
import type { Context } from './context.ts'
import { changeOf } from './current-versions.ts'
import { newVersion } from './new-version.ts'
import { readEntry } from './referral-record.ts'
import { asked } from './subscription-writes.ts'

/** A subscription that was given up, as an administrator sees it: nothing of what it was to be told. */
export interface DeadLetter {
  readonly subscriptionId: string
  readonly partnerId?: string
  readonly clientId: string
  readonly topic: string
  /** A code of subscription-error. */
  readonly error: string
  /** Numbers of the events that were not delivered; none when nothing has happened since. */
  readonly firstEvent?: number
  readonly lastEvent?: number
}

const deadLetterOf = (state: SubscriptionState): DeadLetter => {
  const { subscriptionId, partnerId, clientId, topic, error, settledNumber, lastNumber } = state
  return {
    subscriptionId,
    ...(partnerId === null ? {} : { partnerId }),
    clientId,
    topic,
    error: error ?? '',
    ...(lastNumber > settledNumber ? { firstEvent: settledNumber + 1, lastEvent: lastNumber } : {}),
  }
}

export const deadLetters = (context: Context, caller: Caller): Promise<DeadLetter[]> =>
  administrating(context, caller, async (tx) =>
    (await subscriptionStates(tx, caller.clinicId))
      .filter(({ status }) => status === 'error')
      .map(deadLetterOf),
  )

/** It is told again, from the first event that it was not told, as soon as its endpoint shakes hands. */
export function retryDeadLetter(context: Context, caller: Caller, id: string): Promise<void> {
  return administrating(context, caller, async (tx) => {
    const { clinicId } = caller
    await serialise(tx, [changeOf(clinicId, { type: 'Subscription', id })])
    await dead(tx, caller, id)
    const stored = await readResource(tx, { clinicId, type: 'Subscription', id })
    if (stored === undefined || stored.deleted) throw unknown()
    const { resource } = readEntry(stored)
    if (resource.resourceType !== 'Subscription') throw unknown()
    const { baseUrl, now } = context
    const updatedAt = now().toISOString()
    const key = { id, version: stored.version + 1, partnerId: stored.partnerId, updatedAt }
    await insertVersions(tx, clinicId, [newVersion(asked(resource), { ...key, baseUrl })])
    await reviveSubscription(tx, { clinicId, subscriptionId: id }, updatedAt)
    caller.call.touch({ type: 'Subscription', id, version: key.version, did: 'updated' })
  })
}

/** What it was not told it will not be told; whoever asks for its events still gets them. */
export function discardDeadLetter(context: Context, caller: Caller, id: string): Promise<void> {
  return administrating(context, caller, async (tx) => {
    await dead(tx, caller, id)
    await discardEvents(tx, { clinicId: caller.clinicId, subscriptionId: id })
    caller.call.touch({ type: 'Subscription', id, did: 'updated' })
  })
}

async function dead(tx: Tx, { clinicId }: Caller, id: string): Promise<void> {
  const [state] = await subscriptionStates(tx, clinicId, [id])
  if (state?.status !== 'error') throw unknown()
}

const unknown = () => new AppError('not-found', 'There is no such dead letter.')
