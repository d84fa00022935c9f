import {
  BEFORE_THE_FIRST_CHECKPOINT,
  type Checkpoint,
  checkpointHash,
  readCheckpoint,
} from '../security/checkpoint.ts'
import type { CheckpointKeys } from '../security/checkpoint-keys.ts'
import { storedRanges } from '../storage/checkpoint-walk.ts'
import { checkpointsAfter, type StoredCheckpoint } from '../storage/checkpoints.ts'
import type { Tx } from '../storage/transaction.ts'
import type { AuditFault } from './audit-fault.ts'
import { coverageFault } from './checkpoint-coverage.ts'

/** So many checkpoints, with the hashes of all that they cover, are in memory at once. */
const BATCH = 50

export interface CheckpointWalk {
  readonly checkpoints: number
  /** Of the last of them. */
  readonly lastCheckpoint: string
  readonly fault?: AuditFault
}

/** What all checkpoints up to one say. */
interface Reached {
  readonly number: number
  readonly hash: string
  readonly records: number
  readonly ranges: number
  /** Up to where each chain is covered. */
  readonly chains: Map<string, number>
}

/** Each checkpoint in order: signature, chain, and whether the log still is what it says. */
export async function walkCheckpoints(
  tx: Tx,
  log: { readonly clinicId: string; readonly keptSince: string; readonly keys: CheckpointKeys },
): Promise<CheckpointWalk> {
  const { clinicId, keys } = log
  let reached: Reached = {
    number: 0,
    hash: BEFORE_THE_FIRST_CHECKPOINT,
    records: 0,
    ranges: 0,
    chains: new Map(),
  }
  for (;;) {
    const { number } = reached
    const stored = await checkpointsAfter(tx, { clinicId, number, limit: BATCH })
    const read: Checkpoint[] = []
    let wrong: string | undefined
    for (const one of stored) {
      const next = await follows(one, { clinicId, reached, keys })
      if (typeof next === 'string') {
        wrong = next
        break
      }
      read.push(next)
      reached = after(reached, next, one)
    }
    const fault = await coverageFault(tx, log, read)
    if (fault !== undefined) return { ...counted(reached), fault }
    if (wrong !== undefined) return faulty(reached, wrong)
    if (stored.length < BATCH) break
  }
  const fault = await strayRange(tx, clinicId, reached)
  return { ...counted(reached), ...(fault === undefined ? {} : { fault }) }
}

const counted = ({ number, hash }: Reached) => ({ checkpoints: number, lastCheckpoint: hash })

const MISSING = 'There is a later one.'

/** The next after those that were reached. */
const faulty = (reached: Reached, why: string): CheckpointWalk => ({
  ...counted(reached),
  fault: {
    of: 'checkpoint',
    is: why === MISSING ? 'missing' : 'altered',
    why,
    checkpoint: reached.number + 1,
  },
})

/** What a checkpoint says, or why it is not the one that follows. */
async function follows(
  stored: StoredCheckpoint,
  given: {
    readonly clinicId: string
    readonly reached: Reached
    readonly keys: CheckpointKeys
  },
): Promise<Checkpoint | string> {
  const { clinicId, reached, keys } = given
  if (stored.number !== reached.number + 1) return MISSING
  const read = readCheckpoint(stored.payload)
  if (read === undefined) return 'It cannot be read.'
  if (!(await keys.verify(stored.payload, stored.signature))) return 'The signature does not hold.'
  const { clinic, number, takenAt, previous, records, writers, treeSize, ranges } = read
  if (clinic !== clinicId || number !== stored.number || takenAt !== stored.takenAt)
    return 'It is that of another place.'
  if (previous !== reached.hash) return 'It does not follow the one before it.'
  const isNew = ranges.filter(({ writer }) => !reached.chains.has(writer)).length
  const covered = ranges.reduce((sum, { from, to }) => sum + to - from + 1, 0)
  const isGapless = ranges.every(
    ({ writer, from, to }) => from === (reached.chains.get(writer) ?? 0) + 1 && to >= from,
  )
  return isGapless &&
    treeSize === covered &&
    records === reached.records + covered &&
    writers === reached.chains.size + isNew
    ? read
    : 'Its ranges do not follow those before them.'
}

function after(
  { ranges, chains }: Reached,
  { number, records, ranges: added }: Checkpoint,
  { payload }: StoredCheckpoint,
): Reached {
  for (const { writer, to } of added) chains.set(writer, to)
  const hash = checkpointHash(payload)
  return { number, hash, records, ranges: ranges + added.length, chains }
}

/** A stored range that belongs to no checkpoint: the checkpoint is gone, or there never was one. */
async function strayRange(
  tx: Tx,
  clinicId: string,
  { number, ranges }: Reached,
): Promise<AuditFault | undefined> {
  const stored = await storedRanges(tx, clinicId)
  if (stored.orphan !== undefined)
    return {
      of: 'checkpoint',
      is: 'missing',
      why: 'What it covers is on record.',
      checkpoint: stored.orphan,
    }
  if (stored.count === ranges) return undefined
  const why = 'More ranges are stored than the checkpoints have.'
  return { of: 'checkpoint', is: 'inserted', why, checkpoint: number }
}
