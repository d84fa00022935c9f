import { type CivilDate, civilDate } from '../domain/calendar.ts'
import { AppError } from '../errors.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
import { isReferral } from '../fhir/profiles.ts'
import type { Caller } from '../security/access-token.ts'
import { triageOf } from '../storage/child-locks.ts'
import { serialise } from '../storage/idempotency.ts'
import { readRecordAt } from '../storage/record-history.ts'
import { readRecord, readResource, readVersion } from '../storage/resources.ts'
import { seeWholeClinic } from '../storage/scope.ts'
import type { Tx } from '../storage/transaction.ts'
import { type Asked, type Basis, basisOf } from './basis.ts'
import type { Context } from './context.ts'
import { currentDay, readEntry, referralRecord, type ReferralRecord } from './referral-record.ts'

/** What is asked about a referral; what is left out is as it stands now. */
export interface Question extends Asked {
  readonly referralId: string
  /** The day for which the answer holds; today when not given. */
  readonly asOf: CivilDate | undefined
}

/** A referral with everything that its answer is computed from. */
export interface AskedReferral {
  /** Its clock stands at the instant that is asked for. */
  readonly context: Context
  readonly record: ReferralRecord
  readonly basis: Basis
  readonly day: CivilDate
  /** Is it asked how things stand now? Any other answer is a question asked, and changes nothing. */
  readonly isNow: boolean
}

/** The record of a referral and what holds for it, now or as it was known at an instant. */
export async function askedReferral(
  tx: Tx,
  now: Context,
  caller: Caller,
  { referralId, asOf, ...asked }: Question,
): Promise<AskedReferral> {
  const { knownAt } = asked
  const context = knownAt === undefined ? now : standingAt(now, knownAt)
  const record = await recordOf(tx, context, caller, { referralId, knownAt })
  caller.call.touch(
    { type: 'ServiceRequest', id: referralId, did: 'read' },
    record.referral.stored.patientId,
  )
  const basis = await basisOf(tx, context, caller, asked)
  const current = currentDay(context, record)
  const day = asOf ?? current
  return { context, record, basis, day, isNow: basis.inForce && day === current }
}

function standingAt(context: Context, knownAt: string): Context {
  if (knownAt > context.now().toISOString())
    throw refused('value', 'What is known at a later instant cannot be known yet.')
  return { ...context, now: () => new Date(knownAt) }
}

/** The referral and everything about its child, locked against another triage of the same child. */
async function recordOf(
  tx: Tx,
  { baseUrl }: Context,
  { clinicId }: Caller,
  { referralId, knownAt }: { readonly referralId: string; readonly knownAt: string | undefined },
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
  const patientId = ownTarget(referral.resource.subject.reference, baseUrl)?.id ?? ''
  await serialise(tx, [triageOf(clinicId, patientId)])
  await seeWholeClinic(tx)
  const { updatedAt: received } = (await readVersion(tx, { ...key, version: 1 })) ?? stored
  if (knownAt !== undefined && received > knownAt)
    throw refused('not-found', 'The referral was not known at this instant.')
  const kept =
    knownAt === undefined
      ? await readRecord(tx, clinicId, patientId)
      : await readRecordAt(tx, clinicId, { patientId, knownAt })
  const receivedOn = civilDate(received.slice(0, 10))
  const entries = kept.map(readEntry)
  const record = referralRecord(baseUrl, referral, { entries, receivedOn })
  if (record === undefined)
    throw new AppError('business-rule', 'The child of this referral is not on record.')
  return record
}

const refused = (code: string, text: string): AppError =>
  new AppError('invalid-request', text, [
    { severity: 'error', code, expression: 'http.knownAt', rule: 'operation-parameter', text },
  ])
