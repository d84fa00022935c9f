import { createHash } from 'node:crypto'

export const HASH_BYTES = 32
/** What the first record of a chain follows. */
export const BEFORE_THE_FIRST: Buffer = Buffer.alloc(HASH_BYTES)

/** A record at its place in a chain. */
export interface Chained {
  readonly clinicId: string
  readonly writer: string
  /** 1, 2, 3 … without gap. */
  readonly sequence: number
  readonly id: string
  /** ISO instant in UTC with milliseconds. */
  readonly recorded: string
  readonly record: string
}

const LEAF = Buffer.of(0)

/** What a record says and where it stands, as it is hashed after the hash before it. */
export const chainedText = ({
  clinicId,
  writer,
  sequence,
  id,
  recorded,
  record,
}: Chained): string => `${clinicId}|${writer}|${sequence}|${id}|${recorded}|${record}`

/** SHA-256 over what a record says, where it stands and the hash before it: no part can change unseen. */
export function chainHash(previous: Buffer, chained: Chained): Buffer {
  return createHash('sha256').update(LEAF).update(previous).update(chainedText(chained)).digest()
}
