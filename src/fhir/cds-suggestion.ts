import type { Message } from '../domain/messages/message.ts'
import { day, say } from '../domain/messages/message.ts'
import type { Speaker } from '../domain/messages/speaker.ts'
import type { Triage } from '../domain/triage.ts'
import { EXCHANGE_CODES } from './codes.ts'
import { concept, noteOf } from './derived.ts'

import type { ServiceRequest } from './r4/types.ts'
import { higherPriority } from './request-priority.ts'

/** What a card proposes to do; one or more actions that belong together. */
export interface Suggestion {
  readonly label: string
  readonly uuid: string
  readonly isRecommended?: boolean
  readonly actions: readonly Action[]
}

export interface Action {
  readonly type: 'create' | 'update'
  readonly description: string
  readonly resource: ServiceRequest
}

interface From {
  readonly triage: Triage
  readonly speaker: Speaker
  readonly uuid: string
}

interface Asking {
  readonly patientId: string
  readonly requester: string | undefined
}

/** A referral to sign or to throw away: a draft, and a proposal as long as nobody has ordered it. */
export const referralDraft = (
  { triage, speaker }: Omit<From, 'uuid'>,
  { patientId, requester }: Asking,
): ServiceRequest => ({
  resourceType: 'ServiceRequest',
  language: speaker.language,
  status: 'draft',
  intent: 'proposal',
  priority: triage.urgency.priority,
  code: concept(EXCHANGE_CODES.referral),
  subject: { reference: `Patient/${patientId}` },
  authoredOn: triage.asOf,
  ...(requester === undefined ? {} : { requester: { reference: requester } }),
  note: notesOf(triage).map(noteOf({ speaker })),
})

/** The proposal to make such a draft. */
export function draftReferral(from: From, asking: Asking): Suggestion {
  const { triage, speaker, uuid } = from
  const { priority } = triage.urgency
  return {
    label: speaker.therapist(say('part.advice-create')),
    uuid,
    isRecommended: true,
    actions: [
      {
        type: 'create',
        description: speaker.therapist(say('advice.create', { priority })),
        resource: referralDraft(from, asking),
      },
    ],
  }
}

/** The drafts with finding and priority in them; none when they have both already. */
export function completedReferrals(
  { triage, speaker, uuid }: From,
  drafts: readonly ServiceRequest[],
): Suggestion | undefined {
  const changed = drafts.flatMap((draft) => completed(draft, triage, speaker) ?? [])
  if (changed.length === 0) return undefined
  return {
    label: speaker.therapist(say('part.advice-update')),
    uuid,
    isRecommended: true,
    actions: changed.map((resource) => ({
      type: 'update',
      description: speaker.therapist(say('advice.update')),
      resource,
    })),
  }
}

function completed(
  draft: ServiceRequest,
  triage: Triage,
  speaker: Speaker,
): ServiceRequest | undefined {
  const { note = [] } = draft
  const priority = higherPriority(draft.priority, triage.urgency.priority)
  const added = notesOf(triage)
    .map(noteOf({ speaker }))
    .filter(({ text }) => note.every((one) => one.text !== text))
  return added.length === 0 && priority === draft.priority
    ? undefined
    : { ...draft, priority, note: [...note, ...added] }
}

/** The finding and how soon, as whoever reads the referral wants them. */
function notesOf({ suitability, urgency }: Triage): readonly Message[] {
  const { score, priority, seeBy } = urgency
  return [suitability.because, say('answer.urgency', { score, priority, seeBy: day(seeBy) })]
}
