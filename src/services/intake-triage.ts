import { civilDate } from '../domain/calendar.ts'
import { EXCHANGE_CODES } from '../fhir/codes.ts'
import { isEnded } from '../fhir/from-domain.ts'
import { isReferral } from '../fhir/profiles.ts'
import { hasCode } from '../fhir/reading.ts'
import { stateOfTask } from '../fhir/referral-task.ts'
import type { Resource } from '../fhir/r4/types.ts'
import { isInput } from '../fhir/to-domain.ts'
import type { Caller } from '../security/access-token.ts'
import type { NewVersion } from '../storage/resource-writes.ts'
import { readRecord, type RecordVersion } from '../storage/resources.ts'
import { seeWholeClinic } from '../storage/scope.ts'
import type { Tx } from '../storage/transaction.ts'
import { type Basis, basisOf } from './basis.ts'
import type { Context } from './context.ts'
import { today } from './day.ts'
import { abandonedRequests, informationVersions } from './information-requests.ts'
import {
  currentDay,
  type Entry,
  isReferralThat,
  readEntry,
  type ReferralRecord,
  referralRecord,
} from './referral-record.ts'
import { alreadyStored, triageVersions } from './triage.ts'

/** A resource that is about to be written, as it was read; none of a deletion. */
export interface Written {
  readonly stored: NewVersion
  readonly reference: string
  readonly resource: Resource | undefined
}

/** One resource that is about to be written, and what stood there before. */
export interface Change {
  readonly resourceAt: string
  readonly before: Entry | undefined
  /** The child that the version before is about. */
  readonly childBefore: string | undefined
  readonly written: Written
}

/**
 * What triage adds to resources that are about to be written: the findings of every open referral of a
 * child about whom something is added, changed or taken back. Nothing new for a rule, nothing added.
 */
export async function triageOfIntake(
  tx: Tx,
  context: Context,
  caller: Caller,
  changes: readonly Change[],
): Promise<NewVersion[]> {
  const children = new Set(
    changes.filter(mattersToTriage).flatMap(({ written }) => written.stored.search.patientId ?? []),
  )
  if (children.size === 0) return []
  const basis = await basisOf(tx, context, caller)
  const added: NewVersion[] = []
  for (const child of [...children].toSorted((a, b) => a.localeCompare(b))) {
    const own = changes.filter(({ written }) => written.stored.search.patientId === child)
    const isNew = own.some(
      ({ written: { stored } }) => stored.type === 'Patient' && stored.version === 1,
    )
    const kept = isNew ? [] : await recordOf(tx, caller.clinicId, child)
    added.push(...(await triageOfChild(tx, context, caller, { kept, own, basis })))
  }
  return added
}

async function recordOf(tx: Tx, clinicId: string, child: string): Promise<RecordVersion[]> {
  await seeWholeClinic(tx)
  return readRecord(tx, clinicId, child)
}

interface ChildWork {
  readonly kept: readonly RecordVersion[]
  readonly own: readonly Change[]
  readonly basis: Basis
}

const keyOf = ({ type, id }: { readonly type: string; readonly id: string }): string =>
  `${type}/${id}`

async function triageOfChild(
  tx: Tx,
  context: Context,
  { clinicId }: Caller,
  { kept, own, basis }: ChildWork,
): Promise<NewVersion[]> {
  const touched = new Set(own.map(({ written }) => keyOf(written.stored)))
  const received = new Map(kept.map((version) => [keyOf(version), version.createdAt]))
  const entries = [
    ...kept.filter((version) => !touched.has(keyOf(version))).map(readEntry),
    ...own.flatMap(({ written: { stored, reference, resource } }) =>
      resource === undefined ? [] : [{ stored, reference, resource }],
    ),
  ]
  const added: NewVersion[] = []
  for (const referral of entries.filter(isOpenReferral)) {
    const isNew = referral.stored.version === 1 && touched.has(keyOf(referral.stored))
    const createdAt = received.get(keyOf(referral.stored))
    const receivedOn = createdAt === undefined ? today(context) : civilDate(createdAt.slice(0, 10))
    const record = referralRecord(context.baseUrl, referral, { entries, receivedOn })
    if (record === undefined) continue
    const { speaker } = basis
    if (record.task !== undefined && isEnded(record.task.resource)) {
      added.push(...abandonedRequests(context, referral, { entries, speaker }))
      continue
    }
    const day = currentDay(context, record)
    const { results, ofClinic, task, triage } = triageVersions(context, record, day, basis)
    const isKept = !isNew && (await alreadyStored(tx, clinicId, results)) !== undefined
    // A Task that came in after its request was computed is received all the same.
    if (isKept && !isWaiting(record)) continue
    const found = { record, triage, speaker }
    added.push(...(isKept ? [] : [...results, ...ofClinic]), ...task)
    added.push(...(await informationVersions(tx, context, clinicId, found)))
  }
  for (const referral of entries.filter(isEndedReferral))
    added.push(...abandonedRequests(context, referral, { entries, speaker: basis.speaker }))
  return added
}

const isWaiting = ({ task }: ReferralRecord): boolean =>
  task !== undefined && stateOfTask(task.resource) === 'sent'

const isOpenReferral = isReferralThat('active')

const isEndedReferral = ({ resource }: Entry): boolean =>
  resource.resourceType === 'ServiceRequest' && isReferral(resource) && resource.status !== 'active'

const mattersToTriage = ({ before, written }: Change): boolean =>
  [before?.resource, written.resource].some(
    (resource) => resource !== undefined && isRead(resource),
  )

/** Does the computation, or where it is told, depend on such a resource? */
const isRead = (resource: Resource): boolean =>
  isInput(resource) ||
  (resource.resourceType === 'ServiceRequest' && isReferral(resource)) ||
  (resource.resourceType === 'Task' && hasCode(resource.code, EXCHANGE_CODES.referral))
