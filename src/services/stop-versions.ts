import type { CivilDate } from '../domain/calendar.ts'
import type { UrgentFinding } from '../domain/follow-up/urgent-findings.ts'
import { SYSTEMS } from '../fhir/codes.ts'
import type { Speaking } from '../fhir/derived.ts'
import type { Communication, Task } from '../fhir/r4/types.ts'
import { type ReminderContent, reminderTask } from '../fhir/reminder-task.ts'
import { stopAlert, type WordPlace } from '../fhir/visit-communications.ts'
import { VISIT_REMINDER_CODES } from '../fhir/workflow-codes.ts'
import type { ReferralRecord } from './referral-record.ts'
import { occasionId, stableId } from './stable-id.ts'

/** Of which devices something is told: since when they are worn, or that nobody recorded it. */
export type Since = CivilDate | 'not-on-record'

/** What is told at once that a device must come off, each sign, foot and day once. */
export const stopAlerts = (
  urgent: readonly UrgentFinding[],
  since: Since,
  place: WordPlace,
  speaking: Speaking,
): Communication[] =>
  urgent.map((one) => ({
    ...stopAlert(one, place, speaking),
    id: stableId(['stop-alert', place.referral, one.sign, one.side, one.on, since].join('\n')),
  }))

/** It is looked at on the day. */
export const stopReminders = (
  urgent: readonly UrgentFinding[],
  { since, day }: { readonly since: Since; readonly day: CivilDate },
  place: WordPlace,
  speaking: Speaking,
): Task[] =>
  urgent.map(({ sign, side, on, because }) => {
    const name = `${sign} ${side} ${on}`
    const reason = VISIT_REMINDER_CODES.stopSign
    const content = { reason, priority: 'stat' as const, because, due: day }
    return visitReminder({ name, since, content }, place, speaking)
  })

/** What is to be done after a visit, once for these devices. */
export const visitReminder = (
  {
    name,
    since,
    content,
  }: { readonly name: string; readonly since: Since; readonly content: ReminderContent },
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
  const organisation = (system: string, value: string) => ({
    type: 'Organization',
    identifier: { system, value },
  })
  const { partnerId, id } = referral.stored
  return {
    patient: `Patient/${patient.stored.id}`,
    referral: `ServiceRequest/${id}`,
    clinic: organisation(SYSTEMS.clinic, clinicId),
    referrer: partnerId === undefined ? undefined : organisation(SYSTEMS.partner, partnerId),
    about,
    now,
  }
}
