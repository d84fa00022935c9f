import type { CivilDate } from '../domain/calendar.ts'
import type { Message } from '../domain/messages/message.ts'
import type { Code } from './codes.ts'
import { concept, forFamily, type Speaking } from './derived.ts'
import type { Reference, Task } from './r4/types.ts'
import { TASK_CODES } from './workflow-codes.ts'
import { narrative, paragraph } from './xhtml.ts'

export interface VisitReminder {
  readonly reason: Code
  readonly priority: NonNullable<Task['priority']>
  readonly because: Message
  readonly due: CivilDate
}

/** Something that the clinic has to do after a visit, on its worklist. */
export const visitReminder = (
  { reason, priority, because, due }: VisitReminder,
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
  extension: forFamily(speaking, because),
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
