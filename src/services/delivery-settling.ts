import { type AuditRecord, RENDERING } from '../fhir/audit-record.ts'
import type { Subscription } from '../fhir/r4/types.ts'
import { serialise } from '../storage/idempotency.ts'
import { insertVersions } from '../storage/resource-writes.ts'
import { type Settled, settleSubscription } from '../storage/subscription-states.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { changeOf } from './current-versions.ts'
import { newVersion } from './new-version.ts'
import type { Taken } from './notification-delivery.ts'
import type { Message } from './notification-messages.ts'
import type { SendFailure } from './notification-sending.ts'

interface Told {
  readonly message: Message | undefined
  readonly failure: SendFailure
  readonly outcome: Settled
}

/** Keeps what became of it, with the record of what was told, in one transaction. */
export async function settle(context: Context, taken: Taken, told: Told): Promise<void> {
  const { clinicId } = taken.lease
  const isTold = told.message?.bundle !== undefined
  const sealing = context.audit.sealing(clinicId)
  try {
    const isChanged = await context.db.inClinic({ clinicId }, async (tx) => {
      const changed = await keep(tx, context, taken, told.outcome)
      if (isTold || changed) await sealing.write(tx, recordOf(context, taken, told))
      return changed
    })
    if (isTold || isChanged) sealing.committed()
  } catch (error) {
    sealing.failed()
    throw error
  }
}

/** @returns whether the Subscription has another status now */
async function keep(
  tx: Tx,
  context: Context,
  { lease, state, subscription, stored }: Taken,
  outcome: Settled,
): Promise<boolean> {
  const { clinicId } = lease
  // Whoever is changing it ends first; then nobody is at it any more.
  await serialise(tx, [changeOf(clinicId, { type: stored.type, id: stored.id })])
  if (!(await settleSubscription(tx, lease, outcome))) return false
  if (outcome.status === state.status) return false
  const { baseUrl, now } = context
  const key = { id: stored.id, version: stored.version + 1, partnerId: stored.partnerId }
  const resource = withStatus(subscription, outcome)
  const version = newVersion(resource, { ...key, updatedAt: now().toISOString(), baseUrl })
  await insertVersions(tx, clinicId, [version])
  return true
}

const ERRORS: Readonly<Record<string, string>> = {
  'dns-resolution-error': 'The name of the endpoint leads nowhere.',
  'no-response': 'The endpoint does not answer, or must not be called.',
  'error-response': 'The endpoint answers with an error.',
}

function withStatus(subscription: Subscription, { status, error }: Settled): Subscription {
  const text = ERRORS[error ?? '']
  return {
    ...subscription,
    status: status === 'active' || status === 'error' || status === 'off' ? status : 'requested',
    ...(text === undefined ? {} : { error: text }),
  }
}

/** A notification that was refused may have been read all the same: every attempt is recorded. */
function recordOf(
  { newId }: Context,
  { state, stored }: Taken,
  { message, failure, outcome }: Told,
): AuditRecord {
  const events = message?.events ?? []
  const isChanged = outcome.status !== state.status
  return {
    v: RENDERING,
    kind: 'notification',
    interaction: message?.type ?? 'subscription-off',
    action: events.length > 0 ? 'R' : 'E',
    outcome: failure === undefined ? 0 : 8,
    client: state.clientId,
    partner: stored.partnerId,
    request: newId(),
    about: [
      {
        ref: `Subscription/${stored.id}`,
        version: stored.version + (isChanged ? 1 : 0),
        did: isChanged ? 'updated' : 'read',
      },
      ...events.map(
        ({ type, id, version }) => ({ ref: `${type}/${id}`, version, did: 'read' }) as const,
      ),
    ],
    patients: [...new Set(events.flatMap(({ patientId }) => patientId ?? []))],
    reason: failure,
  }
}
