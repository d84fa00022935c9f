import { indexed } from '../fhir/search-values.ts'
import type { Tx } from './transaction.ts'
import type { StoredVersion } from './resources.ts'

interface Criterion {
  readonly type: string
  readonly system: string
  readonly value: string
}

/** A resource that carries an identifier. */
export interface Identified extends Omit<StoredVersion, 'partnerId' | 'deleted'> {
  readonly system: string
  readonly value: string
}

/** Every resource in sight that carries one of the identifiers, all looked up in one statement. */
export async function findByIdentifiers(
  tx: Tx,
  clinicId: string,
  criteria: readonly Criterion[],
): Promise<Identified[]> {
  const rows = await tx.query<Identified & { readonly index: number }>({
    name: 'find-by-identifiers',
    text: `select (wanted.index - 1)::int as index, r.type, r.id, r.version, r.body,
        to_char(r.updated_at at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"') as "updatedAt"
      from unnest($2::text[], $3::text[], $4::text[]) with ordinality
        as wanted(type, system, code, index)
      join resource_tokens t on t.clinic_id = $1 and t.type = wanted.type and t.param = 'identifier'
        and t.code = wanted.code and t.system = wanted.system
      join resources r on r.clinic_id = t.clinic_id and r.type = t.type and r.id = t.id
        and not r.deleted`,
    values: [
      clinicId,
      criteria.map(({ type }) => type),
      criteria.map(({ system }) => indexed(system)),
      criteria.map(({ value }) => indexed(value)),
    ],
  })
  return rows.flatMap(({ index, ...row }) => {
    const criterion = criteria[index]
    return criterion === undefined
      ? []
      : [{ ...row, system: criterion.system, value: criterion.value }]
  })
}
