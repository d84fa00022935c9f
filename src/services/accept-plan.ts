import type { CivilDate } from '../domain/calendar.ts'
import { fittingPlan } from '../domain/plan/fitting.ts'
import {
  acceptedPlan,
  isAcceptedFrom,
  isPlanInForce,
  proposalOf,
  sideOfRequest,
} from '../fhir/accepted-plan.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
import { wearAfterVisit } from '../fhir/plan-progress.ts'
import type { CarePlan, DeviceRequest, Resource, Task } from '../fhir/r4/types.ts'
import { hasCode } from '../fhir/reading.ts'
import { VISIT_REMINDER_CODES } from '../fhir/workflow-codes.ts'
import type { Caller } from '../security/access-token.ts'
import { insertVersions, type NewVersion } from '../storage/resource-writes.ts'
import type { Tx } from '../storage/transaction.ts'
import { askedReferral, type Question } from './asked-referral.ts'
import { collectionOf } from './bundle-text.ts'
import type { Context } from './context.ts'
import { noteWritten } from './noted.ts'
import { newVersion } from './new-version.ts'
import { compute, type Entry, type ReferralRecord } from './referral-record.ts'
import { settledReminders } from './reminder-settling.ts'
import { forStaff } from './staff-only.ts'
import { unitOfWork } from './unit-of-work.ts'
import { type EvaluatedVisit, evaluatedVisit } from './visit-evaluation.ts'

/**
 * Keeps the proposed plan as the clinic's own: from then on visits update it. Accepting the same proposal
 * again changes nothing; another one takes the place of the plan in force. For the staff of the clinic.
 */
export function acceptPlan(
  now: Context,
  caller: Caller,
  question: Pick<Question, 'referralId' | 'language'>,
): Promise<string> {
  const types = ['CarePlan', 'DeviceRequest', 'Goal', 'ServiceRequest', 'Questionnaire']
  const needs = types.map((type) => ({ type, letter: 'c' as const }))
  if (caller.partnerId !== undefined)
    throw forStaff(
      'A plan is accepted by the clinic itself.',
      'A proposed plan is accepted by the staff of the clinic, not by a partner.',
    )
  return unitOfWork(
    now,
    caller,
    [{ type: 'ServiceRequest', letter: 'r' }, ...needs],
    async (tx) => {
      const asked = { ...question, asOf: undefined }
      const { context, record, day, basis } = await askedReferral(tx, now, caller, asked)
      const { triage, derived } = compute(context, record, day, basis)
      const inForce = planInForce(record, context.baseUrl)
      if (inForce !== undefined && isAcceptedFrom(inForce.resource, proposalOf(derived)))
        return collectionOf(context.baseUrl, partsOf(record, inForce, context.baseUrl))
      const made = acceptedPlan({ plan: fittingPlan(triage, basis.rules), triage }, derived, {
        idFor: context.newId,
        before: inForce === undefined ? undefined : placesOf(record, inForce, context.baseUrl),
      })
      const key = { partnerId: record.referral.stored.partnerId, baseUrl: context.baseUrl }
      const updatedAt = context.now().toISOString()
      const visit = evaluatedVisit(context, record, day, basis)
      const versions = made.map((one) =>
        newVersion(asSeen(one, visit, day), { ...key, id: one.id, version: 1, updatedAt }),
      )
      await keep(tx, caller, [
        ...versions,
        ...ended(record, inForce, { ...key, updatedAt }),
        ...settledReminders(record.entries, isOfOutgrown, {
          now: updatedAt,
          baseUrl: context.baseUrl,
          speaker: basis.speaker,
        }),
      ])
      return collectionOf(context.baseUrl, versions)
    },
  )
}

/** A sign to stop ends the schedule of a new plan too, until a visit lifts it. */
function asSeen(made: Resource, visit: EvaluatedVisit | undefined, asOf: CivilDate): Resource {
  if (visit?.found.outcome !== 'stop' || made.resourceType !== 'CarePlan') return made
  const { found, derived } = visit
  return wearAfterVisit(made, { asOf, found, speaker: derived.speaker })
}

/** The next device is decided on. */
const isOfOutgrown = ({ reasonCode }: Task): boolean =>
  hasCode(reasonCode, VISIT_REMINDER_CODES.outgrown)

async function keep(tx: Tx, caller: Caller, versions: readonly NewVersion[]): Promise<void> {
  await insertVersions(tx, caller.clinicId, versions)
  noteWritten(caller, versions)
}

/** The fitting plan of a referral that is followed now; the last one that was accepted. */
export const planInForce = (
  { entries, referral }: ReferralRecord,
  baseUrl: string,
): Entry<CarePlan> | undefined =>
  entries.findLast(
    (entry): entry is Entry<CarePlan> =>
      isPlanInForce(entry.resource) &&
      (entry.resource.supportingInfo?.some(
        ({ reference }) => ownTarget(reference, baseUrl)?.id === referral.stored.id,
      ) ??
        false),
  )

/** What a plan consists of, as far as it is kept. */
export function partsOf(
  { entries }: ReferralRecord,
  plan: Entry<CarePlan>,
  baseUrl: string,
): readonly Entry['stored'][] {
  return [plan.stored, ...entriesOf(entries, plan, baseUrl).map(({ stored }) => stored)]
}

/** Devices, visits and goals that a plan names, in its order: ids would put two visits of one day in any. */
export function entriesOf(
  entries: readonly Entry[],
  { resource: { activity = [], goal = [] } }: Entry<CarePlan>,
  baseUrl: string,
): readonly Entry[] {
  const references = [...activity.map(({ reference }) => reference), ...goal]
  const kept = new Map(entries.map((entry) => [`${entry.stored.type}/${entry.stored.id}`, entry]))
  return references.flatMap((one) => {
    const target = ownTarget(one?.reference, baseUrl)
    return target === undefined ? [] : (kept.get(`${target.type}/${target.id}`) ?? [])
  })
}

const isDevice = (entry: Entry): entry is Entry<DeviceRequest> =>
  entry.resource.resourceType === 'DeviceRequest'

export function placesOf({ entries }: ReferralRecord, plan: Entry<CarePlan>, baseUrl: string) {
  const devices = entriesOf(entries, plan, baseUrl)
    .filter(isDevice)
    .flatMap(({ stored, resource }) => {
      const side = sideOfRequest(resource)
      return side === undefined ? [] : [[side, `DeviceRequest/${stored.id}`] as const]
    })
  return { plan: `CarePlan/${plan.stored.id}`, devices: Object.fromEntries(devices) }
}

/** The plan that another one takes the place of: what was still to come of it is revoked. */
function ended(
  { entries }: ReferralRecord,
  plan: Entry<CarePlan> | undefined,
  key: { readonly updatedAt: string; readonly baseUrl: string },
): NewVersion[] {
  if (plan === undefined) return []
  return [plan, ...entriesOf(entries, plan, key.baseUrl)].flatMap(({ stored, resource }) => {
    const next = endedPart(resource)
    const { id, version, partnerId } = stored
    return next === undefined
      ? []
      : [newVersion(next, { ...key, id, version: version + 1, partnerId })]
  })
}

function endedPart(resource: Resource): Resource | undefined {
  switch (resource.resourceType) {
    case 'CarePlan':
      return { ...resource, status: 'completed' }
    case 'DeviceRequest':
      return resource.status === 'active' ? { ...resource, status: 'completed' } : undefined
    case 'ServiceRequest':
      return resource.status === 'active' ? { ...resource, status: 'revoked' } : undefined
    case 'Goal':
      return resource.lifecycleStatus === 'accepted'
        ? { ...resource, lifecycleStatus: 'cancelled' }
        : undefined
    default:
      return undefined
  }
}
