import { type CivilDate, civilDate } from '../domain/calendar.ts'
import { AppError } from '../errors.ts'
import { taskAfterTriage, triageFindings, triageProvenance } from '../fhir/from-domain.ts'
import { riskAssessment } from '../fhir/risk-assessment.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
import { isReferral } from '../fhir/profiles.ts'
import type { AnyResource } from '../fhir/r4/types.ts'
import type { Caller } from '../security/access-token.ts'
import { serialise } from '../storage/idempotency.ts'
import { insertVersions, type NewVersion } from '../storage/resource-writes.ts'
import {
  readRecord,
  readResource,
  readResources,
  readVersion,
  type StoredVersion,
} from '../storage/resources.ts'
import { seeWholeClinic } from '../storage/scope.ts'
import type { Tx } from '../storage/transaction.ts'
import { type Basis, basisOf } from './basis.ts'
import { collectionOf } from './bundle-text.ts'
import type { Context } from './context.ts'
import { newVersion, versionReference } from './new-version.ts'
import {
  compute,
  currentDay,
  readEntry,
  referralRecord,
  type ReferralRecord,
} from './referral-record.ts'
import { unitOfWork } from './unit-of-work.ts'

export interface TriageRequest {
  readonly referralId: string
  /** The day for which the answer holds; today when not given. */
  readonly asOf: CivilDate | undefined
}

/**
 * Computes a referral and returns the findings. For the day it is they are stored, once: the same inputs,
 * day and rule set give the same resources. For another day nothing is stored.
 */
export function triageReferral(
  context: Context,
  caller: Caller,
  { referralId, asOf }: TriageRequest,
): Promise<string> {
  const needs = [
    { type: 'ServiceRequest', letter: 'r' },
    { type: 'Observation', letter: 'c' },
    { type: 'Observation', letter: 'r' },
    { type: 'RiskAssessment', letter: 'r' },
  ] as const
  return unitOfWork(context, caller, needs, async (tx) => {
    const record = await recordOf(tx, context, caller, referralId)
    const current = currentDay(context, record)
    const basis = await basisOf(tx, context, caller)
    const { results, task } = triageVersions(context, record, asOf ?? current, basis)
    // An answer for another day is a question asked: where the referral stands does not change.
    if (asOf !== undefined && asOf !== current) return collectionOf(context.baseUrl, results)
    const versions = [...results, ...task]
    const stored = await alreadyStored(tx, caller.clinicId, versions)
    if (stored !== undefined) return collectionOf(context.baseUrl, stored)
    await insertVersions(tx, caller.clinicId, versions)
    return collectionOf(context.baseUrl, versions)
  })
}

/** The referral and everything about its child, locked against another triage of the same referral. */
export async function recordOf(
  tx: Tx,
  context: Context,
  { clinicId }: Caller,
  referralId: string,
): Promise<ReferralRecord> {
  const key = { clinicId, type: 'ServiceRequest', id: referralId }
  const stored = await readResource(tx, key)
  if (stored === undefined)
    throw new AppError('not-found', `ServiceRequest/${referralId} does not exist.`)
  if (stored.deleted) throw new AppError('deleted', `ServiceRequest/${referralId} was deleted.`)
  const referral = readEntry(stored)
  if (referral.resource.resourceType !== 'ServiceRequest' || !isReferral(referral.resource))
    throw new AppError(
      'business-rule',
      'This ServiceRequest is no referral for orthotic assessment.',
    )
  const patientId = ownTarget(referral.resource.subject.reference, context.baseUrl)?.id ?? ''
  await serialise(tx, [triageOf(clinicId, patientId)])
  await seeWholeClinic(tx)
  const first = await readVersion(tx, { ...key, version: 1 })
  const entries = (await readRecord(tx, clinicId, patientId)).map(readEntry)
  const receivedOn = civilDate((first ?? stored).updatedAt.slice(0, 10))
  const record = referralRecord(context, referral, { entries, receivedOn })
  if (record === undefined)
    throw new AppError('business-rule', 'The child of this referral is not on record.')
  return record
}

/** What must not happen twice at once: a triage of one child. */
export const triageOf = (clinicId: string, patientId: string): string =>
  ['triage', clinicId, patientId].join(' ')

export interface TriageVersions {
  /** Findings, risk, and what was made from what. */
  readonly results: readonly NewVersion[]
  /** The next version of the referral's Task; none when it has ended. */
  readonly task: readonly NewVersion[]
}

/** Everything that one triage writes. */
export function triageVersions(
  context: Context,
  record: ReferralRecord,
  asOf: CivilDate,
  basis: Basis,
): TriageVersions {
  const { triage, derived } = compute(context, record, asOf, basis)
  const updatedAt = context.now().toISOString()
  const { partnerId } = record.referral.stored
  const { baseUrl } = context
  const first = (resource: AnyResource) =>
    newVersion(resource, { id: resource.id ?? '', version: 1, partnerId, updatedAt, baseUrl })

  const risk = riskAssessment(triage, derived)
  const findings = [...triageFindings(triage, derived), ...(risk === undefined ? [] : [risk])].map(
    first,
  )
  const targets = findings.map(versionReference)
  const provenance = first(triageProvenance(triage, derived, { targets, recorded: updatedAt }))
  const results = [...findings, provenance]
  const after =
    record.task === undefined
      ? undefined
      : taskAfterTriage(record.task.resource, record.referral.resource, triage, {
          results: results.map(({ type, id }) => `${type}/${id}`),
          now: updatedAt,
          speaker: derived.speaker,
        })
  if (record.task === undefined || after === undefined) return { results, task: [] }
  const { id, version, partnerId: owner } = record.task.stored
  const key = { id, version: version + 1, partnerId: owner, updatedAt, baseUrl }
  return { results, task: [newVersion(after, key)] }
}

/** The same computation as it was stored before. */
export async function alreadyStored(
  tx: Tx,
  clinicId: string,
  versions: readonly NewVersion[],
): Promise<StoredVersion[] | undefined> {
  const stored = await readResources(tx, clinicId, versions)
  const [first] = versions
  return stored.some((kept) => kept.id === first?.id) ? stored : undefined
}
