import type { CivilDate } from '../domain/calendar.ts'
import { type Message, say } from '../domain/messages/message.ts'
import type { Code } from './codes.ts'
import { concept, forFamily, type Speaking } from './derived.ts'
import type { Extension, Reference, Resource, Task } from './r4/types.ts'
import { hasCode } from './reading.ts'
import { REMINDER_SETTLED, TASK_CODES, TIMER_CODES, WORKFLOW_EXTENSIONS } from './workflow-codes.ts'
import { narrative, paragraph } from './xhtml.ts'

export interface ReminderContent {
  readonly reason: Code
  readonly priority: NonNullable<Task['priority']>
  readonly because: Message
  readonly due: CivilDate
  /** Of the referral, so that both stand side by side on the worklist. */
  readonly urgency?: readonly Extension[]
}

/** Something that the clinic has to do about a referral, on its worklist. */
export const reminderTask = (
  { reason, priority, because, due, urgency = [] }: ReminderContent,
  place: {
    readonly patient: string
    readonly referral: string
    readonly clinic: Reference
    readonly now: string
  },
  speaking: Speaking,
): Omit<Task, 'id'> => ({
  resourceType: 'Task',
  language: speaking.speaker.language,
  text: narrative(paragraph(speaking.speaker.therapist(because))),
  basedOn: [{ reference: place.referral }],
  status: 'requested',
  intent: 'proposal',
  priority,
  code: concept(TASK_CODES.reminder),
  extension: [...forFamily(speaking, because), ...urgency],
  description: speaking.speaker.therapist(because),
  focus: { reference: place.referral },
  for: { reference: place.patient },
  authoredOn: place.now,
  lastModified: place.now,
  requester: place.clinic,
  owner: place.clinic,
  reasonCode: concept(reason, speaking.speaker.therapist(because)),
  restriction: { period: { end: due } },
})

export const isReminder = (resource: Resource | undefined): resource is Task =>
  resource?.resourceType === 'Task' && hasCode(resource.code, TASK_CODES.reminder)

/** Is it a reminder that a timer raised, not a visit or a person? */
export const isTimerReminder = (resource: Resource): resource is Task =>
  isReminder(resource) &&
  Object.values(TIMER_CODES).some((code) => hasCode(resource.reasonCode, code))

/** In these states somebody still has to do something. */
export const OPEN_REMINDER = [
  'draft',
  'requested',
  'received',
  'accepted',
  'ready',
  'in-progress',
  'on-hold',
] as const

export const isOpenReminder = ({ status }: Task): boolean =>
  OPEN_REMINDER.some((one) => one === status)

/** Was it closed because its cause was gone, not by a person? */
export const isSettled = ({ status, statusReason }: Task): boolean =>
  status === 'completed' && hasCode(statusReason, REMINDER_SETTLED)

type At = Speaking & { readonly now: string }

/** Its cause is gone. */
export const settled = (reminder: Task, { speaker, now }: At): Task => ({
  ...reminder,
  status: 'completed',
  statusReason: concept(REMINDER_SETTLED, speaker.therapist(say('reminder.settled'))),
  lastModified: now,
})

/** Its cause has come back. */
export const reopened = ({ statusReason: _gone, ...reminder }: Task, { now }: At): Task => ({
  ...reminder,
  status: 'requested',
  lastModified: now,
})

/** The urgency of a referral's Task. */
export const urgencyOf = (task: Task | undefined): readonly Extension[] =>
  (task?.extension ?? []).filter(isUrgency)

export const isUrgency = ({ url }: Extension): boolean => url === WORKFLOW_EXTENSIONS.urgencyScore
