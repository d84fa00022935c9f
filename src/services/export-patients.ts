import { AppError } from '../errors.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
import type { Caller } from '../security/access-token.ts'
import { readResourceAt } from '../storage/record-history.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { readEntry } from './referral-record.ts'

/**
 * The patients that were members of a Group in sight; those that are inactive are not.
 *
 * @param at ISO in UTC: the instant of the export, whatever became of the Group since
 */
export async function patientsOfGroup(
  tx: Tx,
  { baseUrl }: Context,
  { clinicId }: Caller,
  { groupId, at }: { readonly groupId: string; readonly at: string },
): Promise<string[]> {
  const stored = await readResourceAt(tx, { clinicId, type: 'Group', id: groupId, at })
  if (stored === undefined || stored.deleted)
    throw new AppError('not-found', 'There is no such Group.')
  const { resource } = readEntry(stored)
  if (resource.resourceType !== 'Group') throw new Error('A Group is of another type')
  return (resource.member ?? []).flatMap(({ entity, inactive }) => {
    const target = inactive === true ? undefined : ownTarget(entity.reference, baseUrl)
    return target?.type === 'Patient' ? [target.id] : []
  })
}
