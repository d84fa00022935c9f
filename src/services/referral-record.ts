import type { CivilDate } from '../domain/calendar.ts'
import { ImplausibleRecord } from '../domain/implausible.ts'
import { type Triage, triage } from '../domain/triage.ts'
import { AppError } from '../errors.ts'
import type { DerivedContext } from '../fhir/derived.ts'
import { parseText } from '../fhir/json-body.ts'
import { isReferral } from '../fhir/profiles.ts'
import type { Patient, Resource, ServiceRequest, Task } from '../fhir/r4/types.ts'
import { dayOf, type RecordEntry } from '../fhir/record-facts.ts'
import { implausibleFault } from '../fhir/implausible-fault.ts'
import { isInput, toChild } from '../fhir/to-domain.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
import { hasCode } from '../fhir/reading.ts'
import { TASK_CODES } from '../fhir/workflow-codes.ts'
import type { StoredVersion } from '../storage/resources.ts'
import type { Basis } from './basis.ts'
import type { Context } from './context.ts'
import { latestDay, today } from './day.ts'
import { namedEvidence } from './named-evidence.ts'
import { versionReference } from './new-version.ts'
import { stableId } from './stable-id.ts'

/** A stored version, read. */
export interface Entry<R extends Resource = Resource> extends RecordEntry {
  readonly stored: StoredVersion
  readonly resource: R
}

/** Is it a referral in one of these states of a request? */
export const isReferralThat =
  (...statuses: readonly ServiceRequest['status'][]) =>
  (entry: Entry): entry is Entry<ServiceRequest> =>
    entry.resource.resourceType === 'ServiceRequest' &&
    isReferral(entry.resource) &&
    statuses.includes(entry.resource.status)

/** All that is known about one referral and its child. */
export interface ReferralRecord {
  readonly referral: Entry<ServiceRequest>
  readonly patient: Entry<Patient>
  readonly task: Entry<Task> | undefined
  readonly entries: readonly Entry[]
  /** The day the clinic received the referral. */
  readonly receivedOn: CivilDate
}

/** What left the database was validated when it came in. */
export function readEntry(stored: StoredVersion): Entry {
  const parsed = parseText(stored.body)
  if (!parsed.ok) throw new Error('A stored resource is not JSON')
  return {
    stored,
    reference: versionReference(stored),
    resource: parsed.value as Resource,
  }
}

const isOf = <T extends Resource['resourceType']>(
  entry: Entry,
  type: T,
): entry is Entry<Extract<Resource, { resourceType: T }>> => entry.resource.resourceType === type

/** The record of a referral, out of everything about its child; undefined when the child is missing. */
export function referralRecord(
  baseUrl: string,
  referral: Entry,
  { entries, receivedOn }: { readonly entries: readonly Entry[]; readonly receivedOn: CivilDate },
): ReferralRecord | undefined {
  if (!isOf(referral, 'ServiceRequest')) return undefined
  const patientId = ownTarget(referral.resource.subject.reference, baseUrl)?.id
  const patient = entries.find((entry) => isOf(entry, 'Patient') && entry.stored.id === patientId)
  if (patient === undefined || !isOf(patient, 'Patient')) return undefined
  const task = entries.find(
    (entry) =>
      isOf(entry, 'Task') &&
      !isBesideReferral(entry.resource) &&
      ownTarget(entry.resource.focus?.reference, baseUrl)?.id === referral.stored.id,
  )
  return {
    referral,
    patient,
    task: task !== undefined && isOf(task, 'Task') ? task : undefined,
    entries,
    receivedOn,
  }
}

/** Is a Task one that asks, reminds or gives up, and so not the one by which the referral goes on? */
const isBesideReferral = ({ code }: Task): boolean =>
  Object.values(TASK_CODES).some((one) => one !== TASK_CODES.referral && hasCode(code, one))

/**
 * The day for which a referral is computed when none is asked for: today in UTC, or the day of the latest
 * observation where that has already begun further east. Nothing that was sent is left out.
 */
export function currentDay(
  context: Context,
  { entries }: { readonly entries: readonly Pick<RecordEntry, 'resource'>[] },
): CivilDate {
  const now = today(context)
  // Nearly all is of days before, which need no closer look.
  const days = entries.flatMap(({ resource }) =>
    resource.resourceType === 'Observation' &&
    (resource.effectiveDateTime ?? '') > now &&
    isInput(resource)
      ? (dayOf(resource.effectiveDateTime) ?? [])
      : [],
  )
  const end = latestDay(context)
  const latest = days
    .filter((day) => day <= end)
    .toSorted()
    .at(-1)
  return latest !== undefined && latest > now ? latest : now
}

export interface Computed {
  readonly triage: Triage
  readonly derived: DerivedContext
}

/** What is known about the child of a referral, and every version that it is known from. */
export function childOf({ entries, patient, receivedOn }: ReferralRecord, asOf: CivilDate) {
  // In one order, whatever order they came in: the answer must be the same.
  const inputs = entries
    .filter(({ resource }) => isInput(resource))
    .toSorted((a, b) => (a.reference < b.reference ? -1 : 1))
  return {
    child: toChild(inputs, patient, { receivedOn, asOf }),
    references: inputs.map(({ reference }) => reference),
  }
}

/** Facts to findings, with the ids that the same computation always gets. */
export function compute(
  { software }: Context,
  record: ReferralRecord,
  asOf: CivilDate,
  { rules, chart, speaker }: Basis,
): Computed {
  const { referral, patient, receivedOn } = record
  const { child, references } = childOf(record, asOf)
  const seed = [
    referral.stored.id,
    ...references,
    asOf,
    receivedOn,
    `${rules.id} ${rules.version}`,
    `${chart.id} ${chart.version}`,
    software,
    speaker.language,
  ].join('\n')
  return {
    triage: plausibly(() => triage(child, asOf, { rules, chart })),
    derived: {
      idOf: (role) => stableId(`${seed}\n${role}`),
      patient: `Patient/${patient.stored.id}`,
      referral: `ServiceRequest/${referral.stored.id}`,
      ...namedEvidence(record, references),
      software,
      speaker,
    },
  }
}

/** What cannot be true of any child is the sender's fault, not ours. */
export function plausibly<T>(work: () => T): T {
  try {
    return work()
  } catch (error) {
    if (error instanceof ImplausibleRecord)
      throw new AppError('invalid-resource', 'The record cannot be true.', [
        implausibleFault(error),
      ])
    throw error
  }
}
