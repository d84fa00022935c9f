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

/**
 * The settings that a copy reads: COPY takes no parameters, and text of a caller is never written into a
 * statement.
 */
export const copySettings = (
  { clinicId, at, since, patients }: ExportScope,
  types: readonly string[],
): Readonly<Record<string, string>> => ({
  'app.export_clinic': clinicId,
  'app.export_types': types.join(','),
  'app.export_at': at,
  'app.export_since': since ?? '-infinity',
  'app.export_patients': patients === undefined || patients === 'all' ? '' : patients.join(','),
})

// In brackets with a select each is read once, not for every row.
const setting = (name: string, type: string) =>
  `(select current_setting('app.export_${name}')::${type})`
const CLINIC = setting('clinic', 'uuid')
const AT = setting('at', 'timestamptz')
const SINCE = setting('since', 'timestamptz')
const listed = (name: string) =>
  `(select string_to_array(current_setting('app.export_${name}'), ','))::text[]`
const ANY_TYPE = `any(${listed('types')})`

/** Of a resource that was changed since: the version of then. */
const VERSION_THEN = `join lateral (
    select v.body, v.deleted, v.updated_at from resource_versions v
    where v.clinic_id = r.clinic_id and v.type = r.type and v.id = r.id and v.updated_at <= ${AT}
    order by v.version desc limit 1
  ) v on true`

/** JSON text has no control characters, so with these for its marks a line of CSV is the text itself. */
const FORMAT = String.raw`(format csv, delimiter e'\x02', quote e'\x01', escape e'\x01')`

function ofPatients(patients: ExportScope['patients']): string {
  if (patients === undefined) return 'true'
  if (patients === 'all') return 'r.patient_id is not null'
  const among = `any(${listed('patients')})`
  return `(r.patient_id = ${among} or exists (select 1 from index_references x
    where x.clinic_id = r.clinic_id and x.type = r.type and x.id = r.id
      and x.target_type = 'Patient' and x.target_id = ${among}))`
}

/** What was there at the instant of the export: what did not change since, and of the rest what it was. */
const there = (patients: ExportScope['patients'], type: string): string => `
  select r.body from resources r
  where r.clinic_id = ${CLINIC} and r.type = ${type} and r.updated_at <= ${AT}
    and r.updated_at > ${SINCE} and not r.deleted and ${ofPatients(patients)}
  union all
  select v.body from resources r ${VERSION_THEN}
  where r.clinic_id = ${CLINIC} and r.type = ${type} and r.updated_at > ${AT}
    and v.updated_at > ${SINCE} and not v.deleted and ${ofPatients(patients)}`

/** What had been deleted by then. A row is as new as its newest version. */
const gone = (patients: ExportScope['patients'], type: string): string => `
  select r.type, r.id from resources r ${VERSION_THEN}
  where r.clinic_id = ${CLINIC} and r.type = ${type} and r.updated_at > ${SINCE}
    and v.updated_at > ${SINCE} and v.deleted and ${ofPatients(patients)}`

/** The resources of a type, one line each, as they were at the instant of the export. */
export const copyOfType = ({ patients }: ExportScope): string =>
  `copy (${there(patients, ANY_TYPE)}) to stdout ${FORMAT}`

/** What was deleted after the beginning of the export's time, as transactions that delete it elsewhere. */
export const copyOfDeleted = ({ patients }: ExportScope): string => `copy (
  select '{"resourceType":"Bundle","type":"transaction","entry":[{"request":{"method":"DELETE","url":"'
    || type || '/' || id || '"}}]}'
  from (${gone(patients, ANY_TYPE)}) g
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
  const settings = Object.entries(copySettings(scope, types))
  await tx.query({
    text: 'select set_config(name, value, true) from unnest($1::text[], $2::text[]) as s(name, value)',
    values: [settings.map(([name]) => name), settings.map(([, value]) => value)],
  })
  const { patients, since } = scope
  const rows = await tx.query<{ type: string; count: number; deleted: boolean }>({
    text: `select t.type,
      (select count(*)::int from (select 1 from (${there(patients, 't.type')}) c limit $2) n) as count,
      ${since === undefined ? 'false' : `exists (${gone(patients, 't.type')})`} as deleted
    from unnest($1::text[]) with ordinality as t(type, place) order by t.place`,
    values: [types, MOST_COUNTED + 1],
  })
  return rows.map(({ count, ...row }) => ({
    ...row,
    count: count > MOST_COUNTED ? undefined : count,
  }))
}
