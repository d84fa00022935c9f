import { type AuditRecord, RENDERING } from '../fhir/audit-record.ts'
import type { Identity } from '../security/access-token.ts'
import type { Call } from '../security/call.ts'
import { auditedThings } from './noted.ts'

export interface CallEnd {
  readonly outcome: AuditRecord['outcome']
  readonly status?: number
  /** The form of a search that was posted. */
  readonly form?: string | undefined
}

type Who = Partial<Pick<Identity, 'clientId' | 'tokenId' | 'partnerId'>> & { readonly call: Call }

/** What the log keeps of a call that was made, by whom as far as it is known. */
export function recordOf(
  { call, clientId, tokenId, partnerId }: Who,
  { outcome, status, form = '' }: CallEnd,
): AuditRecord {
  const { interaction, action, request, address, server, purpose, headOnly } = call.facts
  const parameters = [...call.asked, form].filter((part) => part !== '').join('&')
  const asked = [call.facts.searched ?? [], parameters === '' ? [] : parameters].flat().join('?')
  return {
    v: RENDERING,
    kind: 'rest',
    interaction,
    action,
    outcome,
    status,
    client: clientId,
    token: tokenId,
    partner: partnerId,
    address,
    server,
    request,
    purpose,
    query: asked === '' ? undefined : Buffer.from(asked).toString('base64'),
    about: auditedThings(call.touched),
    patients: call.patients,
    consent: call.consent,
    ...(headOnly === true ? { headOnly } : {}),
  }
}
