import { isoInstant } from './instant.ts'
import { type StoredRow, type StoredVersion, VERSION_COLUMNS } from './resources.ts'
import type { Tx } from './transaction.ts'

export interface CaseloadRequest extends StoredVersion {
  readonly patientId: string
  /** When the first version was stored, ISO instant in UTC. */
  readonly receivedAt: string
}

/**
 * Requests that are active, those of one child side by side, in batches. By a cursor of the transaction:
 * they are put in order once, and no more than a batch is here.
 */
export async function* activeRequests(
  tx: Tx,
  clinicId: string,
  batch: number,
): AsyncGenerator<CaseloadRequest[]> {
  await tx.query({
    text: `declare active_requests no scroll cursor for
      select r.*, ${isoInstant('first.updated_at')} as "receivedAt"
      from (select ${VERSION_COLUMNS}, patient_id as "patientId" from resources
        where clinic_id = $1 and type = 'ServiceRequest' and status = 'active' and not deleted
          and patient_id is not null) r
      join resource_versions first on first.clinic_id = $1 and first.type = 'ServiceRequest'
        and first.id = r.id and first.version = 1
      order by r."patientId", r.id`,
    values: [clinicId],
  })
  for (;;) {
    const rows = await tx.query<StoredRow & CaseloadRequest>({
      text: `fetch ${Math.trunc(batch)} from active_requests`,
    })
    if (rows.length > 0)
      yield rows.map((row) => ({ ...row, partnerId: row.partnerId ?? undefined }))
    if (rows.length < batch) return
  }
}

/** Resources that are of no use for a question: one system's codes of Observations. */
export interface Uninteresting {
  readonly system: string
  readonly codes: readonly string[]
}

/** What is kept of some types about some children. */
export async function readRecords(
  tx: Tx,
  clinicId: string,
  {
    patientIds,
    types,
    except,
  }: {
    readonly patientIds: readonly string[]
    readonly types: readonly string[]
    readonly except: Uninteresting
  },
): Promise<(StoredVersion & { readonly patientId: string })[]> {
  const rows = await tx.query<StoredRow & { readonly patientId: string }>({
    name: 'read-records',
    text: `select ${VERSION_COLUMNS}, patient_id as "patientId" from resources
      where clinic_id = $1 and patient_id = any($2) and type = any($3) and not deleted
        and (type <> 'Observation' or code is null or code_system <> $4 or code <> all($5))`,
    values: [clinicId, patientIds, types, except.system, except.codes],
  })
  return rows.map((row) => ({ ...row, partnerId: row.partnerId ?? undefined }))
}
