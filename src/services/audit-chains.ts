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
import { checkpointCovering } from '../storage/checkpoints.ts'
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
  /** What a checkpoint before this instant covers may have been let go. */
  readonly keptSince: string
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
      if (row.event !== null && row.recorded >= log.keptSince) events += 1
      lasts.set(row.writer, row.sequence)
      before = row
    }
    if (before === undefined || rows.length < BATCH) break
    const { writer, sequence, recorded } = before
    place = { writer, sequence: `${sequence}`, recorded }
  }
  const fault = (await cutOff(tx, log, lasts)) ?? (await forgedEvent(tx, log, events))
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
  const isFirstKept =
    before === undefined && row.sequence > 1 && (await wasLetGo(tx, log, row, row.sequence - 1))
  if (row.sequence > expected && !isFirstKept) {
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
  if (!isFirstKept && !row.previous.equals(before?.hash ?? BEFORE_THE_FIRST))
    return before !== undefined && (await isFaultBefore(tx, clinicId, before, row))
      ? isOf(before, 'altered', 'The record after it follows another one.')
      : isOf(row, 'altered', 'It does not follow the record before it.')
  return eventFault(log, row, row.projected)
}

/** Whether what is gone of a chain, up to a record, was old enough by a checkpoint that was signed then. */
async function wasLetGo(
  tx: Tx,
  { clinicId, keptSince }: Log,
  { writer }: { readonly writer: string },
  sequence: number,
): Promise<boolean> {
  const covering = await checkpointCovering(tx, { clinicId, writer, sequence })
  return covering !== undefined && covering.takenAt < keptSince
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

/** A chain that ends before the point that its writer had come to for certain. */
async function cutOff(
  tx: Tx,
  log: Log,
  lasts: ReadonlyMap<string, number>,
): Promise<AuditFault | undefined> {
  for (const { writer, projected } of await projectedChains(tx, log.clinicId)) {
    const last = lasts.get(writer) ?? 0
    // A writer is on record from its first record on.
    const due = Math.max(projected, 1)
    if (last >= due) continue
    if (last === 0 && (await wasLetGo(tx, log, { writer }, due))) continue
    const why = 'Its writer had come further.'
    return { of: 'record', is: 'missing', why, writer, sequence: last + 1 }
  }
  return undefined
}

/** An AuditEvent that no record stands for. */
async function forgedEvent(
  tx: Tx,
  { clinicId, keptSince }: Log,
  events: number,
): Promise<AuditFault | undefined> {
  if ((await countEvents(tx, { clinicId, keptSince })) === events) return undefined
  const [id] = await eventsWithoutRecord(tx, { clinicId, keptSince })
  if (id === undefined) return undefined
  return { of: 'event', is: 'inserted', why: 'No record stands for this AuditEvent.', id }
}
