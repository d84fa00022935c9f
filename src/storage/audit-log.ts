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

/**
 * Adds rows to the chain of one writer; its first row makes the chain known. In the scope of the clinic, or
 * by itself, when it enters that scope.
 */
export const appendAudit = (
  clinicId: string,
  writer: string,
  rows: readonly AuditRow[],
): Statement => ({
  name: 'append-audit',
  text: 'select append_audit($1, $2, $3, $4, $5, $6, $7, $8)',
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
