import { AppError } from '../errors.ts'
import { type EntityTags, entityTags, isNamed } from '../fhir/entity-tags.ts'
import type { UpdateOperation, WriteOperation } from '../fhir/operations.ts'
import { rowOf } from '../fhir/registry.ts'
import type { Caller } from '../security/access-token.ts'
import { serialise } from '../storage/idempotency.ts'
import { readResources, type StoredVersion, writtenByClinic } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import { refuseComputed } from './computed.ts'
import { forEntry } from './entry-errors.ts'
import { isStableId } from './stable-id.ts'
import type { Target } from './targets.ts'

/** A write and the version that stands before it; none for a create. */
export interface Standing extends Target {
  readonly current: StoredVersion | undefined
}

/**
 * Reads what is about to be changed, locked against other changes until the transaction ends, and checks
 * that it may be: it is there, it is the version that the sender has seen, and nobody computed it.
 */
export async function currentVersions(
  tx: Tx,
  { clinicId, partnerId }: Caller,
  targets: readonly Target[],
): Promise<Standing[]> {
  for (const target of targets) forEntry(target.operation.at, () => refuseIfNothingSeen(target))
  const changed = targets.filter(({ does }) => does !== 'create' && does !== 'nothing')
  if (changed.length === 0) return targets.map((target) => ({ ...target, current: undefined }))
  const keys = changed.map(({ id, operation: { type } }) => ({ type, id }))
  await serialise(
    tx,
    keys.map((key) => changeOf(clinicId, key)),
  )
  const rows = await readResources(tx, clinicId, keys)
  const current = new Map(rows.map((row) => [`${row.type}/${row.id}`, row]))
  if (partnerId !== undefined) refuseOfClinic(changed, await writtenByClinic(tx, clinicId, keys))
  return targets.map((target) =>
    forEntry(target.operation.at, () =>
      standing(target, current.get(`${target.operation.type}/${target.id}`)),
    ),
  )
}

/**
 * What the clinic addressed to a partner is read by it, not changed. Of a Task both parties have their steps,
 * which its own table knows.
 */
function refuseOfClinic(changed: readonly Target[], byClinic: ReadonlySet<string>): void {
  const own = changed.filter(
    ({ id, operation: { type } }) =>
      type !== 'Task' && !isStableId(id) && byClinic.has(`${type}/${id}`),
  )
  if (own.length === 0) return
  throw new AppError(
    'scope-missing',
    'This is changed by the clinic that wrote it.',
    own.map(({ operation: { type, at } }) => ({
      severity: 'error',
      code: 'forbidden',
      expression: at,
      rule: 'staff-only',
      text: `The clinic wrote this ${type}: its staff changes it. Answer with a resource of your own.`,
    })),
  )
}

/** The name under which changes of one resource wait for each other. */
export const changeOf = (
  clinicId: string,
  { type, id }: { readonly type: string; readonly id: string },
): string => `update ${clinicId} ${type}/${id}`

function standing(target: Target, current: StoredVersion | undefined): Standing {
  const { operation, does } = target
  if (operation.kind === 'create' || does === 'create' || does === 'nothing')
    return { ...target, current: undefined }
  refuseComputed(operation.type, target.id, operation.at)
  const needed = seenVersions(operation)
  if (does === 'delete' && (current === undefined || current.deleted)) {
    // Deleting what is gone or never was is no error, but nobody can have seen a version of it.
    if (needed !== undefined) throw changedInBetween(operation)
    return { ...target, does: 'nothing', current: undefined }
  }
  if (current === undefined) throw absent(does)
  if (operation.kind === 'update') refuseUnwanted(operation, current)
  if (current.deleted && does === 'patch')
    throw new AppError('deleted', `This ${operation.type} was deleted.`)
  // What was deleted has a version that can be named, but is not there for who asks for any.
  if (needed !== undefined && !isNamed(needed, tagOf(current))) throw changedInBetween(operation)
  if (needed === 'any' && current.deleted) throw changedInBetween(operation)
  return { ...target, current }
}

const absent = (does: Target['does']): AppError =>
  does === 'update'
    ? new AppError('method-not-allowed', 'An update does not create: use POST.')
    : new AppError('not-found', 'There is no such resource.')

const tagOf = ({ version }: StoredVersion): string => String(version)

/** A search that finds nothing finds no version that the sender can have seen. */
function refuseIfNothingSeen({ operation, does }: Target): void {
  if (operation.kind === 'create' || (does !== 'create' && does !== 'nothing')) return
  if (operation.ifMatch !== undefined && seenVersions(operation) !== undefined)
    throw changedInBetween(operation)
}

/** The versions that If-Match names; a type may demand one (R4 3.1.0.5 answers 400 then). */
function seenVersions(
  operation: Exclude<WriteOperation, { kind: 'create' }>,
): EntityTags | undefined {
  const { ifMatch, ifMatchAt, type, kind } = operation
  const isNeeded = rowOf(type)?.needsIfMatch === true
  if (ifMatch === undefined && !isNeeded) return undefined
  const named = entityTags(ifMatch ?? '')
  // Any version will do, but not where the sender must have seen the one that it replaces.
  if (named !== undefined && !(named === 'any' && isNeeded)) return named
  throw new AppError('invalid-request', 'If-Match cannot be read.', [
    {
      severity: 'error',
      code: ifMatch === undefined ? 'required' : 'value',
      expression: ifMatchAt,
      rule: 'if-match',
      text: `This ${kind} names the version that it is about, or several: If-Match: W/"3", W/"5".`,
    },
  ])
}

/** RFC 9110 13.1.2: an update of what is not there yet, or is not of one of these versions. */
function refuseUnwanted({ at, type, ifNoneMatch }: UpdateOperation, current: StoredVersion): void {
  if (ifNoneMatch === undefined) return
  const unwanted = entityTags(ifNoneMatch)
  const fault = {
    severity: 'error',
    expression: at === type ? 'http."If-None-Match"' : `${at}.request.ifNoneMatch`,
    rule: 'if-none-match',
  } as const
  if (unwanted === undefined) {
    const text = 'Name what must not be replaced: If-None-Match: *, or W/"3", W/"5".'
    throw new AppError('invalid-request', 'If-None-Match cannot be read.', [
      { ...fault, code: 'value', text },
    ])
  }
  if (!isNamed(unwanted, tagOf(current)) || (unwanted === 'any' && current.deleted)) return
  const text = `There is such a ${type}, of a version that If-None-Match does not let be replaced.`
  throw new AppError('version-conflict', 'The resource is there already.', [
    { ...fault, code: 'conflict', text },
  ])
}

const changedInBetween = ({ ifMatchAt }: WriteOperation): AppError =>
  new AppError('version-conflict', 'The resource was changed in between.', [
    {
      severity: 'error',
      code: 'conflict',
      expression: ifMatchAt,
      rule: 'if-match',
      text: 'This is not the current version. Read the resource and decide anew.',
    },
  ])
