import { createHash } from 'node:crypto'
import { z } from 'zod'
import { HASH_BYTES } from './audit-chain.ts'

/** Records of one chain that came in since the checkpoint before. */
export interface CoveredRange {
  readonly writer: string
  readonly from: number
  readonly to: number
  /** Hash of the last, in hex: it stands for the whole chain up to there. */
  readonly head: string
}

/** What a checkpoint says of a clinic's log. Hashes are in hex. */
export interface Checkpoint {
  readonly clinic: string
  readonly number: number
  /** ISO instant in UTC. */
  readonly takenAt: string
  /** Hash of what the checkpoint before says: with it, this one stands for the heads of all chains. */
  readonly previous: string
  /** Of the Merkle tree of the covered records: one leaf for each, its hash, by writer and sequence. */
  readonly treeSize: number
  readonly rootHash: string
  readonly ranges: readonly CoveredRange[]
  /** In all checkpoints up to this one. */
  readonly records: number
  readonly writers: number
}

/** What the first checkpoint follows. */
export const BEFORE_THE_FIRST_CHECKPOINT = '00'.repeat(HASH_BYTES)

const Hash = z.string().regex(/^[0-9a-f]{64}$/)
const Count = z.int().positive()
const Shape = z.strictObject({
  clinic: z.string(),
  number: Count,
  previous: Hash,
  ranges: z
    .array(z.strictObject({ from: Count, head: Hash, to: Count, writer: z.string() }))
    .min(1),
  records: Count,
  rootHash: Hash,
  takenAt: z.string(),
  treeSize: Count,
  writers: Count,
})

/** The one text of a checkpoint: JSON as RFC 8785 has it, names in order and no spaces. */
export const checkpointText = (checkpoint: Checkpoint): string =>
  JSON.stringify({
    clinic: checkpoint.clinic,
    number: checkpoint.number,
    previous: checkpoint.previous,
    ranges: checkpoint.ranges.map(({ from, head, to, writer }) => ({ from, head, to, writer })),
    records: checkpoint.records,
    rootHash: checkpoint.rootHash,
    takenAt: checkpoint.takenAt,
    treeSize: checkpoint.treeSize,
    writers: checkpoint.writers,
  })

/** Undefined for a text that is not the one text of a checkpoint. */
export function readCheckpoint(text: string): Checkpoint | undefined {
  try {
    const read = Shape.safeParse(JSON.parse(text))
    return read.success && checkpointText(read.data) === text ? read.data : undefined
  } catch {
    return undefined
  }
}

export const checkpointHash = (text: string): string =>
  createHash('sha256').update(text).digest('hex')
