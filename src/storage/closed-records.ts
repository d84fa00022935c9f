import { and, eq } from 'drizzle-orm'
import { closedRecords } from './consent-schema.ts'
import type { Tx } from './transaction.ts'

/** A partner's copy of a child. */
export interface PartnersChild {
  readonly clinicId: string
  readonly partnerId: string
  readonly patientId: string
}

/** ISO instants in UTC, the end exclusive; without one until a consent changes. */
export interface ClosedSpan {
  readonly since: string
  readonly until: string | undefined
}

/** Says anew when a record is closed to its partner. The transaction sees the whole clinic. */
export async function replaceClosedSpans(
  tx: Tx,
  child: PartnersChild,
  spans: readonly ClosedSpan[],
): Promise<void> {
  const { clinicId, partnerId, patientId } = child
  await tx.drizzle
    .delete(closedRecords)
    .where(
      and(
        eq(closedRecords.clinicId, clinicId),
        eq(closedRecords.partnerId, partnerId),
        eq(closedRecords.patientId, patientId),
      ),
    )
  if (spans.length === 0) return
  await tx.drizzle
    .insert(closedRecords)
    .values(spans.map(({ since, until }) => ({ ...child, since, until: until ?? null })))
}

/** Which of these children are closed at an instant; of a partner its own ones alone. */
export async function closedAt(
  tx: Tx,
  clinicId: string,
  { patientIds, at }: { readonly patientIds: readonly string[]; readonly at: string },
): Promise<ReadonlySet<string>> {
  if (patientIds.length === 0) return new Set()
  const rows = await tx.query<{ id: string }>({
    name: 'closed-records',
    text: `select patient_id as id from closed_records
      where clinic_id = $1 and patient_id = any($2::text[]) and since <= $3::timestamptz
        and (until is null or until > $3::timestamptz)`,
    values: [clinicId, patientIds, at],
  })
  return new Set(rows.map(({ id }) => id))
}

/** Every child that is closed at an instant; of a partner its own ones alone. */
export async function closedNow(tx: Tx, clinicId: string, at: string): Promise<string[]> {
  const rows = await tx.query<{ id: string }>({
    name: 'closed-now',
    text: `select patient_id as id from closed_records
      where clinic_id = $1 and since <= $2::timestamptz
        and (until is null or until > $2::timestamptz)`,
    values: [clinicId, at],
  })
  return rows.map(({ id }) => id)
}

/** Whose copies of children these are; none of what is the clinic's own. */
export async function ownersOf(
  tx: Tx,
  clinicId: string,
  patientIds: readonly string[],
): Promise<PartnersChild[]> {
  return tx.query<PartnersChild & Record<string, unknown>>({
    name: 'owners-of-patients',
    text: `select clinic_id as "clinicId", partner_id as "partnerId", id as "patientId" from resources
      where clinic_id = $1 and type = 'Patient' and id = any($2::text[]) and partner_id is not null`,
    values: [clinicId, patientIds],
  })
}

/** Some of a partner's copies of children, by their id. The transaction sees the whole clinic. */
export async function childrenOfPartner(
  tx: Tx,
  { clinicId, partnerId }: Pick<PartnersChild, 'clinicId' | 'partnerId'>,
  { after, limit }: { readonly after: string; readonly limit: number },
): Promise<string[]> {
  const rows = await tx.query<{ id: string }>({
    name: 'children-of-partner',
    text: `select id from resources
      where clinic_id = $1 and type = 'Patient' and partner_id = $2 and id > $3
      order by id limit $4`,
    values: [clinicId, partnerId, after, limit],
  })
  return rows.map(({ id }) => id)
}

/** The children whose consents name a resource. */
export async function childrenOfConsentsNaming(
  tx: Tx,
  clinicId: string,
  places: readonly { readonly type: string; readonly id: string }[],
): Promise<string[]> {
  if (places.length === 0) return []
  const rows = await tx.query<{ id: string }>({
    name: 'children-of-consents',
    text: `select distinct r.patient_id as id from unnest($2::text[], $3::text[]) as place(type, id)
      join index_references x on x.clinic_id = $1 and x.target_id = place.id
        and x.target_type = place.type and x.type = 'Consent'
      join resources r on r.clinic_id = $1 and r.type = 'Consent' and r.id = x.id
      where r.patient_id is not null`,
    values: [clinicId, places.map(({ type }) => type), places.map(({ id }) => id)],
  })
  return rows.map(({ id }) => id)
}

/** Which of these are in sight, deleted or not, as `Type/id`. */
export async function placesInSight(
  tx: Tx,
  clinicId: string,
  places: readonly { readonly type: string; readonly id: string }[],
): Promise<ReadonlySet<string>> {
  if (places.length === 0) return new Set()
  const rows = await tx.query<{ place: string }>({
    name: 'places-in-sight',
    text: `select type || '/' || id as place from resources
      where clinic_id = $1 and type = any($2::text[]) and id = any($3::text[])`,
    values: [clinicId, places.map(({ type }) => type), places.map(({ id }) => id)],
  })
  return new Set(rows.map(({ place }) => place))
}
