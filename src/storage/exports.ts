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
): Promise<KeptExport | undefined> {
  const rows = await tx.query<
    Omit<KeptExport, 'partnerId'> & { readonly partnerId: string | null }
  >({
    name: 'read-export',
    text: `select export_id as "exportId", client_id as "clientId", partner_id as "partnerId", request,
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
