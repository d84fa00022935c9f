import type { Caller } from '../security/access-token.ts'
import type { Scope } from '../storage/database.ts'
import { narrowingSetting } from './narrowed-sight.ts'

/** What a caller's transactions see: its clinic, of a partner its compartment, and what its scopes leave. */
export function sightOf({ clinicId, partnerId, scopes }: Omit<Caller, 'call'>): Scope {
  const narrowed = narrowingSetting(scopes)
  return {
    clinicId,
    ...(partnerId === undefined ? {} : { partnerId }),
    ...(narrowed === undefined ? {} : { narrowed }),
  }
}
