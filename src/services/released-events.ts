import { parseText } from '../fhir/json-body.ts'
import type { ToldEvent } from '../fhir/notification-bundle.ts'
import type { AnyResource } from '../fhir/r4/types.ts'
import { allows, common, parseScopes, type Scope } from '../security/scopes.ts'
import { seeWholeClinic } from '../storage/scope.ts'
import {
  type EventVersion,
  type SubscriptionEvent,
  versionsInSight,
} from '../storage/subscription-events.ts'
import { currentScope, type SubscriptionState } from '../storage/subscription-states.ts'
import type { Tx } from '../storage/transaction.ts'
import { mayReceive } from './consent-out.ts'
import type { Context } from './context.ts'

/** Who is told: a partner of whom the compartment is in sight, or the staff of a clinic. */
export interface Recipient {
  readonly clinicId: string
  readonly partnerId: string | undefined
  readonly scopes: readonly Scope[]
}

/** An event that may be told, with the child that it is about. */
export interface ReleasedEvent extends ToldEvent {
  readonly patientId: string | null
}

/**
 * Which of these events may go to a recipient now: what it sees and its scopes allow, of a partner's child what
 * law and consents let go. Of the others nothing is told. The transaction sees what the recipient may see, and
 * after it the whole clinic.
 */
export async function releasedEvents(
  tx: Tx,
  context: Context,
  { clinicId, partnerId, scopes }: Recipient,
  events: readonly SubscriptionEvent[],
): Promise<ReleasedEvent[]> {
  const readable = events.filter(({ type }) => allows(scopes, type, 'r'))
  if (readable.length === 0) return []
  const found = await versionsInSight(tx, clinicId, readable)
  if (partnerId === undefined) return found.map(released)
  await seeWholeClinic(tx)
  const children = new Set(found.flatMap(({ patientId }) => patientId ?? []))
  const open = new Set<string>()
  for (const patientId of children) {
    const about = { clinicId, partnerId, patientId, purpose: 'treatment' } as const
    if ((await mayReceive(tx, context, about)).holds === 'yes') open.add(patientId)
  }
  return found.filter(({ patientId }) => patientId === null || open.has(patientId)).map(released)
}

function released({ body, ...event }: EventVersion): ReleasedEvent {
  const parsed = parseText(body)
  if (!parsed.ok) throw new Error('A stored resource is not JSON')
  return { ...event, resource: parsed.value as AnyResource }
}

/** What a system may be told now: what its token allowed when it subscribed, and it is still registered for. */
export async function scopesOf(
  tx: Tx,
  { clinicId, clientId, scope }: SubscriptionState,
): Promise<readonly Scope[]> {
  const current = await currentScope(tx, { clinicId, clientId })
  const registered = parseScopes(current ?? '') ?? []
  return common(parseScopes(scope) ?? [], registered)
}
