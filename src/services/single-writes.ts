import { AppError, type Fault } from '../errors.ts'
import { type Meant, type PatchOf, placesAlone, type WriteOperation } from '../fhir/operations.ts'
import type { ProvenanceOf } from '../fhir/provenance-header.ts'
import { rowOf } from '../fhir/registry.ts'
import type { Interaction, ResourceTypeRow } from '../fhir/registry-row.ts'
import type { Caller } from '../security/access-token.ts'
import type { Tx } from '../storage/transaction.ts'
import { checkedResource } from './checked-resource.ts'
import { refuseComputed } from './computed.ts'
import type { Context } from './context.ts'
import { latestDay } from './day.ts'
import { doneOnce } from './done-once.ts'
import { needsOf } from './needs.ts'
import { versionReference } from './new-version.ts'
import type { SentRequest } from './once.ts'
import { refuseOtherId } from './targets.ts'
import { type Need, unitOfWork } from './unit-of-work.ts'
import { type Done, type Kept, write } from './write.ts'

interface Sent {
  readonly type: string
  /** Read only when the interaction is offered at all. */
  readonly body: () => unknown
  /** Where it comes from, when the sender says so. */
  readonly provenance?: ProvenanceOf | undefined
}

interface SentNew extends Sent {
  /** The header If-None-Exist, a query without `?`. */
  readonly ifNoneExist: string | undefined
  /** Known by its key when it is sent again. */
  readonly request: SentRequest
}

export function create(
  context: Context,
  caller: Caller,
  { type, body, ifNoneExist, provenance, request }: SentNew,
): Promise<Done> {
  const row = offered(type, 'create')
  const resource = checkedResource(type, body(), latestDay(context))
  const operation: WriteOperation = {
    kind: 'create',
    ...placesAlone(type),
    conditionAt: 'http."If-None-Exist"',
    type: row.type,
    resource,
    fullUrl: undefined,
    ifNoneExist: ifNoneExist?.replace(/^\?/, ''),
  }
  return alone(context, caller, { operation, provenance }, (tx, work) =>
    doneOnce(tx, { context, caller, request, operation }, work),
  )
}

interface Aimed {
  readonly meant: Meant
  /** The header If-Match: the version that the sender has seen. */
  readonly ifMatch: string | undefined
}

/** The header If-None-Match: with `*` nothing that is there is replaced. */
interface IfNew {
  readonly ifNoneMatch: string | undefined
}

/** A new version of a resource; the versions before it stay. */
export function update(
  context: Context,
  caller: Caller,
  { type, body, provenance, meant, ifMatch, ifNoneMatch }: Sent & Aimed & IfNew,
): Promise<Done> {
  const row = offered(type, 'update')
  // Said before anything else: a finding is no valid input, and that would mislead.
  if ('id' in meant) refuseComputed(type, meant.id, type)
  const resource = checkedResource(type, body(), latestDay(context))
  if ('id' in meant) refuseOtherId(resource, meant.id, type)
  const sent = { ...placesAlone(type), type: row.type, resource, fullUrl: undefined }
  const operation: WriteOperation = { kind: 'update', ...sent, meant, ifMatch, ifNoneMatch }
  return alone(context, caller, { operation, provenance })
}

/** A new version made by a patch of the current one. */
export function patch(
  context: Context,
  caller: Caller,
  {
    type,
    patchOf,
    provenance,
    meant,
    ifMatch,
  }: Aimed & Omit<Sent, 'body'> & { readonly patchOf: () => PatchOf },
): Promise<Done> {
  const row = offered(type, 'patch')
  const sent = { ...placesAlone(type), type: row.type, patch: patchOf() }
  const operation: WriteOperation = { kind: 'patch', ...sent, meant, ifMatch }
  return alone(context, caller, { operation, provenance })
}

/** Takes a resource out of sight; its versions stay. Deleting what is not there is no error. */
export function remove(
  context: Context,
  caller: Caller,
  { type, meant, ifMatch }: Aimed & { readonly type: string },
): Promise<Done> {
  const row = offered(type, 'delete')
  return alone(context, caller, {
    operation: { kind: 'delete', ...placesAlone(type), type: row.type, meant, ifMatch },
  })
}

interface Alone {
  readonly operation: WriteOperation
  readonly provenance?: ProvenanceOf | undefined
}

/** @param within around the work, in its transaction */
function alone(
  context: Context,
  caller: Caller,
  { operation, provenance }: Alone,
  within = (_tx: Tx, work: () => Promise<Done>): Promise<Done> => work(),
): Promise<Done> {
  const keeps: readonly Need[] =
    provenance === undefined ? [] : [{ type: 'Provenance', letter: 'c' }]
  return unitOfWork(context, caller, [...needsOf(operation), ...keeps], (tx) =>
    within(tx, async () => {
      const [done] = await write(tx, context, caller, [operation])
      if (done === undefined) throw new Error('An interaction was not done')
      // Where nothing was written there is nothing that comes from anywhere.
      if (provenance !== undefined && done.did !== 'nothing' && done.kept !== undefined)
        await write(tx, context, caller, [creation(provenance, done.kept)])
      return done
    }),
  )
}

/** In the transaction of what it is about. */
const creation = (provenance: ProvenanceOf, kept: Kept): WriteOperation => ({
  kind: 'create',
  ...placesAlone('Provenance'),
  type: 'Provenance',
  resource: provenance({ target: versionReference(kept), recorded: kept.updatedAt }),
  fullUrl: undefined,
  ifNoneExist: undefined,
})

function offered(type: string, interaction: Interaction): ResourceTypeRow {
  const row = rowOf(type)
  if (row === undefined) throw new AppError('not-found', 'This service does not keep this type.')
  if (!row.interactions.includes(interaction))
    throw new AppError(
      'method-not-allowed',
      `There is no ${interaction} of a ${type} here.`,
      interaction === 'create' && row.togetherOnly === true
        ? [{ ...sentAsAWhole(type), code: 'not-supported' }]
        : [],
    )
  return row
}

/** An entry of a batch: a DeviceDefinition is part of a size chart, which is taken as a whole. */
export function refuseAlone({ kind, type, resourceAt }: WriteOperation): void {
  if (kind !== 'create' || rowOf(type)?.togetherOnly !== true) return
  throw new AppError('invalid-resource', 'A size chart is sent as a whole.', [
    sentAsAWhole(resourceAt),
  ])
}

export const sentAsAWhole = (expression: string): Fault => ({
  severity: 'error',
  code: 'business-rule',
  expression,
  rule: 'size-chart-set',
  text: 'A size chart is sent in one transaction Bundle: the DeviceDefinition of the line, and one per size whose parentDevice it is.',
})
