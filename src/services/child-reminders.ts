import type { Timer } from '../domain/referral/timers.ts'
import { speaker } from '../domain/messages/speaker.ts'
import type { Code } from '../fhir/codes.ts'
import { PROGRAMME_FACT_CODES } from '../fhir/programme-facts.ts'
import { clinicReference } from '../fhir/party-references.ts'
import type { Task } from '../fhir/r4/types.ts'
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
import { readResources } from '../storage/resources.ts'
import { readOfChildren, taskVersions } from '../storage/reminders.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { today } from './day.ts'
import { dueOf, type Moment, type Raised, recordsOf } from './due-reminders.ts'
import { newVersion } from './new-version.ts'
import { type Entry, readEntry } from './referral-record.ts'
import { ruleSetInForce } from './rule-sets.ts'

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
