import type { Query } from '../fhir/query.ts'
import type { Scope } from './database.ts'
import { fromRow, type StoredRow, type StoredVersion } from './resources.ts'
import { conditionsOf } from './search-conditions.ts'
import type { PagePlace } from './search-order.ts'
import { pageStatement } from './search-page.ts'
import { SearchStatement } from './search-statement.ts'
import { statementNames } from './statement-names.ts'
import { waysOf } from './search-ways.ts'
import type { Asking } from './transaction.ts'

export interface Page {
  readonly found: readonly StoredVersion[]
  /** Where it ended, when another page follows. */
  readonly end?: Omit<PagePlace, 'until'>
}

export interface SearchedPage extends Page {
  /** Where a page would have ended with that match. */
  readonly placeAt: (index: number) => Page['end']
}

const nameOf = statementNames('search-page')

type FoundRow = StoredRow & { readonly keys: (string | null)[] }

/**
 * One page of a search, of `count` matches; reads one row more to know whether another page follows.
 *
 * @param isFollowed matches that are not in the database come after the last one that is
 */
export async function searchPage(
  tx: Asking,
  scope: Scope,
  query: Query,
  {
    place,
    isFollowed = false,
  }: { readonly place?: PagePlace | undefined; readonly isFollowed?: boolean } = {},
): Promise<SearchedPage> {
  const statement = pageStatement(scope, query, place)
  const name = nameOf(statement.text)
  const rows = await tx.query<FoundRow>({ ...statement, ...(name === undefined ? {} : { name }) })
  const found = rows.slice(0, query.count)
  const placeAt = (index: number) => {
    const row = found[index]
    return row === undefined ? undefined : { keys: row.keys, type: row.type, id: row.id }
  }
  const end = rows.length + Number(isFollowed) > query.count ? placeAt(found.length - 1) : undefined
  return { found: found.map(versionOf), ...(end === undefined ? {} : { end }), placeAt }
}

const versionOf = (row: FoundRow): StoredVersion =>
  fromRow({
    type: row.type,
    id: row.id,
    version: row.version,
    partnerId: row.partnerId,
    ...(row.patientId === undefined ? {} : { patientId: row.patientId }),
    deleted: row.deleted,
    body: row.body,
    updatedAt: row.updatedAt,
  })

export async function countMatches(
  tx: Asking,
  { clinicId, partnerId }: Scope,
  { searches }: Query,
): Promise<number> {
  const sql = new SearchStatement({ partnerId })
  const counts = searches.flatMap((search) =>
    waysOf(sql, search, false).variants.map(
      ({ ways }) =>
        `(select count(*) from resources r where ${conditionsOf(sql, clinicId, { ...search, ways }, 'r')})`,
    ),
  )
  const rows = await tx.query<{ count: string }>({
    text: `select ${counts.join(' + ')} as count`,
    values: sql.values,
  })
  return Number(rows[0]?.count ?? 0)
}

/** The first matches of a condition, in no order that matters. */
export const searchMatches = async (
  tx: Asking,
  scope: Scope,
  query: Query,
  limit: number,
): Promise<readonly StoredVersion[]> =>
  (await searchPage(tx, scope, { ...query, count: limit })).found
