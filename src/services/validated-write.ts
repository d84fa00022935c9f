import { AppError, type Fault } from '../errors.ts'
import { childFaults } from '../fhir/child-reference.ts'
import { creationFaults } from '../fhir/profiles.ts'
import type { Resource } from '../fhir/r4/types.ts'
import type { ValidateMode } from '../fhir/validate-parameters.ts'
import type { Caller } from '../security/access-token.ts'
import { referredTo } from '../storage/referrers.ts'
import { readResource, type StoredVersion } from '../storage/resources.ts'
import { seeWholeClinic } from '../storage/scope.ts'
import type { Tx } from '../storage/transaction.ts'
import { changesOf } from './changes.ts'
import { refuseComputed } from './computed.ts'
import type { Context } from './context.ts'
import { refuseSubset } from './new-contents.ts'
import { refuseDangling } from './dangling-references.ts'
import { keptType } from './resources.ts'
import { refuseNewRuleSets, ruleSetChange } from './rule-set-states.ts'
import { sentAsAWhole } from './single-writes.ts'
import { statusFaults } from './subscription-writes.ts'

interface Writing {
  readonly type: string
  readonly id: string | undefined
  readonly resource: unknown
}

export type WriteMode = Exclude<ValidateMode, 'delete' | 'profile'>

/** What would keep the create or update itself from being done, beside faults of the content. */
export function writeFaults(mode: WriteMode, writing: Writing): readonly Fault[] {
  const { type, id } = writing
  const resource = writing.resource as Resource
  const row = keptType(type)
  if (mode === 'create' && row.togetherOnly === true) return [sentAsAWhole(type)]
  if (!row.interactions.includes(mode)) return [notOffered(type, mode)]
  const ofPart = refusals(() => refuseSubset(resource, type))
  if (mode === 'create') return [...creationFaults(resource, type), ...ofPart]
  const text = 'The id of the resource and of the address must be the same.'
  return [
    ...(resource.id === id ? [] : [errorAt('update-id', 'value', `${type}.id`, text)]),
    ...refusals(() => refuseComputed(type, id ?? '', type)),
    ...ofPart,
  ]
}

/** References of a valid resource that would keep its create or update from being done. */
export async function danglingFaults(
  tx: Tx,
  context: Context,
  caller: Caller,
  { mode, type, id, resource }: Writing & { readonly mode: WriteMode; readonly resource: Resource },
): Promise<readonly Fault[]> {
  const operation = { kind: mode, type: keptType(type).type, resourceAt: type }
  const { clinicId } = caller
  const isNew = mode === 'create' || id === undefined
  const current = isNew ? undefined : await readResource(tx, { clinicId, type, id })
  return asyncRefusals(async () => {
    await refuseDangling(tx, context, caller, [{ id: id ?? '', operation, resource, current }])
  })
}

/** What else would keep a valid resource from being kept: the child it is about, and what is kept already. */
export async function stateFaults(
  tx: Tx,
  context: Context,
  caller: Caller,
  { mode, type, id, resource }: Writing & { readonly mode: WriteMode; readonly resource: Resource },
): Promise<readonly Fault[]> {
  const { clinicId } = caller
  const at = { resource, resourceAt: type }
  const isNew = mode === 'create' || id === undefined
  const current = isNew ? undefined : await readResource(tx, { clinicId, type, id })
  const ofRuleSet = await asyncRefusals(async () => {
    if (isNew) await refuseNewRuleSets(tx, context, clinicId, [at])
    else if (resource.resourceType === 'Library')
      await ruleSetChange(tx, context, clinicId, { id, next: resource })
  })
  return [
    ...childFaults([at], context.baseUrl),
    ...(current === undefined ? [] : movedFaults(context, caller, { ...at, current })),
    ...statusFaults(context, { ...at, current }),
    ...ofRuleSet,
  ]
}

/** An update leaves a resource with the child that it is about. */
function movedFaults(
  context: Context,
  caller: Caller,
  {
    resource,
    resourceAt,
    current,
  }: {
    readonly resource: Resource
    readonly resourceAt: string
    readonly current: StoredVersion
  },
): readonly Fault[] {
  const { id, type } = current
  const operation = { type: keptType(type).type, resourceAt }
  return refusals(() => {
    changesOf(context, caller, [{ id, does: 'update', current, resource, operation }])
  })
}

/** What would keep a deletion from being done. */
export async function deletionFaults(
  tx: Tx,
  { clinicId }: Caller,
  { type, id }: { readonly type: string; readonly id: string },
): Promise<readonly Fault[]> {
  if (!keptType(type).interactions.includes('delete')) return [notOffered(type, 'delete')]
  await seeWholeClinic(tx)
  const held = await referredTo(tx, clinicId, { keys: [{ type, id }], besides: [] })
  const text = 'Another resource refers to it. Delete or change that one first.'
  return [
    ...refusals(() => refuseComputed(type, id, type)),
    ...(held.size === 0 ? [] : [errorAt('delete-referred', 'conflict', type, text)]),
  ]
}

/** The faults that a check would refuse with. */
function refusals(check: () => void): readonly Fault[] {
  try {
    check()
    return []
  } catch (error) {
    if (error instanceof AppError) return error.faults
    throw error
  }
}

async function asyncRefusals(check: () => Promise<void>): Promise<readonly Fault[]> {
  try {
    await check()
    return []
  } catch (error) {
    if (error instanceof AppError) return error.faults
    throw error
  }
}

const notOffered = (type: string, mode: ValidateMode): Fault =>
  errorAt('interaction', 'not-supported', type, `There is no ${mode} of a ${type} here.`)

export const errorAt = (rule: string, code: string, expression: string, text: string): Fault => ({
  severity: 'error',
  code,
  expression,
  rule,
  text,
})
