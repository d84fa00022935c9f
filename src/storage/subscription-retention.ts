import type { SubscriptionKey } from './subscription-states.ts'
import type { Tx } from './transaction.ts'

/** ISO instants in UTC: what happened before them is not kept any more. */
export interface KeptSince {
  /** Of events that were delivered, withheld or discarded. */
  readonly settled: string
  /** Of events that wait for a subscription which is over or was given up; what is still tried is kept. */
  readonly waiting: string
}

/** Events that are deleted in one statement. */
const TOGETHER = 10_000

/**
 * Deletes events that are not kept any more, of all clinics, as the owner: of each subscription the first ones, so
 * that what is left has no gaps. What waited and is deleted will not be delivered.
 *
 * @returns whether there are more
 */
export async function deleteOldEvents(
  tx: Tx,
  { settled, waiting }: KeptSince,
  most = TOGETHER,
): Promise<boolean> {
  const rows = await tx.query<{ deleted: number }>({
    name: 'delete-old-events',
    text: `with last as (
        select s.clinic_id, s.subscription_id, greatest(
            least(s.settled_number,
              coalesce(min(e.number) filter (where e.at >= $1), s.last_number + 1) - 1),
            case when s.status in ('error', 'off')
              then coalesce(min(e.number) filter (where e.at >= $2), s.last_number + 1) - 1 end) as number
        from subscription_states s join subscription_events e using (clinic_id, subscription_id)
        group by s.clinic_id, s.subscription_id
      ), given_up as (
        update subscription_states s set settled_number = greatest(s.settled_number, last.number)
        from last where s.clinic_id = last.clinic_id and s.subscription_id = last.subscription_id
          and s.settled_number < last.number
      ), gone as (
        delete from subscription_events where (clinic_id, subscription_id, number) in (
          select clinic_id, subscription_id, e.number
          from subscription_events e join last using (clinic_id, subscription_id)
          where e.number <= last.number order by e.number limit $3)
        returning 1
      )
      select count(*)::int as deleted from gone`,
    values: [settled, waiting, most],
  })
  return rows[0]?.deleted === most
}

/** The number of the first event that is kept; undefined when there is none. */
export async function firstKeptEvent(
  tx: Tx,
  { clinicId, subscriptionId }: SubscriptionKey,
): Promise<number | undefined> {
  const [row] = await tx.query<{ first: number | null }>({
    name: 'first-kept-event',
    text: `select min(number) as first from subscription_events
      where clinic_id = $1 and subscription_id = $2`,
    values: [clinicId, subscriptionId],
  })
  return row?.first ?? undefined
}
