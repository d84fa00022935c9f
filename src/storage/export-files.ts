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
  type: string,
): Readonly<Record<string, string>> => ({
  'app.export_clinic': clinicId,
  'app.export_type': type,
  'app.export_at': at,
  'app.export_since': since ?? '-infinity',
  'app.export_patients': patients === undefined || patients === 'all' ? '' : patients.join(','),
})

const setting = (name: string) => `current_setting('app.export_${name}')`
const AT = `${setting('at')}::timestamptz`
const SINCE = `${setting('since')}::timestamptz`
const OWN = `r.clinic_id = ${setting('clinic')}::uuid and r.type = ${setting('type')}`

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
  const among = `string_to_array(${setting('patients')}, ',')`
  return `(r.patient_id = any(${among}) or exists (select 1 from index_references x
    where x.clinic_id = r.clinic_id and x.type = r.type and x.id = r.id
      and x.target_type = 'Patient' and x.target_id = any(${among})))`
}

/** The resources of a type, one line each, as they were at the instant of the export. */
export const copyOfType = ({ patients }: ExportScope): string => `copy (
  select r.body from resources r
  where ${OWN} and r.updated_at <= ${AT} and r.updated_at > ${SINCE} and not r.deleted
    and ${ofPatients(patients)}
  union all
  select v.body from resources r ${VERSION_THEN}
  where ${OWN} and r.updated_at > ${AT} and v.updated_at > ${SINCE} and not v.deleted
    and ${ofPatients(patients)}
) to stdout ${FORMAT}`

/** What was deleted after the beginning of the export's time, as transactions that delete it elsewhere. */
export const copyOfDeleted = ({ patients }: ExportScope): string => `copy (
  select '{"resourceType":"Bundle","type":"transaction","entry":[{"request":{"method":"DELETE","url":"'
    || r.type || '/' || r.id || '"}}]}'
  from resources r ${VERSION_THEN}
  where r.clinic_id = ${setting('clinic')}::uuid and v.deleted and v.updated_at > ${SINCE}
    and r.type = any(string_to_array(${setting('type')}, ',')) and ${ofPatients(patients)}
) to stdout ${FORMAT}`

export interface TypeCount {
  readonly type: string
  readonly count: number
  readonly deleted: number
}

/** How many resources of each type an export has, by the same rules as its files. */
export async function exportCounts(
  tx: Tx,
  { clinicId, at, since, patients }: ExportScope,
  types: readonly string[],
): Promise<TypeCount[]> {
  const among =
    patients === undefined
      ? 'true'
      : patients === 'all'
        ? 'r.patient_id is not null'
        : `(r.patient_id = any($5::text[]) or exists (select 1 from index_references x
            where x.clinic_id = r.clinic_id and x.type = r.type and x.id = r.id
              and x.target_type = 'Patient' and x.target_id = any($5::text[])))`
  const text = `with found as (
      select r.type, r.deleted from resources r
      where r.clinic_id = $1 and r.type = any($2::text[]) and r.updated_at <= $3::timestamptz
        and r.updated_at > $4::timestamptz and ${among}
      union all
      select r.type, v.deleted from resources r join lateral (
        select v.deleted, v.updated_at from resource_versions v
        where v.clinic_id = r.clinic_id and v.type = r.type and v.id = r.id
          and v.updated_at <= $3::timestamptz
        order by v.version desc limit 1
      ) v on true
      where r.clinic_id = $1 and r.type = any($2::text[]) and r.updated_at > $3::timestamptz
        and v.updated_at > $4::timestamptz and ${among}
    )
    select type, count(*) filter (where not deleted)::int as count,
      count(*) filter (where deleted)::int as deleted
    from found group by type order by type`
  return tx.query<TypeCount>({
    text,
    values: [
      clinicId,
      types,
      at,
      since ?? '-infinity',
      ...(Array.isArray(patients) ? [patients] : []),
    ],
  })
}
