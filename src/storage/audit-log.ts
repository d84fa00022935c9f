import type { Statement, Tx } from './transaction.ts'

/** A record as it stands in the log. */
export interface AuditRow {
  readonly id: string
  /** ISO instant in UTC with milliseconds. */
  readonly recorded: string
  readonly sequence: number
  readonly record: string
  readonly previous: Buffer
  readonly hash: Buffer
}

/** Adds rows to the chain of one writer; its first row makes the chain known. */
export const appendAudit = (
  clinicId: string,
  writer: string,
  rows: readonly AuditRow[],
): Statement => ({
  name: 'append-audit',
  text: `with added as (
      select * from unnest($3::timestamptz[], $4::bigint[], $5::uuid[], $6::text[], $7::bytea[], $8::bytea[])
        as row(recorded, sequence, id, record, previous, hash)
    ), begun as (
      insert into audit_writers (clinic_id, writer, started_at)
      select $1, $2, recorded from added where sequence = 1
    )
    insert into audit_log (clinic_id, writer, recorded, sequence, id, record, previous, hash)
    select $1::uuid, $2::uuid, recorded, sequence, id, record, previous, hash from added`,
  values: [
    clinicId,
    writer,
    rows.map(({ recorded }) => recorded),
    rows.map(({ sequence }) => sequence),
    rows.map(({ id }) => id),
    rows.map(({ record }) => record),
    rows.map(({ previous }) => previous),
    rows.map(({ hash }) => hash),
  ],
})

/** Makes the partitions of a month and of the two after it. As the owner of the tables. */
export async function makeAuditMonths(tx: Tx, from: string): Promise<void> {
  await tx.query({
    text: `select audit_month((date_trunc('month', $1::timestamptz) + n * interval '1 month')::date)
      from generate_series(0, 2) n`,
    values: [from],
  })
}
