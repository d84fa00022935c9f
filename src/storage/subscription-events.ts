import { isoInstant } from './instant.ts'
import type { SubscriptionKey } from './subscription-states.ts'
import type { Tx } from './transaction.ts'

/** A version that was written, of a type that somebody may be told of. */
export interface WrittenVersion {
  readonly type: string
  readonly id: string
  readonly version: number
  readonly partnerId: string | null
  /** ISO instant in UTC. */
  readonly at: string
  readonly body: string
  /** Of the version before; null when there is none, or it was a deletion. */
  readonly before: string | null
}

export interface SubscriptionEvent {
  readonly number: number
  readonly type: string
  readonly id: string
  readonly version: number
  readonly at: string
}

/** As a part of the statement that writes versions: notes those of a type that is watched. */
export const NOTE_WRITTEN = `insert into written_versions (clinic_id, type, id, version, partner_id, at)
  select $1::uuid, new.type, new.id, new.version, new.partner_id, new.updated_at
  from unnest($2::text[], $3::text[], $4::int[], $5::uuid[], $6::bool[], $7::timestamptz[])
    with ordinality as new(type, id, version, partner_id, deleted, updated_at, place)
  where not new.deleted
    and exists (select from watched_types w where w.clinic_id = $1::uuid and w.type = new.type)
  order by new.place`

/** From the end of this transaction on, versions of this type are noted. */
export async function watchType(tx: Tx, clinicId: string, type: string): Promise<void> {
  await tx.query({
    name: 'watch-type',
    text: 'insert into watched_types (clinic_id, type) values ($1, $2) on conflict do nothing',
    values: [clinicId, type],
  })
}

/** Clinics where something was written that somebody may be told of, as the owner. */
export async function clinicsWithWritten(tx: Tx): Promise<string[]> {
  const rows = await tx.query<{ clinicId: string }>({
    name: 'clinics-with-written',
    text: 'select distinct clinic_id as "clinicId" from written_versions',
  })
  return rows.map(({ clinicId }) => clinicId)
}

/**
 * Takes out the versions that were noted first. What is noted of one resource is in order: its next version is
 * written after the one before was committed.
 */
export async function takeWritten(
  tx: Tx,
  clinicId: string,
  most: number,
): Promise<WrittenVersion[]> {
  return tx.query<WrittenVersion>({
    name: 'take-written',
    text: `with taken as (
        delete from written_versions where clinic_id = $1 and sequence in (
          select sequence from written_versions where clinic_id = $1 order by sequence limit $2)
        returning sequence, type, id, version, partner_id, at)
      select t.type, t.id, t.version, t.partner_id as "partnerId",
        ${isoInstant('t.at')} as at, v.body, nullif(b.body, '') as before
      from taken t
        join resource_versions v on v.clinic_id = $1 and v.type = t.type and v.id = t.id
          and v.version = t.version
        left join resource_versions b on b.clinic_id = $1 and b.type = t.type and b.id = t.id
          and b.version = t.version - 1
      order by t.sequence`,
    values: [clinicId, most],
  })
}

export interface NewEvent extends Omit<SubscriptionEvent, 'number'> {
  readonly subscriptionId: string
}

/** Numbers events, each subscription's 1, 2, 3 …, in the order given. Nobody else numbers them meanwhile. */
export async function countEvents(
  tx: Tx,
  clinicId: string,
  events: readonly NewEvent[],
  now: string,
): Promise<void> {
  if (events.length === 0) return
  await tx.query({
    name: 'count-events',
    text: `with new as (
        select *, row_number() over (partition by subscription_id order by place)::int as step
        from unnest($2::text[], $3::text[], $4::text[], $5::int[], $6::timestamptz[])
          with ordinality as n(subscription_id, type, id, version, at, place)
      ), counted as (
        update subscription_states s set last_number = s.last_number + c.events,
          due_at = case when s.status = 'active' and s.attempts = 0 then $7 else s.due_at end
        from (select subscription_id, count(*)::int as events from new group by 1) c
        where s.clinic_id = $1 and s.subscription_id = c.subscription_id
        returning s.subscription_id, s.partner_id, s.last_number - c.events as before
      )
      insert into subscription_events (clinic_id, subscription_id, number, partner_id, type, id, version, at)
      select $1::uuid, subscription_id, c.before + n.step, c.partner_id, n.type, n.id, n.version, n.at
      from new n join counted c using (subscription_id)`,
    values: [
      clinicId,
      events.map(({ subscriptionId }) => subscriptionId),
      events.map(({ type }) => type),
      events.map(({ id }) => id),
      events.map(({ version }) => version),
      events.map(({ at }) => at),
      now,
    ],
  })
}

/** Events of a subscription in order, both ends included. */
export async function eventsBetween(
  tx: Tx,
  { clinicId, subscriptionId }: SubscriptionKey,
  { from, to, most }: { readonly from: number; readonly to: number; readonly most: number },
): Promise<SubscriptionEvent[]> {
  return tx.query<SubscriptionEvent>({
    name: 'events-between',
    text: `select number, type, id, version, ${isoInstant('at')} as at from subscription_events
      where clinic_id = $1 and subscription_id = $2 and number between $3 and $4
      order by number limit $5`,
    values: [clinicId, subscriptionId, from, to, most],
  })
}

export interface EventVersion extends SubscriptionEvent {
  readonly body: string
  readonly patientId: string | null
}

/** Events with what they are about, of which the version and the resource are in sight. */
export async function versionsInSight(
  tx: Tx,
  clinicId: string,
  events: readonly SubscriptionEvent[],
): Promise<EventVersion[]> {
  return tx.query<EventVersion>({
    name: 'versions-in-sight',
    text: `select n.number, n.type, n.id, n.version, ${isoInstant('n.at')} as at, v.body,
        r.patient_id as "patientId"
      from unnest($2::int[], $3::text[], $4::text[], $5::int[], $6::timestamptz[])
          as n(number, type, id, version, at)
        join resource_versions v on v.clinic_id = $1 and v.type = n.type and v.id = n.id
          and v.version = n.version and not v.deleted
        join resources r on r.clinic_id = $1 and r.type = n.type and r.id = n.id and not r.deleted
      order by n.number`,
    values: [
      clinicId,
      events.map(({ number }) => number),
      events.map(({ type }) => type),
      events.map(({ id }) => id),
      events.map(({ version }) => version),
      events.map(({ at }) => at),
    ],
  })
}
