import type { Tx } from './transaction.ts'

/** The name under which what must not happen twice at once to a child is waited for. */
export const triageOf = (clinicId: string, patientId: string): string =>
  ['triage', clinicId, patientId].join(' ')

/**
 * Waits for every triage of these children, of those alone that are in sight or closed to the caller: how long a
 * write takes must not tell that somebody else's child is being computed. In one order, so that two
 * transactions cannot wait for each other.
 */
export async function awaitChildren(
  tx: Tx,
  clinicId: string,
  patientIds: readonly string[],
): Promise<void> {
  if (patientIds.length === 0) return
  await tx.query({
    name: 'await-children',
    text: `select pg_advisory_xact_lock(hashtextextended(name, 0)) from (
      select $3::text || id as name from (
        select id from resources where clinic_id = $1 and type = 'Patient' and id = any($2::text[])
        union select patient_id from closed_records
          where clinic_id = $1 and patient_id = any($2::text[])
      ) as own order by name) as ordered`,
    values: [clinicId, patientIds, triageOf(clinicId, '')],
  })
}
