import { type CivilDate, civilDate } from '../domain/calendar.ts'
import { SIDES } from '../domain/child.ts'
import type { Resource } from '../fhir/r4/types.ts'
import { dayOf } from '../fhir/record-facts.ts'
import { isInput } from '../fhir/to-domain.ts'
import type { Caller } from '../security/access-token.ts'
import type { NewVersion } from '../storage/resource-writes.ts'
import { readOfChild, readRecord } from '../storage/resources.ts'
import { seeWholeClinic } from '../storage/scope.ts'
import type { Tx } from '../storage/transaction.ts'
import { type Basis, basisOf } from './basis.ts'
import type { Context } from './context.ts'
import { today } from './day.ts'
import { refuseMisanswered } from './fit-check-refusals.ts'
import type { Change } from './intake-triage.ts'
import { movedToDelivery } from './moved-plan.ts'
import {
  currentDay,
  type Entry,
  isReferralThat,
  readEntry,
  type ReferralRecord,
  referralRecord,
} from './referral-record.ts'
import { mayBeStop, unrecordedStop } from './unrecorded-device.ts'
import { type EvaluatedVisit, evaluatedVisit, isOfVisit } from './visit-evaluation.ts'
import { visitVersions } from './visit-versions.ts'
import { mayWithdraw, withdrawnStops } from './withdrawn-stop.ts'

/**
 * What a visit adds to what is about to be written: what it found, the plan and the goals brought up to
 * date, words to the referrer, reminders. Of children who wear a device only; the same visit again adds
 * nothing.
 */
export async function followUpOfIntake(
  tx: Tx,
  context: Context,
  caller: Caller,
  changes: readonly Change[],
): Promise<NewVersion[]> {
  const seen = changes.filter(mattersToVisits)
  const children = new Set(seen.flatMap(({ written }) => written.stored.search.patientId ?? []))
  const isNew = new Set(
    changes.flatMap(({ written: { stored } }) =>
      stored.type === 'Patient' && stored.version === 1 ? [stored.id] : [],
    ),
  )
  // Of a child who is new here only harm is of a visit.
  const harmed = new Set(
    seen.filter(mayBeStop).flatMap(({ written }) => written.stored.search.patientId ?? []),
  )
  const added: NewVersion[] = []
  for (const child of [...children].filter((one) => !isNew.has(one) || harmed.has(one)).toSorted())
    added.push(...(await visitOfChild(tx, context, caller, { child, changes })))
  return added
}

/** A device may be recorded after what was seen of the child that wears it. */
const mattersToVisits = (change: Change): boolean =>
  tellsOfChild(change) || change.written.stored.type === 'DeviceUseStatement'

const tellsOfChild = ({ before, written }: Change): boolean =>
  [before?.resource, written.resource].some(
    (resource) => resource !== undefined && isSeen(resource),
  )

const isSeen = (resource: Resource): boolean =>
  (resource.resourceType === 'Observation' || resource.resourceType === 'QuestionnaireResponse') &&
  (isOfVisit(resource) || isInput(resource))

async function visitOfChild(
  tx: Tx,
  context: Context,
  caller: Caller,
  { child, changes }: { readonly child: string; readonly changes: readonly Change[] },
): Promise<NewVersion[]> {
  const { clinicId } = caller
  await seeWholeClinic(tx)
  const own = changes.filter(({ written }) => written.stored.search.patientId === child)
  const isWorn = own.some(({ written }) => written.stored.type === 'DeviceUseStatement')
  const isStop = own.some(mayBeStop) || own.some(mayWithdraw)
  const isOnRecord = async () =>
    (await readOfChild(tx, clinicId, child, ['DeviceUseStatement'])).length > 0
  if (!isWorn && !isStop && !(await isOnRecord())) return []
  const kept = await readRecord(tx, clinicId, child)
  const entries = mergedEntries(kept.map(readEntry), own)
  const referral = entries.findLast(isFollowed) ?? entries.findLast(wasGivenUp)
  if (referral === undefined) return []
  const createdAt = kept.find(({ id }) => id === referral.stored.id)?.createdAt
  const receivedOn = createdAt === undefined ? today(context) : civilDate(createdAt.slice(0, 10))
  const record = referralRecord(context.baseUrl, referral, { entries, receivedOn })
  if (record === undefined) return []
  const basis = await basisOf(tx, context, caller)
  const day = currentDay(context, record)
  const visit = evaluatedVisit(context, record, day, basis)
  const seen: Seen = { record, basis, day, own }
  const worn = visit?.worn.devices.map(({ side }) => side) ?? []
  const sides = SIDES.filter((side) => !worn.includes(side))
  return [
    ...withdrawnStops(context, clinicId, seen),
    ...(await unrecordedStop(tx, context, clinicId, { ...seen, sides })),
    ...(visit === undefined ? [] : await visited(tx, context, clinicId, { ...seen, visit })),
  ]
}

/** What is written of a child that wears devices: its plan counts from the delivery, and what a visit brings about. */
async function visited(
  tx: Tx,
  context: Context,
  clinicId: string,
  of: Seen & { readonly visit: EvaluatedVisit },
): Promise<NewVersion[]> {
  const { record, basis, visit, own } = of
  const sides = visit.worn.devices.map(({ side }) => side)
  refuseMisanswered(own, sides, basis.rules)
  const moved = movedToDelivery(context, record, visit)
  const wasSeen = own.some(tellsOfChild) || record.entries.some(isSince(visit.worn.deliveredOn))
  const written = wasSeen
    ? await visitVersions(tx, context, clinicId, { ...of, record: moved.record })
    : []
  const keys = new Set(written.map(versionKey))
  return [...moved.versions.filter((one) => !keys.has(versionKey(one))), ...written]
}

interface Seen {
  readonly record: ReferralRecord
  readonly basis: Basis
  readonly day: CivilDate
  readonly own: readonly Change[]
}

const versionKey = ({ type, id }: Pick<NewVersion, 'type' | 'id'>): string => `${type}/${id}`

/** The delivery itself is no look at the child. */
const isSince =
  (deliveredOn: CivilDate) =>
  ({ resource }: Entry): boolean => {
    if (!isSeen(resource)) return false
    const on =
      resource.resourceType === 'Observation'
        ? dayOf(resource.effectiveDateTime)
        : resource.resourceType === 'QuestionnaireResponse' && dayOf(resource.authored)
    return on !== undefined && on !== false && on > deliveredOn
  }

const keyOf = ({ stored: { type, id } }: Pick<Entry, 'stored'>): string => `${type}/${id}`

/** The record as it will stand. */
function mergedEntries(kept: readonly Entry[], own: readonly Change[]): Entry[] {
  const touched = new Set(own.map(({ written }) => keyOf(written)))
  return [
    ...kept.filter((entry) => !touched.has(keyOf(entry))),
    ...own.flatMap(({ written: { stored, reference, resource } }) =>
      resource === undefined ? [] : [{ stored, reference, resource }],
    ),
  ]
}

/** A child is followed after its referral has been answered too. */
const isFollowed = isReferralThat('active', 'completed')

/** Whoever wears a device is looked after, also when its referral was given up. */
const wasGivenUp = isReferralThat('revoked')
