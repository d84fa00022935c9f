import { AppError } from '../errors.ts'
import { rowOf } from '../fhir/registry.ts'
import type { ResourceTypeRow } from '../fhir/registry-row.ts'
import type { Caller } from '../security/access-token.ts'
import {
  fromFirst,
  readResource,
  readVersion,
  resourceCall,
  type StoredRow,
  type StoredVersion,
} from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import { childOf } from './changes.ts'
import type { Context } from './context.ts'
import { publishedResource } from './published.ts'
import { readEntry } from './referral-record.ts'
import { singleRead, unitOfWork } from './unit-of-work.ts'
import type { Kept } from './write.ts'

/** The registry's row of a type, or the answer that we do not keep it. */
export function keptType(type: string): ResourceTypeRow {
  const row = rowOf(type)
  if (row === undefined) throw new AppError('not-found', 'This service does not keep this type.')
  return row
}

interface Named {
  readonly type: string
  readonly id: string
}

export async function read(context: Context, caller: Caller, named: Named): Promise<Kept> {
  const { type } = named
  keptType(type)
  const published = publishedResource(context, named)
  const rows = await singleRead<StoredRow>(
    context,
    caller,
    [{ type, letter: 'r' }],
    resourceCall(type, named.id),
  )
  return present(caller, type, published ?? fromFirst(rows))
}

/** The same inside a unit of work. */
export async function readIn(
  tx: Tx,
  context: Context,
  caller: Caller,
  { type, id }: Named,
): Promise<Kept> {
  keptType(type)
  const found =
    publishedResource(context, { type, id }) ??
    (await readResource(tx, { clinicId: caller.clinicId, type, id }))
  return present(caller, type, found)
}

/** What was found, noted as read; throws when it is not there. */
function present({ call }: Caller, type: string, found: Kept | StoredVersion | undefined): Kept {
  if (found === undefined) throw new AppError('not-found', `There is no such ${type}.`)
  const child = 'patientId' in found ? found.patientId : undefined
  call.touch({ type, id: found.id, version: found.version, did: 'read' }, child)
  if ('deleted' in found && found.deleted)
    throw new AppError('deleted', `This ${type} was deleted.`)
  return found
}

type NamedVersion = Named & { readonly version: string }

export function vread(context: Context, caller: Caller, named: NamedVersion): Promise<Kept> {
  const { type } = named
  keptType(type)
  return unitOfWork(context, caller, [{ type, letter: 'r' }], (tx) =>
    readVersionIn(tx, context, caller, named),
  )
}

/** The same inside a unit of work. */
export async function readVersionIn(
  tx: Tx,
  context: Context,
  { clinicId, call }: Caller,
  { type, id, version: text }: NamedVersion,
): Promise<Kept> {
  const version = /^[1-9]\d{0,8}$/.test(text) ? Number(text) : 0
  const published = keptType(type).interactions.includes('vread')
    ? publishedResource(context, { type, id })
    : undefined
  if (published?.version === version) return published
  const found = await readVersion(tx, { clinicId, type, id, version })
  if (found === undefined) throw new AppError('not-found', `There is no such version.`)
  if (found.deleted) throw new AppError('deleted', `This version is the deletion.`)
  call.touch({ type, id, version, did: 'read' }, childOf(context, found, readEntry(found).resource))
  return found
}
