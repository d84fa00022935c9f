import { auditKeys } from './checkpoint-schema.ts'
import type { Tx } from './transaction.ts'

/** A record that no checkpoint covers, and where the last checkpoint left its chain. */
export interface Unsealed {
  readonly writer: string
  readonly sequence: number
  readonly previous: Buffer
  readonly hash: Buffer
  /** Zero and null when none covers anything of the chain. */
  readonly reached: number
  readonly head: Buffer | null
}

/** What no checkpoint covers yet, chain by chain, so many records of each at most. */
export async function unsealedRecords(
  tx: Tx,
  clinicId: string,
  limit: number,
): Promise<readonly Unsealed[]> {
  const rows = await tx.query<
    Omit<Unsealed, 'sequence' | 'reached'> & { sequence: string; reached: string }
  >({
    name: 'unsealed-records',
    text: `select w.writer, a.sequence, a.previous, a.hash, coalesce(r.last, 0) as reached, r.head
      from audit_writers w
      left join lateral (select last, head from audit_ranges
        where clinic_id = w.clinic_id and writer = w.writer order by last desc limit 1) r on true
      cross join lateral (select sequence, previous, hash from audit_log
        where clinic_id = w.clinic_id and writer = w.writer and sequence > coalesce(r.last, 0)
        order by sequence limit $2) a
      where w.clinic_id = $1 and w.finished_at is null
      order by w.writer, a.sequence`,
    values: [clinicId, limit],
  })
  return rows.map((row) => ({
    ...row,
    sequence: Number(row.sequence),
    reached: Number(row.reached),
  }))
}

/** Clinics with records that no checkpoint covers. As the owner: any clinic's. */
export async function unsealedClinics(tx: Tx): Promise<readonly string[]> {
  const rows = await tx.query<{ clinic: string }>({
    text: `select distinct w.clinic_id as clinic from audit_writers w
      where w.finished_at is null and exists (select from audit_log a
        where a.clinic_id = w.clinic_id and a.writer = w.writer and a.sequence > coalesce(
          (select r.last from audit_ranges r
            where r.clinic_id = w.clinic_id and r.writer = w.writer order by r.last desc limit 1), 0))`,
  })
  return rows.map(({ clinic }) => clinic)
}

/** A checkpoint as it is stored. */
export interface StoredCheckpoint {
  readonly number: number
  readonly takenAt: string
  readonly payload: string
  readonly signature: string
}

const COLUMNS = `number, payload, signature,
  to_char(taken_at at time zone 'utc', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"') as "takenAt"`
type Row = Omit<StoredCheckpoint, 'number'> & { readonly number: string }
const fromRow = (row: Row): StoredCheckpoint => ({ ...row, number: Number(row.number) })

export async function lastCheckpoint(
  tx: Tx,
  clinicId: string,
): Promise<StoredCheckpoint | undefined> {
  const rows = await tx.query<Row>({
    name: 'last-checkpoint',
    text: `select ${COLUMNS} from audit_checkpoints where clinic_id = $1
      order by number desc limit 1`,
    values: [clinicId],
  })
  return rows.map(fromRow)[0]
}

/** The next checkpoints after a number, in order. */
export async function checkpointsAfter(
  tx: Tx,
  { clinicId, number, limit }: { clinicId: string; number: number; limit: number },
): Promise<readonly StoredCheckpoint[]> {
  const rows = await tx.query<Row>({
    name: 'checkpoints-after',
    text: `select ${COLUMNS} from audit_checkpoints where clinic_id = $1 and number > $2
      order by number limit $3`,
    values: [clinicId, number, limit],
  })
  return rows.map(fromRow)
}

/** The checkpoint that covers a record, if one does. */
export async function checkpointCovering(
  tx: Tx,
  { clinicId, writer, sequence }: { clinicId: string; writer: string; sequence: number },
): Promise<StoredCheckpoint | undefined> {
  const rows = await tx.query<Row>({
    name: 'checkpoint-covering',
    text: `select ${COLUMNS} from audit_checkpoints where clinic_id = $1 and number = (
      select number from audit_ranges where clinic_id = $1 and writer = $2 and last >= $3
      order by last limit 1)`,
    values: [clinicId, writer, sequence],
  })
  return rows.map(fromRow)[0]
}

export interface StoredRange {
  readonly writer: string
  readonly first: number
  readonly last: number
  readonly head: Buffer
}

export async function insertCheckpoint(
  tx: Tx,
  clinicId: string,
  checkpoint: StoredCheckpoint & { readonly ranges: readonly StoredRange[] },
): Promise<void> {
  const { number, takenAt, payload, signature, ranges } = checkpoint
  await tx.query({
    name: 'insert-checkpoint',
    text: `with taken as (
        insert into audit_checkpoints (clinic_id, number, taken_at, payload, signature)
        values ($1, $2, $3, $4, $5)
      )
      insert into audit_ranges (clinic_id, number, writer, first, last, head)
      select $1, $2, * from unnest($6::uuid[], $7::bigint[], $8::bigint[], $9::bytea[])`,
    values: [
      clinicId,
      number,
      takenAt,
      payload,
      signature,
      ranges.map(({ writer }) => writer),
      ranges.map(({ first }) => first),
      ranges.map(({ last }) => last),
      ranges.map(({ head }) => head),
    ],
  })
}

export interface CheckpointKey {
  readonly keyId: string
  readonly privateJwk: string
  readonly createdAt: string
}

/** All that ever were, newest first: what the old ones signed still holds. */
export const listCheckpointKeys = async (tx: Tx): Promise<CheckpointKey[]> => {
  const rows = await tx.drizzle.select().from(auditKeys)
  return rows.toSorted((a, b) => Date.parse(b.createdAt) - Date.parse(a.createdAt))
}

export async function insertCheckpointKey(tx: Tx, key: CheckpointKey): Promise<void> {
  await tx.drizzle.insert(auditKeys).values(key)
}
