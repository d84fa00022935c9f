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
    text: chartOf(`select r.id, r.body from resources r
      where r.clinic_id = $1 and r.type = 'DeviceDefinition' and not r.deleted
        and r.updated_at <= $2::timestamptz and ${IS_LINE}
      order by r.updated_at desc, r.id desc limit 1`),
    values: [clinicId, knownAt ?? 'infinity'],
  })
  return rows[0]
}

export async function namedSizeChart(
  tx: Tx,
  clinicId: string,
  { system, id, version }: ChartName,
): Promise<StoredSizeChart | undefined> {
  const rows = await tx.query<StoredSizeChart>({
    name: 'named-size-chart',
    text: chartOf(`select r.id, r.body from resource_tokens t
      join resources r on r.clinic_id = t.clinic_id and r.type = t.type and r.id = t.id
      where t.clinic_id = $1 and t.type = 'DeviceDefinition' and t.param = 'identifier'
        and t.code = $3 and t.system = $2 and not r.deleted and ${IS_LINE}
        and nullif(r.body, '')::jsonb -> 'version' ->> 0 = $4
      limit 1`),
    values: [clinicId, system, id, version],
  })
  return rows[0]
}

const IS_LINE = `not exists (select 1 from resource_references x where x.clinic_id = r.clinic_id
  and x.id = r.id and x.type = r.type and x.param = 'parent')`

const chartOf = (line: string): string => `with line as (${line})
  select line.body as line, array_agg(s.body order by s.id) as sizes
  from line
  join resource_references p on p.clinic_id = $1 and p.type = 'DeviceDefinition'
    and p.param = 'parent' and p.target_type = 'DeviceDefinition' and p.target_id = line.id
  join resources s on s.clinic_id = $1 and s.type = 'DeviceDefinition' and s.id = p.id
    and not s.deleted
  group by line.body`
