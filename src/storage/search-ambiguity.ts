import type { Query } from '../fhir/query.ts'
import { openIdsOf, type OpenType } from '../fhir/search-filter.ts'
import type { Tx } from './transaction.ts'

/** A bare id that resources of several types have. */
export interface Ambiguity extends OpenType {
  readonly id: string
}

/** The first bare id of a search that may mean resources of several types; only those in sight count. */
export async function ambiguousId(
  tx: Tx,
  clinicId: string,
  { searches }: Pick<Query, 'searches'>,
): Promise<Ambiguity | undefined> {
  const open = searches.flatMap(({ filters }) => filters.flatMap(openIdsOf))
  if (open.length === 0) return undefined
  const rows = await tx.query<{ id: string; types: string[] }>({
    name: 'ambiguous-ids',
    text: `select id, array_agg(type order by type) as types from resources
      where clinic_id = $1 and type = any($2) and id = any($3) and not deleted group by id`,
    values: [
      clinicId,
      [...new Set(open.flatMap(({ types }) => types))],
      [...new Set(open.map(({ id }) => id))],
    ],
  })
  for (const { id, types, sentAs } of open) {
    const found = rows.find((row) => row.id === id)?.types ?? []
    const meant = found.filter((type) => types.includes(type))
    if (meant.length > 1) return { id, types: meant, sentAs }
  }
  return undefined
}
