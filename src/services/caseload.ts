import { civilDate } from '../domain/calendar.ts'
import { SYSTEMS } from '../fhir/codes.ts'
import { FINDING_CODES } from '../fhir/finding-codes.ts'
import { isEnded } from '../fhir/from-domain.ts'
import { isReferral } from '../fhir/profiles.ts'
import type { Resource } from '../fhir/r4/types.ts'
import { activeRequests, type CaseloadRequest, readRecords } from '../storage/caseload.ts'
import type { StoredVersion } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { versionReference } from './new-version.ts'
import { type Entry, referralRecord, type ReferralRecord } from './referral-record.ts'

/** Requests whose records are in memory together; a few megabytes. */
const BATCH = 50

/** What a triage reads, and the Task that says whether a referral is open. */
const TYPES = ['Patient', 'Condition', 'Observation', 'Task']

/** Findings of earlier triages are most of what is kept about a child, and no triage reads them. */
const FINDINGS = {
  system: SYSTEMS.observation,
  codes: Object.values(FINDING_CODES).map(({ code }) => code),
}

export interface CaseloadRecord {
  readonly patientId: string
  readonly record: ReferralRecord
}

/**
 * The records of every open referral of a clinic, batch by batch; those of one child side by side. While a
 * batch is worked on the next one is read.
 */
export async function* caseload(
  tx: Tx,
  { baseUrl }: Context,
  clinicId: string,
): AsyncGenerator<readonly CaseloadRecord[]> {
  const requests = activeRequests(tx, clinicId, BATCH)
  const load = async (): Promise<readonly CaseloadRecord[] | undefined> => {
    const batch = await requests.next()
    return batch.done === true ? undefined : recordsOf(tx, baseUrl, clinicId, batch.value)
  }
  let next = ahead(load())
  for (;;) {
    const batch = await next
    if (batch === undefined) return
    next = ahead(load())
    yield batch
  }
}

/** Whoever waits for it hears of a failure; when the work ends before, nobody does. */
function ahead<T>(work: Promise<T>): Promise<T> {
  work.catch(() => {})
  return work
}

async function recordsOf(
  tx: Tx,
  baseUrl: string,
  clinicId: string,
  requests: readonly CaseloadRequest[],
): Promise<readonly CaseloadRecord[]> {
  const patientIds = [...new Set(requests.map(({ patientId }) => patientId))]
  const kept = await readRecords(tx, clinicId, { patientIds, types: TYPES, except: FINDINGS })
  const byChild = new Map<string, Entry[]>(patientIds.map((id) => [id, []]))
  for (const one of kept) byChild.get(one.patientId)?.push(readNumbers(one))
  return requests.flatMap((request) =>
    openRecord(baseUrl, request, byChild.get(request.patientId) ?? []),
  )
}

function openRecord(
  baseUrl: string,
  request: CaseloadRequest,
  entries: readonly Entry[],
): CaseloadRecord[] {
  const referral = readNumbers(request)
  const { resource } = referral
  if (resource.resourceType !== 'ServiceRequest' || !isReferral(resource)) return []
  const receivedOn = civilDate(request.receivedAt.slice(0, 10))
  const record = referralRecord(baseUrl, referral, { entries, receivedOn })
  if (record === undefined || (record.task !== undefined && isEnded(record.task.resource)))
    return []
  return [{ patientId: request.patientId, record }]
}

/** Its numbers are computed with and never written again, so they need not keep their digits. */
const readNumbers = (stored: StoredVersion): Entry => ({
  stored,
  reference: versionReference(stored),
  resource: JSON.parse(stored.body) as Resource,
})
