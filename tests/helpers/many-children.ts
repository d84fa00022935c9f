type Sql = (text: string, values?: readonly unknown[]) => Promise<unknown>

/** The id that a copy of a row has; the same for the same row and copy. */
const copyOf = (id: string): string => `md5(${id} || '/' || n)::uuid::text`

/**
 * Writes every stored child of a clinic again, so many times, by SQL: children under other ids, with their
 * referrals, Tasks and everything that is about them. Of the versions only those of the referrals.
 */
export async function multiplyChildren(sql: Sql, clinicId: string, times: number): Promise<void> {
  const body = (
    own: string,
  ) => `replace(replace(replace(r.body, r.patient_id, ${copyOf('r.patient_id')}),
      q.id, ${copyOf('q.id')}), ${own}, ${copyOf(own)})`
  const from = `from resources r
    join resources q on q.clinic_id = r.clinic_id and q.patient_id = r.patient_id
      and q.type = 'ServiceRequest'
    cross join generate_series(1, $2::int) n
    where r.clinic_id = $1 and r.patient_id is not null`
  // Read whole before anything is written: a copy is not copied.
  await sql(
    `insert into resources (clinic_id, type, id, version, partner_id, deleted, body, updated_at,
      patient_id, code_system, code, status, date_start, date_end, created_at)
    select r.clinic_id, r.type, ${copyOf('r.id')}, r.version, r.partner_id, r.deleted, ${body('r.id')},
      r.updated_at, ${copyOf('r.patient_id')}, r.code_system, r.code, r.status, r.date_start, r.date_end, r.created_at
    ${from}
    order by n, r.patient_id`,
    [clinicId, times],
  )
  await sql(
    `insert into resource_versions (clinic_id, type, id, version, partner_id, deleted, body, updated_at)
    select clinic_id, type, id, 1, partner_id, deleted, body, updated_at from resources r
    where clinic_id = $1 and type = 'ServiceRequest' and not exists (select 1
      from resource_versions v where v.clinic_id = r.clinic_id and v.type = r.type and v.id = r.id)`,
    [clinicId],
  )
  await sql('analyze resources')
}
