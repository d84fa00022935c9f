import type { AuditRow } from './audit-log.ts'
import { isoInstant } from './instant.ts'
import type { Asking, Tx } from './transaction.ts'

/** A row of the log with the chain it stands in. */
export interface LoggedRow extends AuditRow {
  readonly writer: string
}

type Row = Omit<LoggedRow, 'sequence'> & { readonly sequence: string }

const COLUMNS = `a.writer, a.sequence, a.id, a.record, a.previous, a.hash,
  ${isoInstant('a.recorded')} as recorded`

const fromRow = (row: Row): LoggedRow => ({ ...row, sequence: Number(row.sequence) })

/** What was not made into AuditEvents yet, chain by chain. */
export async function pendingAudit(
  tx: Tx,
  clinicId: string,
  limit: number,
): Promise<readonly LoggedRow[]> {
  const rows = await tx.query<Row>({
    name: 'pending-audit',
    text: `select ${COLUMNS} from audit_writers w
      cross join lateral (select * from audit_log
        where clinic_id = w.clinic_id and writer = w.writer and sequence > w.projected
        order by sequence limit $2) a
      where w.clinic_id = $1 and w.finished_at is null
      order by a.writer, a.sequence limit $2`,
    values: [clinicId, limit],
  })
  return rows.map(fromRow)
}

/** The oldest of what was not made yet and came in before an instant; ISO in UTC. */
export async function pendingSince(
  tx: Asking,
  clinicId: string,
  before: string,
): Promise<string | undefined> {
  const [row] = await tx.query<{ since: string | null }>({
    name: 'pending-since',
    text: `select ${isoInstant('min(a.recorded)')} as since from audit_writers w
      cross join lateral (select recorded from audit_log
        where clinic_id = w.clinic_id and writer = w.writer and sequence > w.projected
        order by sequence limit 1) a
      where w.clinic_id = $1 and w.finished_at is null and a.recorded < $2`,
    values: [clinicId, before],
  })
  return row?.since ?? undefined
}

export async function wasProjected(
  tx: Tx,
  clinicId: string,
  rows: readonly LoggedRow[],
): Promise<void> {
  const reached = new Map(rows.map(({ writer, sequence }) => [writer, sequence]))
  if (reached.size === 0) return
  await tx.query({
    name: 'was-projected',
    text: `update audit_writers w set projected = reached.sequence
      from unnest($2::uuid[], $3::bigint[]) as reached(writer, sequence)
      where w.clinic_id = $1 and w.writer = reached.writer`,
    values: [clinicId, [...reached.keys()], [...reached.values()]],
  })
}

/** The chains of a clinic that have something in them that is no AuditEvent yet. As the owner: any clinic's. */
export async function clinicsWithPending(tx: Tx): Promise<readonly string[]> {
  const rows = await tx.query<{ clinic: string }>({
    text: `select distinct w.clinic_id as clinic from audit_writers w
      where w.finished_at is null and exists (select from audit_log a
        where a.clinic_id = w.clinic_id and a.writer = w.writer and a.sequence > w.projected)`,
  })
  return rows.map(({ clinic }) => clinic)
}

/**
 * Notes the chains to which nothing was added since an instant and of which nothing is left to do, so that
 * what looks for work reads only those that grow. As the owner: no caller's transaction may.
 */
export async function finishWriters(
  tx: Tx,
  { restingSince, now }: { readonly restingSince: string; readonly now: string },
): Promise<void> {
  await tx.query({
    text: `update audit_writers w set finished_at = $2
      where w.finished_at is null
        and w.projected = (select r.last from audit_ranges r
          where r.clinic_id = w.clinic_id and r.writer = w.writer order by r.last desc limit 1)
        and not exists (select from audit_log a
          where a.clinic_id = w.clinic_id and a.writer = w.writer and a.sequence >= w.projected
            and (a.sequence > w.projected or a.recorded >= $1))`,
    values: [restingSince, now],
  })
}

/** How many records all processes have added since the server counts. As the owner. */
export async function recordsEver(tx: Tx): Promise<number> {
  const [row] = await tx.query<{ count: string }>({
    text: `select coalesce(sum(s.n_tup_ins), 0) as count from pg_inherits i
      join pg_stat_user_tables s on s.relid = i.inhrelid where i.inhparent = 'audit_log'::regclass`,
  })
  return Number(row?.count ?? 0)
}

/** The record of an AuditEvent, whose instant says in which month it is. */
export async function loggedRecord(
  tx: Tx,
  key: { readonly clinicId: string; readonly recorded: string; readonly id: string },
): Promise<LoggedRow | undefined> {
  const rows = await tx.query<Row>({
    name: 'logged-record',
    text: `select ${COLUMNS} from audit_log a
      where a.clinic_id = $1 and a.recorded = $2 and a.id::text = $3`,
    values: [key.clinicId, key.recorded, key.id],
  })
  return rows.map(fromRow)[0]
}
