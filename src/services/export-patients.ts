import { AppError } from '../errors.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
import type { Caller } from '../security/access-token.ts'
import { readResource } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { readEntry } from './referral-record.ts'

/** The patients that are members of a Group in sight; those that are inactive are not. */
export async function patientsOfGroup(
  tx: Tx,
  { baseUrl }: Context,
  { clinicId }: Caller,
  groupId: string,
): Promise<string[]> {
  const stored = await readResource(tx, { clinicId, type: 'Group', id: groupId })
  if (stored === undefined || stored.deleted)
    throw new AppError('not-found', 'There is no such Group.')
  const { resource } = readEntry(stored)
  if (resource.resourceType !== 'Group') throw new Error('A Group is of another type')
  return (resource.member ?? []).flatMap(({ entity, inactive }) => {
    const target = inactive === true ? undefined : ownTarget(entity.reference, baseUrl)
    return target?.type === 'Patient' ? [target.id] : []
  })
}
