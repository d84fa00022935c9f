import type { Query } from '../fhir/query.ts'
import { openIdsOf, type OpenType } from '../fhir/search-filter.ts'
import type { Asking } from './transaction.ts'

/** A bare id that resources of several types have. */
export interface Ambiguity extends OpenType {
  readonly id: string
}

const openIn = ({ searches }: Pick<Query, 'searches'>) =>
  searches.flatMap(({ filters }) => filters.flatMap(openIdsOf))

/** Whether there is a bare id in it that may mean resources of several types. */
export const mayBeAmbiguous = (query: Pick<Query, 'searches'>): boolean => openIn(query).length > 0

/** The first bare id of a search that may mean resources of several types; only those in sight count. */
export async function ambiguousId(
  tx: Asking,
  clinicId: string,
  query: Pick<Query, 'searches'>,
): Promise<Ambiguity | undefined> {
  const open = openIn(query)
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
