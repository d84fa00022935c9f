import type { Tx } from './transaction.ts'

/** What an export is about. */
export interface ExportScope {
  readonly clinicId: string
  /** ISO instant in UTC: everything is as it was then. */
  readonly at: string
  /** ISO instant in UTC: only what was changed after it. */
  readonly since: string | undefined
  /** Undefined: whatever patient or none; else what is about one of these, `all` for any. */
  readonly patients: readonly string[] | 'all' | undefined
}

/** The setting that a copy reads: COPY takes no parameters, and a list of patients may be long. */
export const copySettings = ({ patients }: ExportScope): Readonly<Record<string, string>> => ({
  'app.export_patients': patients === undefined || patients === 'all' ? '' : patients.join(','),
})

/**
 * Of a setting the planner knows nothing, and reads a whole table for the few rows that changed; so what
 * decides the plan stands in the statement. It is ours, never a caller's, and nothing that could end a
 * text is let through.
 */
function written(value: string): string {
  if (!/^[A-Za-z0-9:.-]+$/.test(value)) throw new Error('This cannot stand in a statement')
  return `'${value}'`
}
const instant = (iso: string): string => `${written(iso)}::timestamptz`

/** JSON text has no control characters, so with these for its marks a line of CSV is the text itself. */
const FORMAT = String.raw`(format csv, delimiter e'\x02', quote e'\x01', escape e'\x01')`

function ofPatients({ clinicId, patients }: ExportScope, type: string): string {
  if (patients === undefined) return 'true'
  // In brackets with a select it is read once, not for every row.
  const among = `any((select string_to_array(current_setting('app.export_patients'), ','))::text[])`
  const isOne = (id: string): string =>
    patients === 'all' ? `${id} is not null` : `${id} = ${among}`
  // Some are in the compartment by another reference than to their subject: a sender, an author, a member.
  return `(${isOne('r.patient_id')} or exists (select 1 from index_references x
    where x.clinic_id = ${written(clinicId)}::uuid and x.type = ${written(type)} and x.id = r.id
      and x.target_type = 'Patient' and ${isOne('x.target_id')}))`
}

const ofType = (scope: ExportScope, type: string): string =>
  `r.clinic_id = ${written(scope.clinicId)}::uuid and r.type = ${written(type)}
    and ${ofPatients(scope, type)}`

const changedSince = ({ since }: ExportScope, row: 'r' | 'v'): string =>
  since === undefined ? 'true' : `${row}.updated_at > ${instant(since)}`

/** Of a resource that was changed since: the version of then. */
const versionThen = ({ at }: ExportScope): string => `join lateral (
    select v.body, v.deleted, v.updated_at from resource_versions v
    where v.clinic_id = r.clinic_id and v.type = r.type and v.id = r.id
      and v.updated_at <= ${instant(at)}
    order by v.version desc limit 1
  ) v on true`

/** What was there at the instant of the export: what did not change since, and of the rest what it was. */
const there = (scope: ExportScope, type: string): string => `
  select r.body from resources r
  where ${ofType(scope, type)} and r.updated_at <= ${instant(scope.at)}
    and ${changedSince(scope, 'r')} and not r.deleted
  union all
  select v.body from resources r ${versionThen(scope)}
  where ${ofType(scope, type)} and r.updated_at > ${instant(scope.at)}
    and ${changedSince(scope, 'v')} and not v.deleted`

/** What had been deleted by then. A row is as new as its newest version. */
const gone = (scope: ExportScope, type: string): string => `
  select r.type, r.id from resources r ${versionThen(scope)}
  where ${ofType(scope, type)} and ${changedSince(scope, 'r')} and ${changedSince(scope, 'v')}
    and v.deleted`

/** The resources of a type, one line each, as they were at the instant of the export. */
export const copyOfType = (scope: ExportScope, type: string): string =>
  `copy (${there(scope, type)}) to stdout ${FORMAT}`

/** What was deleted after the beginning of the export's time, as transactions that delete it elsewhere. */
export const copyOfDeleted = (scope: ExportScope, types: readonly string[]): string => `copy (
  select '{"resourceType":"Bundle","type":"transaction","entry":[{"request":{"method":"DELETE","url":"'
    || type || '/' || id || '"}}]}'
  from (${types.map((type) => gone(scope, type)).join(' union all ')}) g
) to stdout ${FORMAT}`

/** Counting further would cost as much as the files themselves. */
export const MOST_COUNTED = 10_000

export interface TypeCount {
  readonly type: string
  /** Undefined: more than are counted. */
  readonly count: number | undefined
  /** Is something of it in the file of what was deleted? */
  readonly deleted: boolean
}

/** How many resources of each type an export has, by the same rules as its files. */
export async function exportCounts(
  tx: Tx,
  scope: ExportScope,
  types: readonly string[],
): Promise<TypeCount[]> {
  if (types.length === 0) return []
  const settings = Object.entries(copySettings(scope))
  await tx.query({
    text: 'select set_config(name, value, true) from unnest($1::text[], $2::text[]) as s(name, value)',
    values: [settings.map(([name]) => name), settings.map(([, value]) => value)],
  })
  const counted = types.map(
    (type) => `select ${written(type)} as type,
      (select count(*)::int from (select 1 from (${there(scope, type)}) c limit ${MOST_COUNTED + 1}) n)
        as count,
      ${scope.since === undefined ? 'false' : `exists (${gone(scope, type)})`} as deleted`,
  )
  const rows = await tx.query<{ type: string; count: number; deleted: boolean }>({
    text: counted.join(' union all '),
  })
  return rows.map(({ count, ...row }) => ({
    ...row,
    count: count > MOST_COUNTED ? undefined : count,
  }))
}
