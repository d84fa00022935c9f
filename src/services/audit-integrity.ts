import { z } from 'zod'
import { AppError } from '../errors.ts'
import {
  inclusionParameters,
  type ProvenInclusion,
  verificationParameters,
} from '../fhir/integrity-parameters.ts'
import type { Parameters } from '../fhir/r4/types.ts'
import type { Caller } from '../security/access-token.ts'
import { chainedText } from '../security/audit-chain.ts'
import { readCheckpoint } from '../security/checkpoint.ts'
import { wholeSignature } from '../security/checkpoint-keys.ts'
import { inclusionPath } from '../security/merkle.ts'
import { type LoggedRow, loggedRecord } from '../storage/audit-reading.ts'
import { coveredHashes } from '../storage/checkpoint-walk.ts'
import { checkpointCovering } from '../storage/checkpoints.ts'
import type { Tx } from '../storage/transaction.ts'
import { refusePartners } from './audit-period.ts'
import { verifyLog } from './audit-verification.ts'
import { takeCheckpoint } from './checkpoints.ts'
import type { Context } from './context.ts'
import { readIn } from './resources.ts'
import { unitOfReading, unitOfWork } from './unit-of-work.ts'

const NEEDS = [{ type: 'AuditEvent', letter: 'r' }] as const

/** Is the clinic's log what was written? For its staff. */
export async function verifyAudit(context: Context, caller: Caller): Promise<Parameters> {
  refusePartners(caller)
  const verified = await unitOfReading(context, caller, NEEDS, (tx) =>
    verifyLog(tx, context, caller.clinicId),
  )
  return verificationParameters(verified)
}

/** That an event stands in a signed checkpoint, for whoever does not believe us. For the clinic's staff. */
export async function proveInclusion(
  context: Context,
  caller: Caller,
  id: string,
): Promise<Parameters> {
  refusePartners(caller)
  const prove = () =>
    unitOfWork(context, caller, NEEDS, async (tx) => {
      const { body } = await readIn(tx, context, caller, { type: 'AuditEvent', id })
      const { recorded } = Recorded.parse(JSON.parse(body))
      const row = await loggedRecord(tx, { clinicId: caller.clinicId, id, recorded })
      return row === undefined ? undefined : inclusionOf(tx, context, caller.clinicId, row)
    })
  let proven = await prove()
  if (proven === undefined) {
    await takeCheckpoint(context, caller.clinicId)
    proven = await prove()
  }
  if (proven === undefined)
    throw new AppError(
      'conflict',
      'No checkpoint covers this event: the log is not what was written, see $verify.',
    )
  return inclusionParameters(proven)
}

const Recorded = z.object({ recorded: z.string() })

async function inclusionOf(
  tx: Tx,
  { checkpointKeys }: Context,
  clinicId: string,
  row: LoggedRow,
): Promise<ProvenInclusion | undefined> {
  const { writer, sequence } = row
  const stored = await checkpointCovering(tx, { clinicId, writer, sequence })
  const read = stored === undefined ? undefined : readCheckpoint(stored.payload)
  if (stored === undefined || read === undefined) return undefined
  const { number, treeSize, rootHash, ranges } = read
  const covered = await coveredHashes(
    tx,
    clinicId,
    ranges.map((range) => ({ ...range, number })),
  )
  const leafIndex = covered.findIndex((one) => one.writer === writer && one.sequence === sequence)
  if (leafIndex === -1 || covered.length !== treeSize) return undefined
  return {
    record: chainedText({ ...row, clinicId }),
    previous: row.previous.toString('hex'),
    hash: row.hash.toString('hex'),
    checkpoint: number,
    leafIndex,
    treeSize,
    rootHash,
    path: inclusionPath(
      covered.map(({ hash }) => hash),
      leafIndex,
    ).map((hash) => hash.toString('hex')),
    signed: wholeSignature(stored.payload, stored.signature),
    keys: checkpointKeys.published,
  }
}
