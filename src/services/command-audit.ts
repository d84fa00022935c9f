import { RENDERING } from '../fhir/audit-record.ts'
import type { Database } from '../storage/database.ts'
import { NO_CLINIC, openAudit } from './audit.ts'

/** What a command changed of how a clinic is set up: whoever has the machine leaves a trace too. */
export const recordCommand = (
  {
    db,
    now,
    newId,
  }: { readonly db: Database; readonly now: () => Date; readonly newId: () => string },
  {
    clinicId = NO_CLINIC,
    did,
    client,
    partner,
  }: {
    readonly clinicId?: string | undefined
    /** `client-registered`, `regime-set` … */
    readonly did: string
    readonly client?: string | undefined
    readonly partner?: string | undefined
  },
): Promise<void> =>
  openAudit(db, { now, newId }).record(clinicId, {
    v: RENDERING,
    kind: 'configuration',
    interaction: did,
    action: 'E',
    outcome: 0,
    client,
    partner,
    request: newId(),
    about: [],
    patients: [],
    reason: 'command',
  })
