import type { CivilDate } from '../domain/calendar.ts'
import type { UrgentFinding } from '../domain/follow-up/urgent-findings.ts'
import type { Speaking } from '../fhir/derived.ts'
import { clinicReference, partnerReference } from '../fhir/party-references.ts'
import type { Communication, Task } from '../fhir/r4/types.ts'
import { type ReminderContent, reminderTask } from '../fhir/reminder-task.ts'
import { stopAlert, type WordPlace } from '../fhir/visit-communications.ts'
import { VISIT_REMINDER_CODES } from '../fhir/workflow-codes.ts'
import type { Entry, ReferralRecord } from './referral-record.ts'
import { occasionId, stableId } from './stable-id.ts'

/** A sign to stop: what was seen, on which foot, when. */
export type StopKey = Pick<UrgentFinding, 'sign' | 'side' | 'on'>

/** Words of the record that were sent, by their ids. */
export type Told = ReadonlySet<string>

export const toldIn = (entries: readonly Entry[]): Told =>
  new Set(entries.flatMap(({ stored: { type, id } }) => (type === 'Communication' ? [id] : [])))

/** What the alert, the reminder and the withdrawal of one sign are called. */
export interface StopNames {
  readonly alert: string
  readonly reminder: string
  readonly withdrawal: string
}

/** A sign that comes back after it was withdrawn is told anew; every other one once, whatever device is on record. */
export function stopNames(
  { sign, side, on }: StopKey,
  { referral }: Pick<WordPlace, 'referral'>,
  told: Told,
): StopNames {
  for (let round = 0; ; round += 1) {
    const again = round === 0 ? [] : [`again ${round}`]
    const alert = stableId(['stop-alert', referral, sign, side, on, ...again].join('\n'))
    const withdrawal = stableId(`stop-withdrawn\n${alert}`)
    const reminder = occasionId(['visit', referral, sign, side, on, ...again].join('\n'))
    if (!told.has(withdrawal)) return { alert, reminder, withdrawal }
  }
}

/** What is told at once that a device must come off, each sign, foot and day once. */
export const stopAlerts = (
  urgent: readonly UrgentFinding[],
  told: Told,
  place: WordPlace,
  speaking: Speaking,
): Communication[] =>
  urgent.map((one) => ({
    ...stopAlert(one, place, speaking),
    id: stopNames(one, place, told).alert,
  }))

/** It is looked at on the day. */
export const stopReminders = (
  urgent: readonly UrgentFinding[],
  { day, told }: { readonly day: CivilDate; readonly told: Told },
  place: WordPlace,
  speaking: Speaking,
): Task[] =>
  urgent.map((one) => {
    const { because } = one
    const reason = VISIT_REMINDER_CODES.stopSign
    const content = { reason, priority: 'stat' as const, because, due: day }
    const id = stopNames(one, place, told).reminder
    return { ...reminderTask(content, place, speaking), id }
  })

/** What is to be done after a visit, once for these devices. */
export const visitReminder = (
  {
    name,
    since,
    content,
  }: { readonly name: string; readonly since: CivilDate; readonly content: ReminderContent },
  place: WordPlace,
  speaking: Speaking,
): Task => ({
  ...reminderTask(content, place, speaking),
  id: occasionId(['visit', place.referral, since, name].join('\n')),
})

/** Whom a word about the child of a referral goes to. */
export function wordPlace(
  { referral, patient }: ReferralRecord,
  clinicId: string,
  { about, now }: Pick<WordPlace, 'about' | 'now'>,
): WordPlace {
  const { partnerId, id } = referral.stored
  return {
    patient: `Patient/${patient.stored.id}`,
    referral: `ServiceRequest/${id}`,
    clinic: clinicReference(clinicId),
    referrer: partnerId === undefined ? undefined : partnerReference(partnerId),
    about,
    now,
  }
}
