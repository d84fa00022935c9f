import type { Tx } from './transaction.ts'

/** A size chart as it was sent: the line of devices and its sizes, each the JSON that is returned. */
export interface StoredSizeChart {
  readonly line: string
  readonly sizes: readonly string[]
}

export interface ChartName {
  readonly system: string
  readonly id: string
  readonly version: string
}

/**
 * The chart that was stored last; undefined when there is none in sight.
 *
 * @param knownAt the last instant that counts, ISO in UTC
 */
export async function newestSizeChart(
  tx: Tx,
  clinicId: string,
  knownAt?: string,
): Promise<StoredSizeChart | undefined> {
  const rows = await tx.query<StoredSizeChart>({
    name: 'newest-size-chart',
    // A chart is stored at once, so its line or one of its sizes is the newest definition of all.
    text: chartOf(`select coalesce(parent.id, newest.id) as id
      from (
        select r.id from resources r
        where r.clinic_id = $1 and r.type = 'DeviceDefinition' and not r.deleted
          and r.updated_at <= $2::timestamptz
        order by r.updated_at desc, r.id desc
        limit 1
      ) newest
      left join lateral (
        select x.target_id as id from index_references x
        where x.clinic_id = $1 and x.id = newest.id and x.type = 'DeviceDefinition'
          and x.path = 'parentDevice'
        limit 1
      ) parent on true`),
    values: [clinicId, knownAt ?? 'infinity'],
  })
  return rows[0]
}

/** The chart of this name in this version; undefined when there is none in sight. */
export async function namedSizeChart(
  tx: Tx,
  clinicId: string,
  { system, id, version }: ChartName,
): Promise<StoredSizeChart | undefined> {
  const rows = await tx.query<StoredSizeChart>({
    name: 'named-size-chart',
    text: chartOf(`select named.id
      from index_tokens t
      cross join lateral (
        select r.id, nullif(r.body, '')::jsonb -> 'version' ->> 0 as version from resources r
        where r.clinic_id = $1 and r.type = 'DeviceDefinition' and r.id = t.id and not r.deleted
        limit 1
      ) named
      where t.clinic_id = $1 and t.type = 'DeviceDefinition' and t.path = 'identifier'
        and t.code = $3 and t.system = $2 and named.version = $4
      limit 1`),
    values: [clinicId, system, id, version],
  })
  return rows[0]
}

/**
 * The line of this id, and its sizes. The limits make it look up one after the other: on a young
 * database the planner, who knows nothing of it yet, would rather compare all with all.
 */
const chartOf = (line: string): string => `select kept.body as line, sizes.bodies as sizes
  from (${line}) line
  cross join lateral (
    select r.body from resources r
    where r.clinic_id = $1 and r.type = 'DeviceDefinition' and r.id = line.id and not r.deleted
    limit 1
  ) kept
  cross join lateral (
    select array_agg(size.body order by size.id) as bodies
    from (
      select x.id from index_references x
      where x.clinic_id = $1 and x.type = 'DeviceDefinition' and x.path = 'parentDevice'
        and x.target_id = line.id and x.target_type = 'DeviceDefinition'
      limit ${MOST_SIZES}
    ) below
    cross join lateral (
      select r.id, r.body from resources r
      where r.clinic_id = $1 and r.type = 'DeviceDefinition' and r.id = below.id and not r.deleted
      limit 1
    ) size
  ) sizes
  where sizes.bodies is not null`

/** More than a transaction has entries. */
const MOST_SIZES = 1000
