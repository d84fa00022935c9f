import { isDeepStrictEqual } from 'node:util'
import { deliveryOfPlan, movedPart } from '../fhir/plan-delivery.ts'
import type { NewVersion } from '../storage/resource-writes.ts'
import { entriesOf, planInForce } from './accept-plan.ts'
import type { Context } from './context.ts'
import { newVersion } from './new-version.ts'
import type { Entry, ReferralRecord } from './referral-record.ts'
import type { EvaluatedVisit } from './visit-evaluation.ts'

/** A record whose plan counts from the delivery, and what of it has to be written for that. */
export interface MovedPlan {
  readonly record: ReferralRecord
  readonly versions: readonly NewVersion[]
}

/**
 * The plan in force, counted from the day on which its devices came. Devices that were delivered before the plan was
 * made are those of an earlier one.
 */
export function movedToDelivery(
  { baseUrl, now }: Context,
  record: ReferralRecord,
  { worn: { deliveredOn: to }, derived }: EvaluatedVisit,
): MovedPlan {
  const plan = planInForce(record, baseUrl)
  const from = plan === undefined ? undefined : deliveryOfPlan(plan.resource)
  const madeOn = plan?.resource.created?.slice(0, 10) ?? ''
  if (plan === undefined || from === undefined || from === to || to < madeOn)
    return { record, versions: [] }
  const moved = new Map<Entry, Entry>()
  for (const entry of [plan, ...entriesOf(record.entries, plan, baseUrl)]) {
    const resource = movedPart(entry.resource, { from, to }, derived)
    if (!isDeepStrictEqual(resource, entry.resource)) moved.set(entry, { ...entry, resource })
  }
  const updatedAt = now().toISOString()
  return {
    record: { ...record, entries: record.entries.map((entry) => moved.get(entry) ?? entry) },
    versions: [...moved.values()].map(({ stored: { id, version, partnerId }, resource }) =>
      newVersion(resource, { id, version: version + 1, partnerId, updatedAt, baseUrl }),
    ),
  }
}
