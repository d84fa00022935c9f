import { fromRow, type StoredRow, type StoredVersion, VERSION_COLUMNS } from './resources.ts'
import type { Tx } from './transaction.ts'

/** Where the given Observations come from, as far as it is in sight; oldest first. */
export async function provenancesOf(
  tx: Tx,
  clinicId: string,
  observationIds: readonly string[],
): Promise<StoredVersion[]> {
  if (observationIds.length === 0) return []
  const rows = await tx.query<StoredRow>({
    name: 'provenances-of',
    text: `select ${VERSION_COLUMNS} from resources
      where clinic_id = $1 and type = 'Provenance' and not deleted and id in (
        select x.id from index_references x
        where x.clinic_id = $1 and x.type = 'Provenance' and x.path = 'target'
          and x.target_type = 'Observation' and x.target_id = any($2::text[]))
      order by updated_at, id`,
    values: [clinicId, observationIds],
  })
  return rows.map(fromRow)
}
