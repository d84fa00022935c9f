import { newPrivateJwk } from '../security/access-token.ts'
import { BEFORE_THE_FIRST } from '../security/audit-chain.ts'
import {
  BEFORE_THE_FIRST_CHECKPOINT,
  type Checkpoint,
  checkpointHash,
  checkpointText,
  type CoveredRange,
  readCheckpoint,
} from '../security/checkpoint.ts'
import { type CheckpointKeys, openCheckpointKeys } from '../security/checkpoint-keys.ts'
import { treeHash } from '../security/merkle.ts'
import {
  insertCheckpoint,
  insertCheckpointKey,
  lastCheckpoint,
  listCheckpointKeys,
  type StoredCheckpoint,
  type Unsealed,
  unsealedRecords,
} from '../storage/checkpoints.ts'
import type { Database } from '../storage/database.ts'
import { serialise } from '../storage/idempotency.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'

/** So many records of a chain are covered at once; the next checkpoint covers what is left. */
const OF_A_CHAIN = 5_000

/** The keys of a database are made at its first start and shared by all who use it. */
export async function checkpointKeysOf(
  db: Pick<Database, 'asOwner'>,
  { newId, now }: { readonly newId: () => string; readonly now: () => Date },
): Promise<CheckpointKeys> {
  const privateJwk = await newPrivateJwk()
  const keys = await db.asOwner(async (tx) => {
    await serialise(tx, ['checkpoint keys'])
    if ((await listCheckpointKeys(tx)).length === 0)
      await insertCheckpointKey(tx, { keyId: newId(), privateJwk, createdAt: now().toISOString() })
    return listCheckpointKeys(tx)
  })
  return openCheckpointKeys(keys)
}

/** A checkpoint that was taken: whoever keeps it elsewhere can prove later what stood in the log. */
export interface Sealed {
  readonly clinicId: string
  readonly number: number
  readonly hash: string
}

/**
 * Signs what came into a clinic's log since its last checkpoint, if anything did. Several processes may ask
 * at once; each record is covered once.
 */
export function takeCheckpoint(
  context: Pick<Context, 'db' | 'checkpointKeys' | 'now'>,
  clinicId: string,
): Promise<Sealed | undefined> {
  return context.db.inClinic({ clinicId }, async (tx) => {
    await serialise(tx, [`audit checkpoint ${clinicId}`])
    const chains = sound(await unsealedRecords(tx, clinicId, OF_A_CHAIN))
    if (chains.length === 0) return undefined
    const takenAt = context.now().toISOString()
    const next = await followingCheckpoint(tx, { clinicId, takenAt, chains })
    const payload = checkpointText(next)
    const signature = await context.checkpointKeys.sign(payload)
    const { number } = next
    const ranges = next.ranges.map(({ writer, from, to, head }) => ({
      writer,
      first: from,
      last: to,
      head: Buffer.from(head, 'hex'),
    }))
    await insertCheckpoint(tx, clinicId, { number, takenAt, payload, signature, ranges })
    return { clinicId, number, hash: checkpointHash(payload) }
  })
}

type Chain = readonly [Unsealed, ...Unsealed[]]

/**
 * The new records of each chain, as far as each follows the one before it: nothing is signed that has a gap
 * or was changed; the verification names it.
 */
function sound(records: readonly Unsealed[]): readonly Chain[] {
  const chains = new Map<string, [Unsealed, ...Unsealed[]]>()
  const broken = new Set<string>()
  for (const record of records) {
    const { writer } = record
    const chain = chains.get(writer)
    const before = chain?.at(-1)
    const follows = record.sequence === (before?.sequence ?? record.reached) + 1
    const head = before?.hash ?? record.head ?? BEFORE_THE_FIRST
    if (!follows || !record.previous.equals(head)) broken.add(writer)
    if (broken.has(writer)) continue
    if (chain === undefined) chains.set(writer, [record])
    else chain.push(record)
  }
  return [...chains.values()]
}

const rangeOf = (chain: Chain): CoveredRange => {
  const [first] = chain
  const last = chain.at(-1) ?? first
  return {
    writer: first.writer,
    from: first.sequence,
    to: last.sequence,
    head: last.hash.toString('hex'),
  }
}

async function followingCheckpoint(
  tx: Tx,
  asked: { clinicId: string; takenAt: string; chains: readonly Chain[] },
): Promise<Checkpoint> {
  const { clinicId: clinic, takenAt, chains } = asked
  const last = await lastCheckpoint(tx, clinic)
  const before = last === undefined ? undefined : readLast(last)
  const leaves = chains.flatMap((chain) => chain.map(({ hash }) => hash))
  const ranges = chains.map(rangeOf)
  return {
    clinic,
    number: (last?.number ?? 0) + 1,
    takenAt,
    previous: last === undefined ? BEFORE_THE_FIRST_CHECKPOINT : checkpointHash(last.payload),
    treeSize: leaves.length,
    rootHash: treeHash(leaves).toString('hex'),
    ranges,
    records: (before?.records ?? 0) + leaves.length,
    writers: (before?.writers ?? 0) + ranges.filter(({ from }) => from === 1).length,
  }
}

function readLast({ payload }: StoredCheckpoint): Checkpoint {
  const read = readCheckpoint(payload)
  if (read === undefined) throw new Error('The last checkpoint of the audit log was altered')
  return read
}
