import type { LoggedRow } from './audit-reading.ts'
import type { Tx } from './transaction.ts'

/** A row of the log with what was made of it. */
export interface WalkedRow extends LoggedRow {
  /** Up to where the chain was made into AuditEvents; null for a chain that nobody began. */
  readonly projected: number | null
  /** The AuditEvent, as it is stored. */
  readonly event: string | null
}

/** Where a walk along the log stands. */
export interface WalkPlace {
  readonly writer: string
  /** As text: any bigint. */
  readonly sequence: string
  readonly recorded: string
}

/** Before every row there can be. */
export const WALK_START: WalkPlace = {
  writer: '00000000-0000-0000-0000-000000000000',
  sequence: '-9223372036854775808',
  recorded: '-infinity',
}

/** The next rows of a clinic's log by chain and sequence; `recorded` with every digit that is stored. */
export async function rowsAfter(
  tx: Tx,
  asked: { readonly clinicId: string; readonly place: WalkPlace; readonly limit: number },
): Promise<readonly WalkedRow[]> {
  const { clinicId, place, limit } = asked
  const rows = await tx.query<
    Omit<WalkedRow, 'sequence' | 'projected'> & { sequence: string; projected: string | null }
  >({
    name: 'audit-rows-after',
    text: `select a.writer, a.sequence, a.id, a.record, a.previous, a.hash, w.projected, r.body as event,
        to_char(a.recorded at time zone 'utc', 'YYYY-MM-DD"T"HH24:MI:SS.US') as recorded
      from (select * from audit_log
        where clinic_id = $1 and (writer, sequence, recorded) > ($2, $3, $4)
        order by writer, sequence, recorded limit $5) a
      left join audit_writers w on w.clinic_id = a.clinic_id and w.writer = a.writer
      left join resources r
        on r.clinic_id = a.clinic_id and r.type = 'AuditEvent' and r.id = a.id::text
      order by a.writer, a.sequence, a.recorded`,
    values: [clinicId, place.writer, place.sequence, place.recorded, limit],
  })
  return rows.map(({ sequence, projected, recorded, ...row }) => ({
    ...row,
    sequence: Number(sequence),
    projected: projected === null ? null : Number(projected),
    recorded: instantOf(recorded),
  }))
}

/** Records are stamped in milliseconds; a row that has more was changed, and keeps what it has. */
const instantOf = (micros: string): string => `${micros.replace(/000$/, '')}Z`

/** What else speaks of a row. */
export interface Witness {
  /** Whether its chain goes on. */
  readonly isFollowed: boolean
  /** The next of its chain follows it, or a checkpoint has it as a head. */
  readonly isConfirmed: boolean
}

export async function witnessOf(
  tx: Tx,
  row: {
    readonly clinicId: string
    readonly writer: string
    readonly sequence: number
    readonly hash: Buffer
  },
): Promise<Witness> {
  const [found] = await tx.query<Witness>({
    name: 'audit-row-witness',
    text: `select count(*) > 0 as "isFollowed",
        coalesce(bool_or(previous = $4), false) or exists (select from audit_ranges
          where clinic_id = $1 and writer = $2 and last = $3 and head = $4) as "isConfirmed"
      from audit_log where clinic_id = $1 and writer = $2 and sequence = $3::bigint + 1`,
    values: [row.clinicId, row.writer, row.sequence, row.hash],
  })
  return found ?? { isFollowed: false, isConfirmed: false }
}

/** How far each chain was made into AuditEvents. */
export async function projectedChains(
  tx: Tx,
  clinicId: string,
): Promise<readonly { readonly writer: string; readonly projected: number }[]> {
  const rows = await tx.query<{ writer: string; projected: string }>({
    name: 'projected-chains',
    text: `select writer, projected from audit_writers where clinic_id = $1 order by writer`,
    values: [clinicId],
  })
  return rows.map(({ writer, projected }) => ({ writer, projected: Number(projected) }))
}

interface Kept {
  readonly clinicId: string
  /** Of older ones the record may have been let go. */
  readonly keptSince: string
}

/** The first AuditEvent that is no rendering of any record. */
export async function eventsWithoutRecord(
  tx: Tx,
  { clinicId, keptSince }: Kept,
): Promise<readonly string[]> {
  const rows = await tx.query<{ id: string }>({
    text: `select r.id from resources r
      where r.clinic_id = $1 and r.type = 'AuditEvent' and r.created_at >= $2
        and not exists (select from audit_log a where a.clinic_id = $1 and a.id::text = r.id)
      order by r.id limit 1`,
    values: [clinicId, keptSince],
  })
  return rows.map(({ id }) => id)
}

export async function countEvents(tx: Tx, { clinicId, keptSince }: Kept): Promise<number> {
  const [row] = await tx.query<{ count: string }>({
    text: `select count(*) from resources
      where clinic_id = $1 and type = 'AuditEvent' and created_at >= $2`,
    values: [clinicId, keptSince],
  })
  return Number(row?.count ?? 0)
}

/** Every clinic of which anything is in the log or was. As the owner. */
export async function loggedClinics(tx: Tx): Promise<readonly string[]> {
  const rows = await tx.query<{ clinic: string }>({
    text: `select clinic_id as clinic from audit_log union select clinic_id from audit_writers
      union select clinic_id from audit_checkpoints order by 1`,
  })
  return rows.map(({ clinic }) => clinic)
}
