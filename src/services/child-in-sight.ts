import { AppError } from '../errors.ts'
import type { Caller } from '../security/access-token.ts'
import { readRecord } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import { readEntry } from './referral-record.ts'
import type { Unreferred } from './unreferred-triage.ts'

/**
 * A child and what the caller sees of its record; the rest of it stays the clinic's. Throws `not-found` for a
 * child that is not in sight.
 */
export async function childInSight(
  tx: Tx,
  { clinicId, call }: Caller,
  patientId: string,
): Promise<Unreferred> {
  const record = (await readRecord(tx, clinicId, patientId)).map(readEntry)
  const patient = record.find(
    ({ stored, resource }) => resource.resourceType === 'Patient' && stored.id === patientId,
  )?.resource
  if (patient?.resourceType !== 'Patient')
    throw new AppError('not-found', `Patient/${patientId} does not exist.`)
  call.touch({ type: 'Patient', id: patientId, did: 'read' }, patientId)
  return { patientId, patient, record }
}
