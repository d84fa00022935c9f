import { type CivilDate, civilDate } from '../domain/calendar.ts'
import type { Speaker } from '../domain/messages/speaker.ts'
import { overdueFollowUp } from '../domain/referral/follow-up-timer.ts'
import { remindersDue, type Reminder } from '../domain/referral/timers.ts'
import type { RuleSet } from '../domain/rules/rule-set.ts'
import { plannedVisits } from '../fhir/plan-progress.ts'
import { courseOf, legalDatesOf, type TaskVersion } from '../fhir/referral-course.ts'
import type { RecordVersion, StoredVersion } from '../storage/resources.ts'
import type { Context } from './context.ts'
import {
  isReferralThat,
  readEntry,
  type ReferralRecord,
  referralRecord,
} from './referral-record.ts'
import { occasionId } from './stable-id.ts'

/** A reminder that is due, of the referral that it is about. */
export interface Raised {
  readonly id: string
  readonly record: ReferralRecord
  readonly reminder: Reminder
}

/** When it is asked what is due, by which rules, in whose words. */
export interface Moment {
  readonly asOf: CivilDate
  readonly now: string
  readonly rules: RuleSet
  readonly speaker: Speaker
}

/** The referrals of some children that somebody still looks after, each with its record. */
export function recordsOf({ baseUrl }: Context, kept: readonly RecordVersion[]): ReferralRecord[] {
  const children = new Map<string, RecordVersion[]>()
  for (const version of kept) {
    const own = children.get(version.patientId ?? '')
    if (own === undefined) children.set(version.patientId ?? '', [version])
    else own.push(version)
  }
  return [...children.values()].flatMap((own) => {
    const entries = own.map(readEntry)
    const receivedOn = new Map(own.map(({ id, createdAt }) => [id, createdAt.slice(0, 10)]))
    return entries.filter(isLookedAfter).flatMap((referral) => {
      const day = civilDate(receivedOn.get(referral.stored.id) ?? '')
      return referralRecord(baseUrl, referral, { entries, receivedOn: day }) ?? []
    })
  })
}

/** What was completed is looked after for the visits of its plan. */
const isLookedAfter = isReferralThat('active', 'completed')

/** @param versions of the Tasks of referrals, each in its order */
export function dueOf(
  record: ReferralRecord,
  versions: readonly StoredVersion[],
  { asOf, rules }: Moment,
  { baseUrl }: Context,
): Raised[] {
  const { entries, patient, receivedOn, referral } = record
  const task = versions.filter(({ id }) => id === record.task?.stored.id).map(taskVersion)
  const read = { referralId: referral.stored.id, receivedOn, task, entries, baseUrl }
  const course = { ...courseOf(read), legalDates: legalDatesOf(entries, patient, asOf, rules) }
  const visits = plannedVisits(entries, referral.stored.id, baseUrl)
  const reminders = [...remindersDue(course, asOf, rules), ...overdueFollowUp(visits, asOf, rules)]
  return reminders.map((reminder) => {
    const { timer, occasion } = reminder
    const named = ['timer', `ServiceRequest/${referral.stored.id}`, timer, occasion]
    return { id: occasionId(named.join('\n')), record, reminder }
  })
}

function taskVersion(stored: StoredVersion): TaskVersion {
  const { updatedAt } = stored
  if (stored.deleted) return { task: undefined, updatedAt }
  const { resource } = readEntry(stored)
  return { task: resource.resourceType === 'Task' ? resource : undefined, updatedAt }
}
