import { type CivilDate, civilDate } from '../domain/calendar.ts'
import { overdueFollowUp } from '../domain/referral/follow-up-timer.ts'
import { remindersDue, type Reminder, type Timer } from '../domain/referral/timers.ts'
import type { RuleSet } from '../domain/rules/rule-set.ts'
import { type Speaker, speaker } from '../domain/messages/speaker.ts'
import { type Code } from '../fhir/codes.ts'
import { plannedVisits } from '../fhir/plan-progress.ts'
import { isReferral } from '../fhir/profiles.ts'
import { PROGRAMME_FACT_CODES } from '../fhir/programme-facts.ts'
import { clinicReference } from '../fhir/party-references.ts'
import type { Task } from '../fhir/r4/types.ts'
import { courseOf, legalDatesOf, type TaskVersion } from '../fhir/referral-course.ts'
import {
  isOpenReminder,
  isSettled,
  isTimerReminder,
  reminderTask,
  reopened,
  settled,
  urgencyOf,
} from '../fhir/reminder-task.ts'
import { TIMER_CODES } from '../fhir/workflow-codes.ts'
import type { NewVersion } from '../storage/resource-writes.ts'
import { readResources, type RecordVersion, type StoredVersion } from '../storage/resources.ts'
import { readOfChildren, taskVersions } from '../storage/reminders.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { today } from './day.ts'
import { newVersion } from './new-version.ts'
import { type Entry, readEntry, type ReferralRecord, referralRecord } from './referral-record.ts'
import { ruleSetInForce } from './rule-sets.ts'
import { occasionId } from './stable-id.ts'

const TYPES = ['Patient', 'ServiceRequest', 'Task', 'Appointment']

const CODE_OF: Readonly<Record<Timer, Code>> = {
  'no-receipt': TIMER_CODES.noReceipt,
  'no-triage': TIMER_CODES.noTriage,
  'no-decision': TIMER_CODES.noDecision,
  'no-date': TIMER_CODES.noDate,
  'no-reply': TIMER_CODES.noReply,
  'information-not-sent': TIMER_CODES.informationNotSent,
  'overdue-visit': TIMER_CODES.overdueVisit,
  'legal-date': TIMER_CODES.legalDate,
}

interface Raised {
  readonly id: string
  readonly record: ReferralRecord
  readonly reminder: Reminder
}

interface Moment {
  readonly asOf: CivilDate
  readonly now: string
  readonly rules: RuleSet
  readonly speaker: Speaker
}

/**
 * What the timers of some children's referrals write: a Task for each reminder that is due and was never raised,
 * one that was closed because its cause was gone and is due again opened again, one whose cause is gone closed.
 * Whatever a person did with a reminder stays. Nothing when all is as it should be.
 *
 * They are the clinic's alone: a partner that owes information has the request for it.
 */
export async function reminderVersions(
  tx: Tx,
  context: Context,
  clinicId: string,
  patientIds: readonly string[],
): Promise<NewVersion[]> {
  const rules = await ruleSetInForce(tx, context, clinicId)
  const asked = { patientIds, types: TYPES, codes: PROGRAMME_FACT_CODES }
  const kept = await readOfChildren(tx, clinicId, asked)
  const records = recordsOf(context, kept)
  const tasks = records.flatMap(({ task }) => task?.stored.id ?? [])
  const versions = await taskVersions(tx, clinicId, tasks)
  const moment = {
    asOf: today(context),
    now: context.now().toISOString(),
    rules,
    speaker: speaker(context.language),
  }
  const due = records.flatMap((record) => dueOf(record, versions, moment, context))
  return changesOf(tx, context, clinicId, {
    due,
    open: kept.filter(({ type }) => type === 'Task').map(readEntry),
    moment,
  })
}

function recordsOf({ baseUrl }: Context, kept: readonly RecordVersion[]): ReferralRecord[] {
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
const isLookedAfter = ({ resource }: Entry): boolean =>
  resource.resourceType === 'ServiceRequest' &&
  isReferral(resource) &&
  (resource.status === 'active' || resource.status === 'completed')

function dueOf(
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

async function changesOf(
  tx: Tx,
  { baseUrl }: Context,
  clinicId: string,
  {
    due,
    open,
    moment,
  }: { readonly due: readonly Raised[]; readonly open: readonly Entry[]; readonly moment: Moment },
): Promise<NewVersion[]> {
  const wanted = new Set(due.map(({ id }) => id))
  const known = await readResources(
    tx,
    clinicId,
    due.map(({ id }) => ({ type: 'Task', id })),
  )
  const taken = new Set(known.map(({ id }) => id))
  const next = ({ stored }: Entry, resource: Task): NewVersion => {
    const { id, version, partnerId } = stored
    const key = { id, version: version + 1, partnerId, updatedAt: moment.now, baseUrl }
    return newVersion(resource, key)
  }
  return [
    ...due
      .filter(({ id }) => !taken.has(id))
      .map((raised) => firstOf(raised, clinicId, moment, baseUrl)),
    ...open.flatMap((entry): NewVersion[] => {
      const { resource, stored } = entry
      if (!isTimerReminder(resource)) return []
      const isDue = wanted.has(stored.id)
      if (isDue && isSettled(resource)) return [next(entry, reopened(resource, moment))]
      if (!isDue && isOpenReminder(resource)) return [next(entry, settled(resource, moment))]
      return []
    }),
  ]
}

function firstOf(
  { id, record, reminder }: Raised,
  clinicId: string,
  moment: Moment,
  baseUrl: string,
): NewVersion {
  const { referral, patient, task } = record
  const { due, because, timer } = reminder
  const { priority = 'routine' } = task?.resource ?? referral.resource
  const made = reminderTask(
    { reason: CODE_OF[timer], priority, because, due, urgency: urgencyOf(task?.resource) },
    {
      patient: `Patient/${patient.stored.id}`,
      referral: `ServiceRequest/${referral.stored.id}`,
      clinic: clinicReference(clinicId),
      now: moment.now,
    },
    moment,
  )
  const key = { id, version: 1, partnerId: undefined, updatedAt: moment.now, baseUrl }
  return newVersion({ ...made, id }, key)
}
