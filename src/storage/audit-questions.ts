import type { Tx } from './transaction.ts'

interface Within {
  readonly clinicId: string
  /** ISO instants; from inclusive, to exclusive. */
  readonly from: string
  readonly to: string
}

/** What one system did on one day (UTC). */
export interface DayOfUse {
  readonly client: string
  readonly day: string
  readonly calls: number
  readonly children: number
  readonly refused: number
  /** Between 20 and 6 o'clock UTC. */
  readonly atNight: number
}

const LOGGED = `select id, recorded, record::jsonb as r from audit_log
  where clinic_id = $1 and recorded >= $2 and recorded < $3`

export const daysOfUse = (tx: Tx, { clinicId, from, to }: Within): Promise<DayOfUse[]> =>
  tx.query<DayOfUse>({
    text: `select coalesce(a.r ->> 'client', 'unknown') as client,
        to_char(a.recorded at time zone 'utc', 'YYYY-MM-DD') as day,
        count(distinct a.id)::int as calls, count(distinct p.child)::int as children,
        (count(distinct a.id) filter (where a.r ->> 'outcome' <> '0'))::int as refused,
        (count(distinct a.id) filter (where extract(hour from a.recorded at time zone 'utc') >= 20
          or extract(hour from a.recorded at time zone 'utc') < 6))::int as "atNight"
      from (${LOGGED}) a
        left join lateral jsonb_array_elements_text(a.r -> 'patients') as p(child) on true
      group by 1, 2 order by 2, 1`,
    values: [clinicId, from, to],
  })

/** An access of the clinic's own staff to a child. */
export interface StaffAccess {
  readonly event: string
  readonly recorded: string
  readonly client: string
  readonly child: string
  readonly purpose: string | null
}

/**
 * Accesses of staff to children of whom no referral was open: none had come in, or all had been closed
 * before.
 */
export const withoutReferral = (
  tx: Tx,
  { clinicId, from, to }: Within,
  limit: number,
): Promise<StaffAccess[]> =>
  tx.query<StaffAccess>({
    text: `select a.id as event, to_char(a.recorded at time zone 'utc', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"') as recorded,
        coalesce(a.r ->> 'client', 'unknown') as client, p.child, a.r ->> 'purpose' as purpose
      from (${LOGGED}) a
        cross join lateral jsonb_array_elements_text(a.r -> 'patients') as p(child)
      where a.r ->> 'kind' = 'rest' and not a.r ? 'partner' and a.r ->> 'outcome' = '0'
        and not exists (select from resources s
          where s.clinic_id = $1 and s.type = 'ServiceRequest' and s.patient_id = p.child
            and s.created_at <= a.recorded
            and (s.status in ('draft', 'active', 'on-hold') or s.updated_at >= a.recorded))
      order by a.recorded, a.id limit $4`,
    values: [clinicId, from, to, limit],
  })

/** Emergency accesses that no review names, as ids of their AuditEvents. */
export const unreviewedEmergencies = (
  tx: Tx,
  { clinicId, from, to }: Within,
  limit: number,
): Promise<{ readonly event: string; readonly recorded: string; readonly client: string }[]> =>
  tx.query({
    text: `select a.id as event, to_char(a.recorded at time zone 'utc', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"') as recorded,
        coalesce(a.r ->> 'client', 'unknown') as client
      from (${LOGGED}) a
      where a.r ->> 'purpose' in ('BTG', 'ETREAT') and a.r ->> 'kind' = 'rest'
        and not exists (select from audit_log v
          where v.clinic_id = $1 and v.recorded >= a.recorded
            and v.record like '%"kind":"review"%'
            and v.record::jsonb -> 'about' @> jsonb_build_array(jsonb_build_object('ref', 'AuditEvent/' || a.id)))
      order by a.recorded, a.id limit $4`,
    values: [clinicId, from, to, limit],
  })
