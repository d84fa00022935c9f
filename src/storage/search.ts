import type { Query } from '../fhir/query.ts'
import { isoInstant } from './instant.ts'
import { fromRow, type StoredRow, type StoredVersion } from './resources.ts'
import { conditionsOf } from './search-conditions.ts'
import { orderOf, type PagePlace } from './search-order.ts'
import { SearchStatement } from './search-statement.ts'
import { statementNames } from './statement-names.ts'
import type { Tx } from './transaction.ts'

export interface Page {
  readonly found: readonly StoredVersion[]
  /** Where it ended, when another page follows. */
  readonly end?: Omit<PagePlace, 'until'>
}

const nameOf = statementNames('search-page')

type FoundRow = StoredRow & { readonly keys: (string | null)[] }

/** One page of a search, of `count` matches; reads one row more to know whether another page follows. */
export async function searchPage(
  tx: Tx,
  clinicId: string,
  query: Query,
  place?: PagePlace,
): Promise<Page> {
  const statement = pageStatement(clinicId, query, place)
  const name = nameOf(statement.text)
  const rows = await tx.query<FoundRow>({ ...statement, ...(name === undefined ? {} : { name }) })
  const found = rows.slice(0, query.count)
  const last = found.at(-1)
  return {
    found: found.map(({ keys: _keys, ...row }) => fromRow(row)),
    ...(rows.length > query.count && last !== undefined
      ? { end: { keys: last.keys, type: last.type, id: last.id } }
      : {}),
  }
}

/** The statement of a page; the plan tests explain it. */
export function pageStatement(
  clinicId: string,
  { searches, sort, count }: Query,
  place?: PagePlace,
): { readonly text: string; readonly values: readonly unknown[] } {
  const sql = new SearchStatement()
  const parts = searches.map((search) => {
    const order = orderOf(sql, { clinicId, type: search.type }, sort)
    const until =
      place === undefined
        ? ''
        : ` and r.created_at <= ${sql.value(place.until, 'timestamptz')} and ${order.after(place)}`
    return {
      order,
      text: `select ${COLUMNS}, ${order.keys} as keys from resources r${order.join}
      where ${conditionsOf(sql, clinicId, search, 'r')}${until}
      order by ${order.orderBy} limit ${sql.value(count + 1, 'int')}`,
    }
  })
  const [only] = parts
  if (only === undefined) throw new Error('A search is of one type at least')
  if (parts.length === 1) return { text: only.text, values: sql.values }
  // Across types it is sorted by columns alone, which the parts have all.
  return {
    text: `select ${FOUND} from (${parts.map(({ text }) => `(${text})`).join(' union all ')}) r
      order by ${only.order.orderBy} limit ${sql.value(count + 1, 'int')}`,
    values: sql.values,
  }
}

const COLUMNS = `r.type, r.id, r.version, r.partner_id as "partnerId", r.deleted, r.body,
  ${isoInstant('r.updated_at')} as "updatedAt", r.updated_at, r.created_at`
const FOUND = 'r.type, r.id, r.version, r."partnerId", r.deleted, r.body, r."updatedAt", r.keys'

export async function countMatches(tx: Tx, clinicId: string, { searches }: Query): Promise<number> {
  const sql = new SearchStatement()
  const counts = searches.map(
    (search) =>
      `(select count(*) from resources r where ${conditionsOf(sql, clinicId, search, 'r')})`,
  )
  const rows = await tx.query<{ count: string }>({
    text: `select ${counts.join(' + ')} as count`,
    values: sql.values,
  })
  return Number(rows[0]?.count ?? 0)
}

/** The first matches of a condition, in no order that matters. */
export const searchMatches = async (
  tx: Tx,
  clinicId: string,
  query: Query,
  limit: number,
): Promise<readonly StoredVersion[]> =>
  (await searchPage(tx, clinicId, { ...query, count: limit })).found
