import { fromRow, type StoredRow, type StoredVersion, VERSION_COLUMNS } from './resources.ts'
import type { Tx } from './transaction.ts'

/**
 * The child's record as it was at an instant: of everything about the child the version of then, oldest
 * first.
 *
 * @param knownAt ISO in UTC; what was written at that very instant was known
 */
export async function readRecordAt(
  tx: Tx,
  clinicId: string,
  { patientId, knownAt }: { readonly patientId: string; readonly knownAt: string },
): Promise<StoredVersion[]> {
  const rows = await tx.query<StoredRow>({
    name: 'read-record-at',
    text: `select v.* from resources r
      join lateral (select ${VERSION_COLUMNS}, updated_at as at from resource_versions v
        where v.clinic_id = r.clinic_id and v.type = r.type and v.id = r.id
          and v.updated_at <= $3::timestamptz
        order by v.version desc limit 1) v on true
      where r.clinic_id = $1 and r.patient_id = $2 and not v.deleted
      order by v.at, v.type, v.id`,
    values: [clinicId, patientId, knownAt],
  })
  return rows.map(fromRow)
}

/** The version that was current at an instant, also a deletion; undefined when there was none in sight. */
export async function readResourceAt(
  tx: Tx,
  key: {
    readonly clinicId: string
    readonly type: string
    readonly id: string
    /** ISO in UTC; what was written at that very instant was there. */
    readonly at: string
  },
): Promise<StoredVersion | undefined> {
  const rows = await tx.query<StoredRow>({
    name: 'read-resource-at',
    text: `select ${VERSION_COLUMNS} from resource_versions
      where clinic_id = $1 and type = $2 and id = $3 and updated_at <= $4::timestamptz
      order by version desc limit 1`,
    values: [key.clinicId, key.type, key.id, key.at],
  })
  return rows.map(fromRow)[0]
}
