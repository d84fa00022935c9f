import type { Tx } from '../storage/transaction.ts'
import { walkChains } from './audit-chains.ts'
import type { AuditFault } from './audit-fault.ts'
import { walkCheckpoints } from './checkpoint-verification.ts'
import type { Context } from './context.ts'

/** What was looked at, and the first thing that is wrong with it. */
export interface Verification {
  readonly records: number
  readonly writers: number
  readonly checkpoints: number
  readonly fault?: AuditFault
}

/**
 * Is a clinic's log what was written? Every chain is walked from its first record, then every checkpoint;
 * on one snapshot, while the log grows.
 */
export async function verifyLog(
  tx: Tx,
  { checkpointKeys, baseUrl }: Pick<Context, 'checkpointKeys' | 'baseUrl'>,
  clinicId: string,
): Promise<Verification> {
  const chains = await walkChains(tx, { clinicId, baseUrl })
  if (chains.fault !== undefined) return { ...chains, checkpoints: 0 }
  return { ...chains, ...(await walkCheckpoints(tx, clinicId, checkpointKeys)) }
}
