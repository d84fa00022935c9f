import type { QueryResultRow } from 'pg'
import { AppError } from '../errors.ts'
import { rowOf } from '../fhir/registry.ts'
import type { Caller } from '../security/access-token.ts'
import type { Call } from '../security/call.ts'
import { allows, type Letter } from '../security/scopes.ts'
import type { ScopedCall } from '../storage/database.ts'
import type { Asking, Tx } from '../storage/transaction.ts'
import { makeAllEvents, makeEvents } from './audit-projection.ts'
import { recordOf } from './call-record.ts'
import type { Context } from './context.ts'
import { refuseSubscribing } from './narrowed-sight.ts'
import { sightOf } from './sight.ts'
import { forStaff } from './staff-only.ts'

/** One interaction with one type, as SMART scopes name it. */
export interface Need {
  readonly type: string
  readonly letter: Letter
}

/**
 * Scope check and transaction, always together; nothing else opens a transaction. The work may be done
 * again from its start, so it has no effect outside the transaction.
 */
export async function unitOfWork<T>(
  context: Context,
  caller: Caller,
  needs: readonly Need[],
  work: (tx: Tx) => Promise<T>,
): Promise<T> {
  refuseMissing(caller, needs)
  refusePartner(caller, needs)
  refuseSubscribing(caller, needs)
  await makeSearched(context, caller, needs)
  return recordedWork(context, caller, work)
}

async function recordedWork<T>(
  context: Context,
  caller: Caller,
  work: (tx: Tx) => Promise<T>,
): Promise<T> {
  const { call } = caller
  const before = call.mark()
  const sealing = context.audit.sealing(caller.clinicId)
  try {
    const result = await context.db.inClinic(sightOf(caller), async (tx) => {
      call.backTo(before)
      const done = await work(tx)
      if (hasWritten(call)) await sealing.write(tx, recordOf(caller, { outcome: 0 }))
      return done
    })
    if (hasWritten(call)) {
      sealing.committed()
      call.backTo(before)
      call.wasRecorded()
    }
    return result
  } catch (error) {
    sealing.failed()
    throw error
  }
}

/** Whoever searches AuditEvents sees what came into the log until now. */
async function makeSearched(
  context: Context,
  { clinicId }: Caller,
  needs: readonly Need[],
): Promise<void> {
  const isSearched = needs.some(({ type, letter }) => type === 'AuditEvent' && letter === 's')
  if (isSearched) await makeEvents(context, clinicId)
}

/** What changes something is recorded in the transaction that changes it, all else before its answer. */
const hasWritten = (call: Call): boolean => call.touched.some(({ did }) => did !== 'read')

/** The same, of what rests on every call that there was. */
export async function ofWholeLog<T>(
  context: Context,
  caller: Caller,
  needs: readonly Need[],
  work: (tx: Tx) => Promise<T>,
): Promise<T> {
  refuseMissing(caller, needs)
  refusePartner(caller, needs)
  refuseSubscribing(caller, needs)
  await makeAllEvents(context, caller.clinicId)
  return recordedWork(context, caller, work)
}

/** One function of the database that reads, in one round trip. */
export async function singleRead<Row extends QueryResultRow>(
  context: Context,
  caller: Caller,
  needs: readonly Need[],
  call: ScopedCall,
): Promise<Row[]> {
  refuseMissing(caller, needs)
  return context.db.callInClinic<Row>(sightOf(caller), call)
}

/** Work that only reads, done once; one round trip less than a unit of work. */
export async function reading<T>(
  context: Context,
  caller: Caller,
  needs: readonly Need[],
  work: (tx: Tx) => Promise<T>,
): Promise<T> {
  refuseMissing(caller, needs)
  await makeSearched(context, caller, needs)
  return context.db.readingInClinic(sightOf(caller), work)
}

/** Work that asks the database once: the statement goes in one round trip with all that is around it. */
export async function readingOnce<T>(
  context: Context,
  caller: Caller,
  needs: readonly Need[],
  work: (asking: Asking) => Promise<T>,
): Promise<T> {
  refuseMissing(caller, needs)
  await makeSearched(context, caller, needs)
  const sight = sightOf(caller)
  return work({ query: (statement) => context.db.readInClinic(sight, statement) })
}

/** Work that reads on one snapshot, so that it may write its answer while it reads. */
export async function unitOfReading<T>(
  context: Context,
  caller: Caller,
  needs: readonly Need[],
  work: (tx: Tx) => Promise<T>,
): Promise<T> {
  refuseMissing(caller, needs)
  await makeSearched(context, caller, needs)
  return context.db.snapshotInClinic(sightOf(caller), work)
}

/** Refuses what the token's scopes do not allow. */
export function refuseMissing(caller: Caller, needs: readonly Need[]): void {
  const missing = needs.filter(({ type, letter }) => !allows(caller.scopes, type, letter))
  if (missing.length > 0)
    throw new AppError(
      'scope-missing',
      'The token does not allow this.',
      [...new Set(missing.map(({ type, letter }) => `system/${type}.${letter}`))].map((scope) => ({
        severity: 'error',
        code: 'forbidden',
        expression: 'http.Authorization',
        rule: 'scope',
        text: `The scope ${scope} is needed.`,
      })),
    )
}

function refusePartner({ partnerId }: Caller, needs: readonly Need[]): void {
  const staffs = needs.filter(
    ({ type, letter }) => 'cud'.includes(letter) && rowOf(type)?.staffOnly,
  )
  if (partnerId === undefined || staffs.length === 0) return
  const types = new Set(staffs.map(({ type }) => type))
  throw forStaff(
    'This is written by the clinic itself.',
    ...[...types].map(
      (type) => `A ${type} is written by the staff of the clinic, not by a partner.`,
    ),
  )
}
