import { fromRow, type StoredRow, type StoredVersion, VERSION_COLUMNS } from './resources.ts'
import type { Tx } from './transaction.ts'

/** Where a page of a history ended. */
export interface HistoryPlace {
  /** ISO instant in UTC. */
  readonly updatedAt: string
  readonly type: string
  readonly id: string
  readonly version: number
}

export interface HistoryQuery {
  /** Of these types; one when an instance or a type is asked for. */
  readonly types: readonly string[]
  /** Of one instance. */
  readonly id?: string
  /** Nothing that was written later: all pages show the same history. ISO in UTC. */
  readonly until: string
  /** Written at this instant or later. */
  readonly since?: string
  /** Current at some moment of this span; from inclusive, to exclusive. */
  readonly at?: { readonly from: string; readonly to: string }
  readonly after?: HistoryPlace
  readonly count: number
}

export interface HistoryPage {
  readonly found: readonly StoredVersion[]
  readonly more: boolean
}

/** One page of versions, newest first, deletions included. */
export async function historyPage(
  tx: Tx,
  clinicId: string,
  query: HistoryQuery,
): Promise<HistoryPage> {
  const values: unknown[] = []
  const value = (one: unknown) => `$${values.push(one)}`
  const conditions = [`v.clinic_id = ${value(clinicId)}`, ofTarget(query, value)]
  // The scan of the index begins here: nothing on a later page is newer than where the one before ended.
  const newest = query.after?.updatedAt ?? query.until
  conditions.push(`v.updated_at <= ${value(newest)}::timestamptz`)
  if (query.since !== undefined)
    conditions.push(`v.updated_at >= ${value(query.since)}::timestamptz`)
  if (query.at !== undefined) conditions.push(currentIn(query.at, value))
  if (query.after !== undefined) {
    const { updatedAt, type, id, version } = query.after
    conditions.push(`(v.updated_at, v.type, v.id, v.version) <
      (${value(updatedAt)}::timestamptz, ${value(type)}, ${value(id)}, ${value(version)}::int)`)
  }
  const rows = await tx.query<StoredRow>({
    text: `select ${VERSION_COLUMNS} from resource_versions v where ${conditions.join(' and ')}
      order by v.updated_at desc, v.type desc, v.id desc, v.version desc
      limit ${value(query.count + 1)}`,
    values,
  })
  return { found: rows.slice(0, query.count).map(fromRow), more: rows.length > query.count }
}

/** How many versions one resource had at an instant. */
export async function versionCount(
  tx: Tx,
  key: {
    readonly clinicId: string
    readonly type: string
    readonly id: string
    readonly until: string
  },
): Promise<number> {
  const rows = await tx.query<{ count: string }>({
    name: 'version-count',
    text: `select count(*) as count from resource_versions
      where clinic_id = $1 and type = $2 and id = $3 and updated_at <= $4::timestamptz`,
    values: [key.clinicId, key.type, key.id, key.until],
  })
  return Number(rows[0]?.count ?? 0)
}

type Value = (one: unknown) => string

function ofTarget({ types, id }: HistoryQuery, value: Value): string {
  // One type alone is a plain comparison, so that its index also gives the order.
  const ofTypes =
    types.length === 1 ? `v.type = ${value(types[0])}` : `v.type = any(${value(types)}::text[])`
  return id === undefined ? ofTypes : `${ofTypes} and v.id = ${value(id)}`
}

/** A version is current from its own instant to that of the version after it. */
const currentIn = (at: { readonly from: string; readonly to: string }, value: Value): string =>
  `v.updated_at < ${value(at.to)}::timestamptz and not exists (
    select 1 from resource_versions n where n.clinic_id = v.clinic_id and n.type = v.type
      and n.id = v.id and n.version = v.version + 1
      and n.updated_at <= ${value(at.from)}::timestamptz)`
