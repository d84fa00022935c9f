import { BEFORE_THE_FIRST, chainHash } from '../security/audit-chain.ts'
import {
  countEvents,
  eventsWithoutRecord,
  projectedChains,
  rowsAfter,
  WALK_START,
  type WalkedRow,
  witnessOf,
} from '../storage/audit-walk.ts'
import type { Tx } from '../storage/transaction.ts'
import type { AuditFault } from './audit-fault.ts'
import { eventVersion } from './audit-projection.ts'
import type { Context } from './context.ts'

/** So many rows are in memory at once. */
const BATCH = 1_000

export interface ChainWalk {
  readonly records: number
  readonly writers: number
  readonly fault?: AuditFault
}

interface Log {
  readonly clinicId: string
  readonly baseUrl: Context['baseUrl']
}

/** Each chain from its first record to its last, then what stands beside them. */
export async function walkChains(tx: Tx, log: Log): Promise<ChainWalk> {
  const lasts = new Map<string, number>()
  let place = WALK_START
  let before: WalkedRow | undefined
  let [records, events] = [0, 0]
  for (;;) {
    const rows = await rowsAfter(tx, { clinicId: log.clinicId, place, limit: BATCH })
    for (const row of rows) {
      if (row.writer !== before?.writer) before = undefined
      const fault = await faultOf(tx, log, row, before)
      if (fault !== undefined) return { records, writers: lasts.size, fault }
      records += 1
      if (row.event !== null) events += 1
      lasts.set(row.writer, row.sequence)
      before = row
    }
    if (before === undefined || rows.length < BATCH) break
    const { writer, sequence, recorded } = before
    place = { writer, sequence: `${sequence}`, recorded }
  }
  const fault =
    (await cutOff(tx, log.clinicId, lasts)) ?? (await forgedEvent(tx, log.clinicId, events))
  return { records, writers: lasts.size, ...(fault === undefined ? {} : { fault }) }
}

const isOf = (
  { writer, sequence, id }: WalkedRow,
  is: AuditFault['is'],
  why: string,
): AuditFault => ({ of: 'record', is, why, writer, sequence, id })

/** What is wrong with a record, given the one before it in its chain. */
async function faultOf(
  tx: Tx,
  log: Log,
  row: WalkedRow,
  before: WalkedRow | undefined,
): Promise<AuditFault | undefined> {
  const { clinicId } = log
  const expected = (before?.sequence ?? 0) + 1
  if (row.sequence > expected) {
    const { writer } = row
    const why = 'The chain has a gap here.'
    return { of: 'record', is: 'missing', why, writer, sequence: expected }
  }
  const isWhole = chainHash(row.previous, { ...row, clinicId }).equals(row.hash)
  if (row.sequence < expected) {
    const isFirstFalse = isWhole && (await witnessOf(tx, { ...row, clinicId })).isConfirmed
    const inserted = isFirstFalse && before !== undefined ? before : row
    return isOf(inserted, 'inserted', 'Two records have this place.')
  }
  if (!isWhole) return isOf(row, 'altered', 'Its hash is not that of what it says.')
  if (row.projected === null) return isOf(row, 'inserted', 'No writer is on record for its chain.')
  if (!row.previous.equals(before?.hash ?? BEFORE_THE_FIRST))
    return before !== undefined && (await isFaultBefore(tx, clinicId, before, row))
      ? isOf(before, 'altered', 'The record after it follows another one.')
      : isOf(row, 'altered', 'It does not follow the record before it.')
  return eventFault(log, row, row.projected)
}

/** Of two records that do not fit, each whole in itself: is it the first that is not the one that was written? */
async function isFaultBefore(
  tx: Tx,
  clinicId: string,
  before: WalkedRow,
  row: WalkedRow,
): Promise<boolean> {
  const { isConfirmed, isFollowed } = await witnessOf(tx, { ...row, clinicId })
  if (isConfirmed) return true
  return !isFollowed && !(await witnessOf(tx, { ...before, clinicId })).isConfirmed
}

/** Is the AuditEvent of a record there, and what the record says? */
function eventFault(log: Log, row: WalkedRow, projected: number): AuditFault | undefined {
  const { writer, sequence, id, event } = row
  const place = { of: 'event', writer, sequence, id } as const
  if (event === null)
    return sequence > projected
      ? undefined
      : { ...place, is: 'missing', why: 'The record is there, its AuditEvent is not.' }
  return event === rendered(log, row)
    ? undefined
    : { ...place, is: 'altered', why: 'The AuditEvent is not what its record says.' }
}

function rendered(log: Log, row: WalkedRow): string | undefined {
  try {
    return eventVersion(log, log.clinicId, row).body
  } catch {
    // Not the record of any version of this software.
    return undefined
  }
}

/** A chain that ends before what was made of it does. */
async function cutOff(
  tx: Tx,
  clinicId: string,
  lasts: ReadonlyMap<string, number>,
): Promise<AuditFault | undefined> {
  for (const { writer, projected } of await projectedChains(tx, clinicId)) {
    const last = lasts.get(writer) ?? 0
    if (last >= projected) continue
    const why = 'An AuditEvent was made of it.'
    return { of: 'record', is: 'missing', why, writer, sequence: last + 1 }
  }
  return undefined
}

/** An AuditEvent that no record stands for. */
async function forgedEvent(
  tx: Tx,
  clinicId: string,
  events: number,
): Promise<AuditFault | undefined> {
  if ((await countEvents(tx, clinicId)) === events) return undefined
  const [id] = await eventsWithoutRecord(tx, clinicId, 1)
  if (id === undefined) return undefined
  return { of: 'event', is: 'inserted', why: 'No record stands for this AuditEvent.', id }
}
