import type { Query } from '../fhir/query.ts'
import type { Scope } from './database.ts'
import { isoInstant } from './instant.ts'
import { fromRow, type StoredRow, type StoredVersion } from './resources.ts'
import { conditionsOf } from './search-conditions.ts'
import { orderOf, type PagePlace } from './search-order.ts'
import { SearchStatement } from './search-statement.ts'
import { variantsOf } from './search-variants.ts'
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
  scope: Scope,
  query: Query,
  place?: PagePlace,
): Promise<Page> {
  const statement = pageStatement(scope, query, place)
  const name = nameOf(statement.text)
  const rows = await tx.query<FoundRow>({ ...statement, ...(name === undefined ? {} : { name }) })
  const found = rows.slice(0, query.count)
  const last = found.at(-1)
  return {
    found: found.map(versionOf),
    ...(rows.length > query.count && last !== undefined
      ? { end: { keys: last.keys, type: last.type, id: last.id } }
      : {}),
  }
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

/** The statement of a page; the plan tests explain it. */
export function pageStatement(
  { clinicId, partnerId }: Scope,
  { searches, sort, count }: Query,
  place?: PagePlace,
): { readonly text: string; readonly values: readonly unknown[] } {
  const sql = new SearchStatement({ partnerId })
  const limit = () => sql.value(count + 1, 'int')
  const parts = searches.flatMap((search) => {
    const order = orderOf(sql, { clinicId, type: search.type }, sort)
    const variants = variantsOf(sql, clinicId, search)
    const ways = order.runs.flatMap((run, index) =>
      variants.map((variant) => ({ run, index, variant })),
    )
    return ways.flatMap(({ run, index, variant: { gate, fewHave } }) => {
      const after = place === undefined ? 'all' : run.after(place)
      if (after === 'nothing') return []
      const conditions = [
        conditionsOf(sql, clinicId, fewHave === undefined ? search : { ...search, fewHave }, 'r'),
        ...(gate === 'true' ? [] : [gate]),
        run.where,
        ...(place === undefined
          ? []
          : [`r.created_at <= ${sql.value(place.until, 'timestamptz')}`]),
        ...(after === 'all' ? [] : [after.condition]),
      ]
      return {
        order,
        text: `select ${COLUMNS}, ${index} as run, ${order.columns}, ${order.keys} as keys
          from resources r${order.join} where ${conditions.join(' and ')}
          order by ${run.orderBy} limit ${limit()}`,
      }
    })
  })
  const [only, ...others] = parts
  if (only === undefined) throw new Error('A search is of one type at least')
  if (others.length === 0) return { text: only.text, values: sql.values }
  return {
    text: `select ${FOUND} from (${parts.map(({ text }) => `(${text})`).join(' union all ')}) r
      order by r.run, ${only.order.orderBy} limit ${limit()}`,
    values: sql.values,
  }
}

const COLUMNS = `r.type, r.id, r.version, r.partner_id as "partnerId", r.patient_id as "patientId", r.deleted, r.body,
  ${isoInstant('r.updated_at')} as "updatedAt"`
const FOUND =
  'r.type, r.id, r.version, r."partnerId", r."patientId", r.deleted, r.body, r."updatedAt", r.keys'

export async function countMatches(
  tx: Tx,
  { clinicId, partnerId }: Scope,
  { searches }: Query,
): Promise<number> {
  const sql = new SearchStatement({ partnerId })
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
  scope: Scope,
  query: Query,
  limit: number,
): Promise<readonly StoredVersion[]> =>
  (await searchPage(tx, scope, { ...query, count: limit })).found
