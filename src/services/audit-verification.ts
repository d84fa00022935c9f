import { accountingFrom } from '../domain/law/record-duties.ts'
import type { VerifiedLog } from '../fhir/integrity-parameters.ts'
import { BEFORE_THE_FIRST_CHECKPOINT } from '../security/checkpoint.ts'
import { loggedClinics } from '../storage/audit-walk.ts'
import type { Tx } from '../storage/transaction.ts'
import { walkChains } from './audit-chains.ts'
import { type AuditFault, faultLine } from './audit-fault.ts'
import { walkCheckpoints } from './checkpoint-verification.ts'
import type { Context } from './context.ts'
import { today } from './day.ts'

/** What was looked at, and the first thing that is wrong with it. */
export interface Verification extends VerifiedLog {
  readonly fault?: AuditFault
}

type Verifying = Pick<Context, 'checkpointKeys' | 'baseUrl' | 'now'>

/**
 * Is a clinic's log what was written? Every chain is walked from its first record, then every checkpoint;
 * on one snapshot, while the log grows.
 */
export async function verifyLog(
  tx: Tx,
  { checkpointKeys: keys, baseUrl, now }: Verifying,
  clinicId: string,
): Promise<Verification> {
  // As long as an accounting of disclosures looks back, nothing of the log may be let go.
  const keptSince = `${accountingFrom(today({ now }))}T00:00:00.000Z`
  const chains = await walkChains(tx, { clinicId, baseUrl, keptSince })
  if (chains.fault !== undefined)
    return { ...chains, checkpoints: 0, lastCheckpoint: BEFORE_THE_FIRST_CHECKPOINT }
  return { ...chains, ...(await walkCheckpoints(tx, { clinicId, keptSince, keys })) }
}

/** The logs of all clinics, one after the other, each with what is to be said of it in a line. */
export async function* verifyAllLogs({
  db,
  ...verifying
}: Verifying & Pick<Context, 'db'>): AsyncGenerator<{
  readonly isValid: boolean
  readonly line: string
}> {
  for (const clinicId of await db.asOwner(loggedClinics)) {
    const { fault, records, writers, checkpoints, lastCheckpoint } = await db.snapshotInClinic(
      { clinicId },
      (tx) => verifyLog(tx, verifying, clinicId),
    )
    const last = checkpoints === 0 ? '' : `, the last ${lastCheckpoint}`
    yield fault === undefined
      ? {
          isValid: true,
          line: `${clinicId}\tvalid\t${records} records of ${writers} writers, ${checkpoints} checkpoints${last}`,
        }
      : { isValid: false, line: `${clinicId}\tFAULT\t${faultLine(fault)}` }
  }
}
