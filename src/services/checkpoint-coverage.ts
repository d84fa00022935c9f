import type { Checkpoint } from '../security/checkpoint.ts'
import { treeHash } from '../security/merkle.ts'
import {
  type ClaimedRange,
  type CoveredHash,
  coveredHashes,
  unstoredRange,
} from '../storage/checkpoint-walk.ts'
import type { Tx } from '../storage/transaction.ts'
import type { AuditFault } from './audit-fault.ts'

/** Is the log still what these checkpoints say? */
export async function coverageFault(
  tx: Tx,
  { clinicId, keptSince }: { readonly clinicId: string; readonly keptSince: string },
  read: readonly Checkpoint[],
): Promise<AuditFault | undefined> {
  const claimed = read.flatMap(({ number, ranges, takenAt }) =>
    ranges.map((range) => ({ ...range, number, mayBeGone: takenAt < keptSince })),
  )
  const hashes = new Map<string, CoveredHash[]>()
  for (const one of await coveredHashes(tx, clinicId, claimed)) {
    const found = hashes.get(placeOf(one))
    if (found === undefined) hashes.set(placeOf(one), [one])
    else found.push(one)
  }
  const covered = (range: Pick<ClaimedRange, 'number' | 'writer'>) =>
    hashes.get(placeOf(range)) ?? []
  for (const range of claimed) {
    const fault = rangeFault(range, covered(range), range.mayBeGone)
    if (fault !== undefined) return fault
  }
  for (const { number, ranges, rootHash, treeSize } of read) {
    const leaves = ranges.flatMap((range) => covered({ ...range, number }).map(({ hash }) => hash))
    if (leaves.length === treeSize && treeHash(leaves).toString('hex') !== rootHash)
      return { of: 'checkpoint', is: 'altered', why: 'The root is another.', checkpoint: number }
  }
  const unstored = await unstoredRange(tx, clinicId, claimed)
  if (unstored === undefined) return undefined
  const why = 'A range of it is stored otherwise or not at all.'
  return { of: 'checkpoint', is: 'altered', why, checkpoint: unstored }
}

const placeOf = ({ number, writer }: Pick<ClaimedRange, 'number' | 'writer'>): string =>
  `${number} ${writer}`

/** Are all records of a range there, up to its head; or, of an old one, the last of them? */
function rangeFault(
  { number: checkpoint, writer, from, to, head }: ClaimedRange,
  found: readonly CoveredHash[],
  mayBeGone: boolean,
): AuditFault | undefined {
  const place = { of: 'record', writer, checkpoint } as const
  const begins = mayBeGone ? to - found.length + 1 : from
  const gap = found.findIndex(({ sequence }, index) => sequence !== begins + index)
  const count = gap === -1 ? found.length : gap
  if (begins + count <= to)
    return { ...place, is: 'missing', why: 'A checkpoint covers it.', sequence: begins + count }
  const last = found.at(-1)
  if (last === undefined || last.hash.toString('hex') === head) return undefined
  const why = 'Up to here the chain is not the one that was signed.'
  return { ...place, is: 'altered', why, sequence: to, id: last.id }
}
