import { civilDate } from '../domain/calendar.ts'
import { SYSTEMS } from '../fhir/codes.ts'
import { FINDING_CODES } from '../fhir/finding-codes.ts'
import { isEnded } from '../fhir/from-domain.ts'
import { isReferral } from '../fhir/profiles.ts'
import {
  activeRequests,
  type CaseloadCursor,
  type CaseloadRequest,
  readRecords,
} from '../storage/caseload.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { type Entry, readEntry, referralRecord, type ReferralRecord } from './referral-record.ts'

/** Requests whose records are in memory together. */
const BATCH = 200

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

/** The records of every open referral of a clinic, batch by batch; those of one child side by side. */
export async function* caseload(
  tx: Tx,
  { baseUrl }: Context,
  clinicId: string,
): AsyncGenerator<readonly CaseloadRecord[]> {
  let after: CaseloadCursor | undefined
  for (;;) {
    const requests = await activeRequests(tx, clinicId, { after, most: BATCH })
    after = requests.at(-1)
    if (after === undefined) return
    const patientIds = [...new Set(requests.map(({ patientId }) => patientId))]
    const kept = await readRecords(tx, clinicId, { patientIds, types: TYPES, except: FINDINGS })
    const byChild = new Map<string, Entry[]>(patientIds.map((id) => [id, []]))
    for (const { patientId, ...stored } of kept) byChild.get(patientId)?.push(readEntry(stored))
    yield requests.flatMap((request) =>
      openRecord(baseUrl, request, byChild.get(request.patientId) ?? []),
    )
    if (requests.length < BATCH) return
  }
}

function openRecord(
  baseUrl: string,
  request: CaseloadRequest,
  entries: readonly Entry[],
): CaseloadRecord[] {
  const referral = readEntry(request)
  const { resource } = referral
  if (resource.resourceType !== 'ServiceRequest' || !isReferral(resource)) return []
  const receivedOn = civilDate(request.receivedAt.slice(0, 10))
  const record = referralRecord(baseUrl, referral, { entries, receivedOn })
  if (record === undefined || (record.task !== undefined && isEnded(record.task.resource)))
    return []
  return [{ patientId: request.patientId, record }]
}
