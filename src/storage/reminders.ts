import { isoInstant } from './instant.ts'
import {
  fromRow,
  type RecordVersion,
  type StoredRow,
  type StoredVersion,
  VERSION_COLUMNS,
} from './resources.ts'
import type { Tx } from './transaction.ts'

/** As the login role: every clinic. */
export async function clinicIds(tx: Tx): Promise<string[]> {
  const rows = await tx.query<{ clinicId: string }>({
    name: 'clinic-ids',
    text: 'select clinic_id as "clinicId" from clinics order by 1',
  })
  return rows.map(({ clinicId }) => clinicId)
}

/** Where a page of resources ended. */
export interface Place {
  /** ISO instant in UTC. */
  readonly createdAt: string
  readonly id: string
}

export const BEGINNING: Place = { createdAt: '-infinity', id: '' }

export interface ConcernedChild extends Place {
  readonly patientId: string
}

/** The children whom resources of a type and status are about, a row a resource, in the order they came in. */
export async function concernedChildren(
  tx: Tx,
  clinicId: string,
  of: { readonly type: string; readonly status: string; readonly code: string },
  { after, limit }: { readonly after: Place; readonly limit: number },
): Promise<ConcernedChild[]> {
  return tx.query<ConcernedChild>({
    name: 'concerned-children',
    text: `select id, patient_id as "patientId", created_at::text as "createdAt" from resources
      where clinic_id = $1 and type = $2 and status = $3 and (created_at, id) > ($5::timestamptz, $6)
        and code = $4 and not deleted and patient_id is not null
      order by created_at, id limit $7`,
    values: [clinicId, of.type, of.status, of.code, after.createdAt, after.id, limit],
  })
}

/** What is kept about some children: whole types, and Observations with some codes. */
export async function readOfChildren(
  tx: Tx,
  clinicId: string,
  {
    patientIds,
    types,
    codes,
  }: {
    readonly patientIds: readonly string[]
    readonly types: readonly string[]
    readonly codes: readonly string[]
  },
): Promise<RecordVersion[]> {
  const columns = `${VERSION_COLUMNS}, patient_id as "patientId",
    ${isoInstant('created_at')} as "createdAt"`
  const rows = await tx.query<StoredRow & { readonly createdAt: string }>({
    name: 'read-of-children',
    text: `select ${columns} from resources
        where clinic_id = $1 and patient_id = any($2::text[]) and type = any($3::text[]) and not deleted
      union all select ${columns} from resources
        where clinic_id = $1 and type = 'Observation' and patient_id = any($2::text[])
          and code = any($4::text[]) and not deleted
      order by 1, 2`,
    values: [clinicId, patientIds, types, codes],
  })
  return rows.map((row) => ({ ...fromRow(row), createdAt: row.createdAt }))
}

/** Every version of some Tasks, the newest of each first. */
export async function taskVersions(
  tx: Tx,
  clinicId: string,
  ids: readonly string[],
): Promise<StoredVersion[]> {
  if (ids.length === 0) return []
  const rows = await tx.query<StoredRow>({
    name: 'task-versions',
    text: `select ${VERSION_COLUMNS} from resource_versions
      where clinic_id = $1 and type = 'Task' and id = any($2::text[])
      order by id, version desc`,
    values: [clinicId, ids],
  })
  return rows.map(fromRow)
}
