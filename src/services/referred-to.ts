import { AppError } from '../errors.ts'
import type { Caller } from '../security/access-token.ts'
import { referredTo } from '../storage/referrers.ts'
import type { Tx } from '../storage/transaction.ts'
import { seeWholeClinic } from '../storage/scope.ts'
import type { Content } from './new-contents.ts'

/**
 * Nothing is deleted that something kept refers to; what was computed does not count, since it names the
 * versions that it read. From here on the transaction sees the whole clinic.
 */
export async function refuseReferredTo(
  tx: Tx,
  { clinicId }: Caller,
  contents: readonly Content[],
): Promise<void> {
  const deleted = contents.filter(({ does }) => does === 'delete')
  if (deleted.length === 0) return
  await seeWholeClinic(tx)
  const touched = contents.map(({ id, operation: { type } }) => ({ type, id }))
  const keys = deleted.map(({ id, operation: { type } }) => ({ type, id }))
  const held = await referredTo(tx, clinicId, { keys, besides: touched })
  const faults = deleted.filter((one) => held.has(`${one.operation.type}/${one.id}`))
  if (faults.length === 0) return
  throw new AppError(
    'conflict',
    'The resource is referred to.',
    faults.map(({ operation: { at } }) => ({
      severity: 'error',
      code: 'conflict',
      expression: at,
      rule: 'delete-referred',
      text: 'Another resource refers to it. Delete or change that one first, or mark this one as entered in error.',
    })),
  )
}
