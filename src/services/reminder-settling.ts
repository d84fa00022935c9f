import type { Speaker } from '../domain/messages/speaker.ts'
import type { Task } from '../fhir/r4/types.ts'
import { isOpenReminder, isReminder, settled } from '../fhir/reminder-task.ts'
import type { NewVersion } from '../storage/resource-writes.ts'
import { newVersion } from './new-version.ts'
import type { Entry } from './referral-record.ts'

/** What is written of the open reminders of a child whose cause is gone; what a person closed stays as it is. */
export const settledReminders = (
  entries: readonly Entry[],
  isGone: (reminder: Task, id: string) => boolean,
  {
    now,
    baseUrl,
    speaker,
  }: { readonly now: string; readonly baseUrl: string; readonly speaker: Speaker },
): NewVersion[] =>
  entries.flatMap(({ stored, resource }) => {
    if (!isReminder(resource) || !isOpenReminder(resource)) return []
    const { id, version, partnerId } = stored
    if (!isGone(resource, id)) return []
    const key = { id, version: version + 1, partnerId, updatedAt: now, baseUrl }
    return [newVersion(settled(resource, { speaker, now }), key)]
  })
