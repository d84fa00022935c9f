import { AppError, type Fault } from '../errors.ts'
import type { UpdateOperation, WriteOperation } from '../fhir/operations.ts'
import type { Resource } from '../fhir/r4/types.ts'
import type { Caller } from '../security/access-token.ts'
import type { Tx } from '../storage/transaction.ts'
import { refuseComputed, refusePublished } from './computed.ts'
import { type Condition, conditionalMatches } from './conditions.ts'
import type { Context } from './context.ts'
import { forEntry } from './entry-errors.ts'
import type { Kept } from './write.ts'

/** What one write comes to: which resource it is about, and whether that is new. */
export interface Target {
  readonly operation: WriteOperation
  readonly id: string
  readonly does: 'create' | 'update' | 'patch' | 'delete' | 'nothing'
  /** What the condition of a create found; it stays as it is. */
  readonly found?: Kept
}

/** Decides what every write is about. Throws with every condition that leads nowhere, as R4 3.1.0 says. */
export async function targetsOf(
  tx: Tx,
  context: Context,
  caller: Caller,
  operations: readonly WriteOperation[],
): Promise<Target[]> {
  const conditions = operations.flatMap((operation) => conditionOf(operation) ?? [])
  refuseRepeatedConditions(conditions)
  const matches = await conditionalMatches(tx, context, caller, conditions)
  const found = new Map(conditions.map((condition, index) => [condition.at, matches[index]]))
  const targets = operations.map((operation) =>
    forEntry(operation.at, () => targetOf(context, operation, found.get(operation.conditionAt))),
  )
  refuseRepeated(targets)
  return targets
}

function conditionOf(operation: WriteOperation): Condition | undefined {
  const { type, conditionAt: at } = operation
  if (operation.kind === 'create')
    return operation.ifNoneExist === undefined
      ? undefined
      : { type, at, query: operation.ifNoneExist }
  return 'condition' in operation.meant ? { type, at, query: operation.meant.condition } : undefined
}

function targetOf(context: Context, operation: WriteOperation, match: Kept | undefined): Target {
  const { newId } = context
  const { kind } = operation
  if (kind === 'create')
    return match === undefined
      ? { operation, id: newId(), does: 'create' }
      : { operation, id: match.id, does: 'nothing', found: match }
  if ('id' in operation.meant) {
    const { id } = operation.meant
    refusePublished(context, { type: operation.type, id }, operation.at)
    if (kind === 'update') {
      refuseComputed(operation.type, id, operation.at)
      refuseOtherId(operation.resource, id, operation.resourceAt)
    }
    return { operation, id, does: kind }
  }
  if (match !== undefined) refusePublished(context, match, operation.at)
  if (kind === 'update') return conditionalUpdate(operation, match, newId)
  if (match !== undefined) return { operation, id: match.id, does: kind }
  if (kind === 'delete') return { operation, id: '', does: 'nothing' }
  throw new AppError('not-found', 'The condition finds nothing.', [
    {
      severity: 'error',
      code: 'not-found',
      expression: operation.conditionAt,
      rule: 'entry-condition',
      text: 'No resource matches this condition.',
    },
  ])
}

/** R4 3.1.0.4: the body of an update has the id of its address, alone as in a Bundle. */
export function refuseOtherId(resource: Resource, id: string, at: string): void {
  if (resource.id === id) return
  throw new AppError('malformed-body', 'The resource has another id than the address.', [
    {
      severity: 'error',
      code: 'value',
      expression: `${at}.id`,
      rule: 'update-id',
      text: 'The id of the resource and of the address must be the same.',
    },
  ])
}

/** R4 3.1.0.4.3: the id of the body must be the one that is found; a new resource gets ours. */
function conditionalUpdate(
  operation: UpdateOperation,
  match: Kept | undefined,
  newId: () => string,
): Target {
  const { id } = operation.resource
  if (match === undefined) {
    if (id === undefined) return { operation, id: newId(), does: 'create' }
    throw new AppError('method-not-allowed', 'An update does not create under an id of its sender.')
  }
  if (id === undefined || id === match.id) return { operation, id: match.id, does: 'update' }
  throw new AppError('invalid-request', 'The condition finds another resource.', [
    {
      severity: 'error',
      code: 'value',
      expression: `${operation.resourceAt}.id`,
      rule: 'update-id',
      text: 'The condition finds a resource with another id. Leave the id out, or send the right one.',
    },
  ])
}

const REPEATED = 'Two entries of a transaction must not be about the same resource.'

const repeatedFault = (expression: string): Fault => ({
  severity: 'error',
  code: 'duplicate',
  expression,
  rule: 'entry-repeated',
  text: REPEATED,
})

function refuseRepeatedConditions(conditions: readonly Condition[]): void {
  refuseTwice(conditions.map(({ type, query, at }) => ({ key: `${type}?${query}`, at })))
}

function refuseRepeated(targets: readonly Target[]): void {
  refuseTwice(
    targets
      .filter(({ id }) => id !== '')
      .map(({ id, operation: { type, at } }) => ({ key: `${type}/${id}`, at })),
  )
}

function refuseTwice(named: readonly { readonly key: string; readonly at: string }[]): void {
  const seen = new Set<string>()
  const faults = named.flatMap(({ key, at }) => {
    if (seen.has(key)) return [repeatedFault(at.replace(/\.request\..*$/, ''))]
    seen.add(key)
    return []
  })
  if (faults.length > 0) throw new AppError('invalid-resource', REPEATED, faults)
}
