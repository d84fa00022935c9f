import { type CivilDate, earliestDay } from '../domain/calendar.ts'
import { type Side, SIDES } from '../domain/child.ts'
import { fitCheckResult } from '../domain/follow-up/fit-check-result.ts'
import { type UrgentFinding, urgentFindings } from '../domain/follow-up/urgent-findings.ts'
import { say, together } from '../domain/messages/message.ts'
import { fitCheck } from '../domain/plan/fit-check.ts'
import { fitCheckAnswers, isFitCheck } from '../fhir/fit-check-answers.ts'
import { dayOf } from '../fhir/record-facts.ts'
import { isStopSign, seenWithoutDevice } from '../fhir/worn-devices.ts'
import type { NewVersion } from '../storage/resource-writes.ts'
import { readResources } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Basis } from './basis.ts'
import type { Context } from './context.ts'
import { lastFitCheck } from './answered-fit-check.ts'
import type { Change } from './intake-triage.ts'
import { firstVersion } from './new-version.ts'
import { compute, type ReferralRecord } from './referral-record.ts'
import { stopAlerts, stopReminders, toldIn, wordPlace } from './stop-versions.ts'

interface Seen {
  readonly record: ReferralRecord
  readonly basis: Basis
  readonly day: CivilDate
  readonly own: readonly Change[]
  /** Feet of which no device is on record. */
  readonly sides: readonly Side[]
}

/** May something that was just sent be a sign that a device must come off? */
export const mayBeStop = ({ written: { resource } }: Change): boolean =>
  resource !== undefined &&
  (isStopSign(resource) ||
    (resource.resourceType === 'QuestionnaireResponse' && isFitCheck(resource)))

/**
 * What is told of a sign to stop on a foot of which no device is on record: harm does not wait for papers. Everything else about devices waits until somebody records them.
 */
export async function unrecordedStop(
  tx: Tx,
  context: Context,
  clinicId: string,
  seen: Seen,
): Promise<NewVersion[]> {
  const { record, basis, day, own } = seen
  const { baseUrl } = context
  const urgent = stopsSeen(seen)
  if (urgent.length === 0) return []
  const { derived } = compute(context, record, day, basis)
  const now = context.now().toISOString()
  const about = own
    .filter(mayBeStop)
    .map(({ written: { stored } }) => `${stored.type}/${stored.id}`)
  const place = wordPlace(record, clinicId, { about, now })
  const known = toldIn(record.entries)
  const { partnerId } = record.referral.stored
  const version = (of: string | undefined) => (resource: Parameters<typeof firstVersion>[0]) =>
    firstVersion(resource, { partnerId: of, updatedAt: now, baseUrl })
  const told = [
    ...stopAlerts(urgent, known, place, derived).map(version(partnerId)),
    ...stopReminders(urgent, { day, told: known }, place, derived).map(version(undefined)),
  ]
  const kept = new Set((await readResources(tx, clinicId, told)).map(({ id }) => id))
  return told.filter(({ id }) => !kept.has(id))
}

function stopsSeen({ record, basis: { rules }, day, own, sides }: Seen): UrgentFinding[] {
  const days = own.filter(mayBeStop).flatMap(({ written: { resource } }) => {
    if (resource?.resourceType === 'Observation') return dayOf(resource.effectiveDateTime) ?? []
    return resource?.resourceType === 'QuestionnaireResponse'
      ? (dayOf(resource.authored) ?? [])
      : []
  })
  const deliveredOn = earliestDay(days)
  if (deliveredOn === undefined || deliveredOn > day) return []
  const last = lastFitCheck(record, { day, firstOn: deliveredOn })
  const fitCheckOn = dayOf(last?.resource.authored)
  const visit = {
    deliveredOn,
    asOf: day,
    devices: seenWithoutDevice(record.entries, { asOf: day, sides }),
    fitCheck:
      // Of a child with a device on record its answers are judged with that.
      last === undefined || sides.length < SIDES.length
        ? ('unknown' as const)
        : fitCheckResult(fitCheck(SIDES, rules), fitCheckAnswers(last).answers, rules),
    ...(fitCheckOn && { fitCheckOn }),
  }
  return urgentFindings(visit, rules)
    .filter(({ on }) => days.includes(on))
    .map((one) => ({ ...one, because: together([one.because, say('stop-sign.no-device')]) }))
}
