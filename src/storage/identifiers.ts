import { indexed } from '../fhir/search-text.ts'
import { isoInstant } from './instant.ts'
import type { Tx } from './transaction.ts'
import type { StoredVersion } from './resources.ts'

interface Criterion {
  readonly type: string
  readonly system: string
  readonly value: string
}

/** A resource that carries an identifier. */
export interface Identified extends Omit<StoredVersion, 'deleted'> {
  readonly system: string
  readonly value: string
}

type Found = Omit<Identified, 'partnerId'> & {
  readonly index: number
  readonly partnerId: string | null
}

/**
 * The resources in sight that carry one of the identifiers, all looked up in one statement.
 *
 * @param most so many of each
 */
export async function findByIdentifiers(
  tx: Tx,
  clinicId: string,
  { criteria, most }: { readonly criteria: readonly Criterion[]; readonly most: number },
): Promise<Identified[]> {
  const rows = await tx.query<Found>({
    name: `find-by-identifiers-${most}`,
    // The limits make it look up one after the other: on a young database the planner, who knows nothing
    // of it yet, would rather join all. What is out of sight does not count.
    text: `select (wanted.index - 1)::int as index, found.*
      from unnest($2::text[], $3::text[], $4::text[]) with ordinality
        as wanted(type, system, code, index)
      cross join lateral (
        select resource.* from index_tokens t
        cross join lateral (
          select r.type, r.id, r.version, r.partner_id as "partnerId", r.body,
            ${isoInstant('r.updated_at')} as "updatedAt"
          from resources r
          where r.clinic_id = $1 and r.type = wanted.type and r.id = t.id and not r.deleted
          limit 1
        ) resource
        where t.clinic_id = $1 and t.type = wanted.type and t.path = 'identifier'
          and t.code = wanted.code and t.system = wanted.system
        limit ${most}
      ) found`,
    values: [
      clinicId,
      criteria.map(({ type }) => type),
      criteria.map(({ system }) => indexed(system)),
      criteria.map(({ value }) => indexed(value)),
    ],
  })
  return rows.flatMap(({ index, partnerId, ...row }) => {
    const criterion = criteria[index]
    return criterion === undefined
      ? []
      : [
          {
            ...row,
            partnerId: partnerId ?? undefined,
            system: criterion.system,
            value: criterion.value,
          },
        ]
  })
}
