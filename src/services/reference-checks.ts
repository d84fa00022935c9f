import { AppError } from '../errors.ts'
import { isForeign, ownTarget } from '../fhir/literal-reference.ts'
import { referencesIn } from '../fhir/reference-map.ts'
import type { Caller } from '../security/access-token.ts'
import { referredTo } from '../storage/referrers.ts'
import { existing } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import { seeWholeClinic } from '../storage/scope.ts'
import type { Context } from './context.ts'
import type { Content } from './new-contents.ts'

const placeOf = ({ id, operation: { type } }: Content): string => `${type}/${id}`

/** Every reference to a resource of this service leads to one that the caller sees, or that is written too. */
export async function refuseDangling(
  tx: Tx,
  { baseUrl }: Context,
  { clinicId }: Caller,
  contents: readonly Content[],
): Promise<void> {
  const isDeletion = ({ operation }: Content) => operation.kind === 'delete'
  const written = new Set(contents.filter((one) => !isDeletion(one)).map(placeOf))
  // Also of what is not there: a deletion that does nothing makes nothing to refer to.
  const deleted = new Set(contents.filter(isDeletion).map(placeOf))
  const references = contents.flatMap(({ resource, operation: { resourceAt } }) =>
    resource === undefined ? [] : referencesIn(resource, resourceAt),
  )
  const own = references.flatMap(({ expression, reference }) => {
    const target = ownTarget(reference, baseUrl)
    return target === undefined || written.has(`${target.type}/${target.id}`)
      ? []
      : [{ expression, ...target }]
  })
  const known = await existing(tx, clinicId, own)
  const dangling = [
    ...references.filter(
      ({ reference }) =>
        !isForeign(reference, baseUrl) && ownTarget(reference, baseUrl) === undefined,
    ),
    ...own.filter(({ type, id }) => !known.has(`${type}/${id}`) || deleted.has(`${type}/${id}`)),
  ]
  if (dangling.length === 0) return
  throw new AppError(
    'invalid-resource',
    'A reference leads nowhere.',
    dangling.map(({ expression }) => ({
      severity: 'error',
      code: 'not-found',
      expression,
      rule: 'reference-exists',
      text: 'This reference names neither an entry of the Bundle nor a resource that is kept here.',
    })),
  )
}

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
  const faults = deleted.filter((one) => held.has(placeOf(one)))
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
