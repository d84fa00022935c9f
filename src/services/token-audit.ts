import { RENDERING } from '../fhir/audit-record.ts'
import { type Audit, NO_CLINIC } from './audit.ts'
import type { TokenOutcome } from './token-endpoint.ts'

/** What is known of a request for a token besides what came of it. */
export interface TokenCall {
  /** X-Request-Id */
  readonly request: string
  readonly address: string
}

/** Whoever asks for a token is in the log, whether it was granted or not. */
export const recordToken = (
  audit: Pick<Audit, 'record'>,
  { outcome, reason, clinicId, clientId, tokenId }: TokenOutcome,
  { request, address }: TokenCall,
): Promise<void> =>
  audit.record(clinicId ?? NO_CLINIC, {
    v: RENDERING,
    kind: 'signin',
    interaction: outcome === 'granted' ? 'token-granted' : 'token-refused',
    action: 'E',
    outcome: outcome === 'granted' ? 0 : 4,
    client: clientId,
    token: tokenId,
    address,
    request,
    about: [],
    patients: [],
    reason,
  })
