import type { CivilDate } from '../domain/calendar.ts'
import { explain, type Triage } from '../domain/triage.ts'
import { taskAfterTriage, triageFindings } from '../fhir/from-domain.ts'
import { lawFindings } from '../fhir/law-findings.ts'
import { riskAssessment } from '../fhir/risk-assessment.ts'
import type { AnyResource } from '../fhir/r4/types.ts'
import { drawPicture } from '../pictures/picture.ts'
import type { Caller } from '../security/access-token.ts'
import { insertVersions, type NewVersion } from '../storage/resource-writes.ts'
import { readResources, type StoredVersion } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import { askedReferral, type Question } from './asked-referral.ts'
import type { Basis } from './basis.ts'
import { collectionOf } from './bundle-text.ts'
import type { Context } from './context.ts'
import { informationVersions } from './information-requests.ts'
import { provenances } from './named-evidence.ts'
import { noteWritten } from './noted.ts'
import { firstVersion, newVersion, versionReference } from './new-version.ts'
import { compute, plausibly, type ReferralRecord } from './referral-record.ts'
import { withRecords } from './records.ts'
import { unitOfWork } from './unit-of-work.ts'

/**
 * Computes a referral and returns the findings. As it stands now they are stored, once: the same inputs,
 * day and rule set give the same resources. For another day, rule set, size chart, language or moment
 * nothing is stored, and where the referral stands does not change.
 */
export function triageReferral(now: Context, caller: Caller, question: Question): Promise<string> {
  const needs = [
    { type: 'ServiceRequest', letter: 'r' },
    { type: 'Observation', letter: 'c' },
    { type: 'Observation', letter: 'r' },
    { type: 'RiskAssessment', letter: 'r' },
  ] as const
  return unitOfWork(now, caller, needs, async (tx) => {
    const { context, record, day, basis, isNow } = await askedReferral(tx, now, caller, question)
    const { results, ofClinic, task, triage } = triageVersions(context, record, day, basis)
    if (!isNow) return collectionOf(context.baseUrl, results)
    const added = [...results, ...task, ...ofClinic]
    const kept = await withRecords(tx, context, caller.clinicId, added)
    const versions = kept.slice(0, kept.length - ofClinic.length)
    const stored = await alreadyStored(tx, caller.clinicId, versions)
    if (stored !== undefined) return collectionOf(context.baseUrl, stored)
    const found = { record, triage, speaker: basis.speaker }
    const asking = await informationVersions(tx, context, caller.clinicId, found)
    const all = [...kept, ...asking]
    await insertVersions(tx, caller.clinicId, all)
    noteWritten(caller, all)
    return collectionOf(context.baseUrl, versions)
  })
}

export interface TriageVersions {
  /** Findings, risk, and what was made from what. */
  readonly results: readonly NewVersion[]
  /** What they were made from where that is more than their reader may see, for the clinic. */
  readonly ofClinic: readonly NewVersion[]
  /** The next version of the referral's Task; none when it has ended. */
  readonly task: readonly NewVersion[]
  readonly triage: Triage
}

/** Everything that one triage writes. */
export function triageVersions(
  context: Context,
  record: ReferralRecord,
  asOf: CivilDate,
  basis: Basis,
): TriageVersions {
  const { triage: found, derived } = compute(context, record, asOf, basis)
  const triage = plausibly(() => explain(found, basis))
  const { rules, chart, speaker } = basis
  const pictures = [drawPicture('urgency', { triage, rules, chart }, speaker)]
  const updatedAt = context.now().toISOString()
  const { partnerId } = record.referral.stored
  const { baseUrl } = context
  const first = (resource: AnyResource) => firstVersion(resource, { partnerId, updatedAt, baseUrl })

  const risk = riskAssessment(triage, derived)
  const findings = [
    ...triageFindings(triage, { ...derived, pictures }),
    ...lawFindings(record, { triage, rules }, derived),
    ...(risk === undefined ? [] : [risk]),
  ].map(first)
  const targets = findings.map(versionReference)
  const about = { targets, recorded: updatedAt, partnerId, baseUrl }
  const { told, ofClinic } = provenances(triage, derived, about)
  const results = [...findings, told]
  const after =
    record.task === undefined
      ? undefined
      : taskAfterTriage(record.task.resource, record.referral.resource, triage, {
          results: results.map(({ type, id }) => `${type}/${id}`),
          now: updatedAt,
          speaker: derived.speaker,
        })
  if (record.task === undefined || after === undefined)
    return { results, ofClinic, task: [], triage }
  const { id, version, partnerId: owner } = record.task.stored
  const key = { id, version: version + 1, partnerId: owner, updatedAt, baseUrl }
  return { results, ofClinic, task: [newVersion(after, key)], triage }
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
