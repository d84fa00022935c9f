import { isoInstant } from './instant.ts'
import type { Tx } from './transaction.ts'

/** A bulk export that was asked for. */
export interface KeptExport {
  readonly exportId: string
  readonly clientId: string
  readonly partnerId: string | undefined
  /** JSON. */
  readonly request: string
  /** ISO instants in UTC. */
  readonly at: string
  readonly expiresAt: string
}

/** An export that was kept before. */
export interface FoundExport extends KeptExport {
  /** Has every transaction ended that had begun to write when the export was kept? */
  readonly isSettled: boolean
}

/** Keeps it; those of the clinic that have expired go. */
export async function insertExport(tx: Tx, clinicId: string, kept: KeptExport): Promise<void> {
  await tx.query({
    name: 'insert-export',
    text: `with gone as (delete from exports where clinic_id = $1 and expires_at < $6::timestamptz)
    insert into exports (clinic_id, export_id, client_id, partner_id, request, at, expires_at)
    values ($1, $2, $3, $4, $5, $6, $7)`,
    values: [
      clinicId,
      kept.exportId,
      kept.clientId,
      kept.partnerId ?? null,
      kept.request,
      kept.at,
      kept.expiresAt,
    ],
  })
}

/** The export of a client; undefined when there is none, or none any more. */
export async function readExport(
  tx: Tx,
  key: {
    readonly clinicId: string
    readonly exportId: string
    readonly clientId: string
    readonly now: string
  },
): Promise<FoundExport | undefined> {
  const rows = await tx.query<
    Omit<FoundExport, 'partnerId'> & { readonly partnerId: string | null }
  >({
    name: 'read-export',
    // By age: transaction numbers begin again at their end. xmin is the transaction that kept the export.
    text: `select age(xmin) > age(pg_snapshot_xmin(pg_current_snapshot())::xid) as "isSettled",
       export_id as "exportId", client_id as "clientId", partner_id as "partnerId", request,
      ${isoInstant('at')} as at, ${isoInstant('expires_at')} as "expiresAt"
    from exports where clinic_id = $1 and export_id = $2 and client_id = $3
      and expires_at > $4::timestamptz`,
    values: [key.clinicId, key.exportId, key.clientId, key.now],
  })
  const [row] = rows
  return row === undefined ? undefined : { ...row, partnerId: row.partnerId ?? undefined }
}

export async function deleteExport(tx: Tx, clinicId: string, exportId: string): Promise<void> {
  await tx.query({
    name: 'delete-export',
    text: 'delete from exports where clinic_id = $1 and export_id = $2',
    values: [clinicId, exportId],
  })
}
