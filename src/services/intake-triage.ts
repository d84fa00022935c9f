import { civilDate } from '../domain/calendar.ts'
import type { CreateEntry } from '../fhir/transaction-entries.ts'
import { isReferral } from '../fhir/profiles.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
import type { Caller } from '../security/access-token.ts'
import { serialise } from '../storage/idempotency.ts'
import type { Identified } from '../storage/identifiers.ts'
import type { NewVersion } from '../storage/resource-writes.ts'
import { readRecord } from '../storage/resources.ts'
import { seeWholeClinic } from '../storage/scope.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { type Entry, readEntry, referralRecord } from './referral-record.ts'
import { alreadyStored, today, triageOf, triageVersions } from './triage.ts'

interface Intake {
  /** Versions that the transaction is about to write. */
  readonly written: readonly NewVersion[]
  /** The ServiceRequests among its entries, new or found. */
  readonly referrals: readonly {
    readonly entry: CreateEntry
    readonly id: string
    readonly found: Identified | undefined
  }[]
}

/** What the triage of the referrals in a transaction adds to what it writes. Nothing new, nothing added. */
export async function triageOfIntake(
  tx: Tx,
  context: Context,
  caller: Caller,
  { written, referrals }: Intake,
): Promise<NewVersion[]> {
  if (written.length === 0) return []
  const pending = written.map(readEntry)
  const derived: NewVersion[] = []
  let widened = false
  for (const { entry, id, found } of referrals) {
    if (entry.resource.resourceType !== 'ServiceRequest' || !isReferral(entry.resource)) continue
    const referral =
      found === undefined
        ? pending.find(({ stored }) => stored.type === 'ServiceRequest' && stored.id === id)
        : readEntry({ ...found, deleted: false })
    if (referral?.resource.resourceType !== 'ServiceRequest') continue
    const { baseUrl } = context
    const patientId = ownTarget(referral.resource.subject.reference, baseUrl)?.id ?? ''
    if (found !== undefined) await serialise(tx, [triageOf(caller.clinicId, id)])
    const isNewChild = pending.some(({ stored }) => isPatient(stored, patientId))
    if (!isNewChild && !widened) {
      await seeWholeClinic(tx)
      widened = true
    }
    const known: Entry[] = isNewChild
      ? []
      : (await readRecord(tx, caller.clinicId, patientId)).map(readEntry)
    const own = pending.filter(({ stored }) => patientOf(written, stored.id) === patientId)
    const receivedOn =
      found === undefined ? today(context) : civilDate(found.updatedAt.slice(0, 10))
    const record = referralRecord(context, referral, {
      entries: [...known, ...own],
      receivedOn,
    })
    if (record === undefined) continue
    const versions = triageVersions(context, record, today(context))
    // What was written may be nothing that a rule reads: then the findings are there already.
    if (found === undefined || !(await alreadyStored(tx, caller.clinicId, versions)))
      derived.push(...versions)
  }
  return derived
}

const isPatient = (stored: { readonly type: string; readonly id: string }, id: string): boolean =>
  stored.type === 'Patient' && stored.id === id

const patientOf = (written: readonly NewVersion[], id: string): string | undefined =>
  written.find((version) => version.id === id)?.search.patientId
