import { AppError } from '../errors.ts'
import type { Resource } from '../fhir/r4/types.ts'
import type { Caller } from '../security/access-token.ts'
import { serialise } from '../storage/idempotency.ts'
import { insertVersions, type NewVersion } from '../storage/resource-writes.ts'
import { readResource } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import { checkedResource } from './checked-resource.ts'
import type { Context } from './context.ts'
import { latestDay } from './day.ts'
import { newVersion } from './new-version.ts'
import { type Kept, refuseDangling } from './placement.ts'
import { keptType } from './resources.ts'
import { ruleSetChange } from './rule-set-states.ts'
import { unitOfWork } from './unit-of-work.ts'

export interface UpdateRequest {
  readonly type: string
  readonly id: string
  /** Read only when the type can be updated at all. */
  readonly body: () => unknown
  /** The header If-Match: the version that the sender has seen. */
  readonly ifMatch: string | undefined
}

/** A new version of a resource that exists; the versions before it stay. */
export function update(context: Context, caller: Caller, request: UpdateRequest): Promise<Kept> {
  const { type, id, ifMatch } = request
  if (!keptType(type).interactions.includes('update'))
    throw new AppError('method-not-allowed', `A ${type} cannot be updated here.`)
  const resource = checkedResource(type, request.body(), latestDay(context))
  const seen = seenVersion(ifMatch)
  refuseOtherId(resource, id)
  refuseSubset(resource)
  const { clinicId } = caller
  return unitOfWork(context, caller, [{ type, letter: 'u' }], async (tx) => {
    await serialise(tx, [`update ${clinicId} ${type}/${id}`])
    const current = await readResource(tx, { clinicId, type, id })
    if (current === undefined || current.deleted)
      throw new AppError('method-not-allowed', 'An update does not create: use POST.')
    if (current.version !== seen)
      throw new AppError('version-conflict', 'The resource was changed in between.', [
        {
          severity: 'error',
          code: 'conflict',
          expression: 'http."If-Match"',
          rule: 'if-match',
          text: 'This is not the current version. Read the resource and decide anew.',
        },
      ])
    await refuseDangling(tx, context, caller, [{ resourceAt: type, resource }], new Set())
    const besides = await changesBesides(tx, context, clinicId, { id, resource })
    const { baseUrl } = context
    const { partnerId } = current
    const version = current.version + 1
    const updatedAt = context.now().toISOString()
    const next = newVersion(resource, { id, version, partnerId, updatedAt, baseUrl })
    await insertVersions(tx, clinicId, [...besides, next])
    return next
  })
}

/** What the states of some types ask for when one of them changes; throws where they forbid it. */
async function changesBesides(
  tx: Tx,
  context: Context,
  clinicId: string,
  { id, resource }: { readonly id: string; readonly resource: Resource },
): Promise<NewVersion[]> {
  if (resource.resourceType !== 'Library') return []
  return ruleSetChange(tx, context, clinicId, { id, next: resource })
}

/** R4 3.1.0.5: a service that insists on If-Match answers 400 without it. */
function seenVersion(ifMatch: string | undefined): number {
  const [, version] = /^(?:W\/)?"([1-9]\d{0,8})"$/.exec(ifMatch ?? '') ?? []
  if (version !== undefined) return Number(version)
  throw new AppError('invalid-request', 'The header If-Match is needed.', [
    {
      severity: 'error',
      code: ifMatch === undefined ? 'required' : 'value',
      expression: 'http."If-Match"',
      rule: 'if-match',
      text: 'An update names the version that it replaces: If-Match: W/"3".',
    },
  ])
}

function refuseOtherId({ resourceType, id: sent }: Resource, id: string): void {
  if (sent === id) return
  throw new AppError('malformed-body', 'The resource has another id than the address.', [
    {
      severity: 'error',
      code: 'value',
      expression: `${resourceType}.id`,
      rule: 'update-id',
      text: 'The id of the resource and of the address must be the same.',
    },
  ])
}

const SUBSETTED = 'SUBSETTED'

/** A part of a resource that was read as such must not take the place of the whole. */
function refuseSubset({ resourceType, meta }: Resource): void {
  if (!meta?.tag?.some(({ code }) => code === SUBSETTED)) return
  throw new AppError('invalid-resource', 'The resource is not whole.', [
    {
      severity: 'error',
      code: 'business-rule',
      expression: `${resourceType}.meta.tag`,
      rule: 'update-subset',
      text: 'This is a part of a resource (SUBSETTED). Read it whole before updating it.',
    },
  ])
}
