import { civilDate } from '../domain/calendar.ts'
import { isReferral } from '../fhir/profiles.ts'
import type { ServiceRequest } from '../fhir/r4/types.ts'
import { isInput } from '../fhir/to-domain.ts'
import type { Caller } from '../security/access-token.ts'
import type { NewVersion } from '../storage/resource-writes.ts'
import { readOfChild, readRecord } from '../storage/resources.ts'
import { seeWholeClinic } from '../storage/scope.ts'
import type { Tx } from '../storage/transaction.ts'
import { basisOf } from './basis.ts'
import type { Context } from './context.ts'
import { today } from './day.ts'
import { refuseMisanswered } from './fit-check-refusals.ts'
import type { Change } from './intake-triage.ts'
import { currentDay, type Entry, readEntry, referralRecord } from './referral-record.ts'
import { mayBeStop, unrecordedStop } from './unrecorded-device.ts'
import { evaluatedVisit, isOfVisit } from './visit-evaluation.ts'
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
  const added: NewVersion[] = []
  for (const child of [...children].filter((one) => !isNew.has(one)).toSorted())
    added.push(...(await visitOfChild(tx, context, caller, { child, changes })))
  return added
}

/** Devices alone are no visit: nothing was seen of the child. */
const mattersToVisits = ({ before, written }: Change): boolean =>
  [before?.resource, written.resource].some(
    (resource) =>
      resource !== undefined &&
      (resource.resourceType === 'Observation' ||
        resource.resourceType === 'QuestionnaireResponse') &&
      (isOfVisit(resource) || isInput(resource)),
  )

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
  const referral = entries.findLast(isFollowed)
  if (referral === undefined) return []
  const createdAt = kept.find(({ id }) => id === referral.stored.id)?.createdAt
  const receivedOn = createdAt === undefined ? today(context) : civilDate(createdAt.slice(0, 10))
  const record = referralRecord(context.baseUrl, referral, { entries, receivedOn })
  if (record === undefined) return []
  const basis = await basisOf(tx, context, caller)
  const day = currentDay(context, record)
  const visit = evaluatedVisit(context, record, day, basis)
  const seen = { record, basis, day, own }
  const since = visit?.worn.deliveredOn ?? 'not-on-record'
  const withdrawn = withdrawnStops(context, clinicId, { ...seen, since })
  if (visit === undefined)
    return [...withdrawn, ...(await unrecordedStop(tx, context, clinicId, seen))]
  const sides = visit.worn.devices.map(({ side }) => side)
  refuseMisanswered(own, sides, basis.rules)
  return [
    ...withdrawn,
    ...(await visitVersions(tx, context, clinicId, { record, visit, day, own })),
  ]
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
const isFollowed = (entry: Entry): entry is Entry<ServiceRequest> =>
  entry.resource.resourceType === 'ServiceRequest' &&
  isReferral(entry.resource) &&
  ['active', 'completed'].includes(entry.resource.status)
