import type { UrgentFinding } from '../domain/follow-up/urgent-findings.ts'
import { type Message, say, together } from '../domain/messages/message.ts'
import { type Code, EXCHANGE_CODES } from './codes.ts'
import { concept, forFamily, type Speaking } from './derived.ts'
import type { Communication, Reference } from './r4/types.ts'
import { translations } from './translations.ts'
import { narrative, paragraph } from './xhtml.ts'

const CATEGORY = 'http://terminology.hl7.org/CodeSystem/communication-category'
const ALERT: Code = { system: CATEGORY, code: 'alert', display: 'Alert' }
const NOTIFICATION: Code = { system: CATEGORY, code: 'notification', display: 'Notification' }

/** Whom a word about a child goes to, and what it is about. */
export interface WordPlace {
  readonly patient: string
  readonly referral: string
  readonly clinic: Reference
  /** The referrer; none where the clinic referred the child itself. */
  readonly referrer: Reference | undefined
  /** The findings that it tells of. */
  readonly about: readonly string[]
  /** ISO instant in UTC. */
  readonly now: string
}

type Word = Omit<Communication, 'id'>

/** A device must come off: to the referrer and the clinic, at once. */
export const stopAlert = (
  { because }: UrgentFinding,
  place: WordPlace,
  speaking: Speaking,
): Word => ({
  ...word(say('part.stop-alert'), [because], { ...place, speaking }),
  category: [concept(ALERT)],
  priority: 'stat',
  recipient: [place.referrer, place.clinic].flatMap((one) => one ?? []),
})

/** What was told as a sign to stop was recorded in error: to those who were told. */
export const stopWithdrawn = (because: Message, place: WordPlace, speaking: Speaking): Word => ({
  ...word(say('part.stop-withdrawn'), [because], { ...place, speaking }),
  category: [concept(NOTIFICATION)],
  priority: 'urgent',
  recipient: [place.referrer, place.clinic].flatMap((one) => one ?? []),
})

/** How a visit went: to the referrer. */
export const progressWord = (
  report: readonly Message[],
  place: WordPlace,
  speaking: Speaking,
): Word => ({
  ...word(say('part.visit-report'), report, { ...place, speaking }),
  category: [concept(NOTIFICATION)],
  priority: 'routine',
  recipient: [place.referrer ?? place.clinic],
})

function word(
  title: Message,
  messages: readonly Message[],
  { patient, referral, clinic, about, now, speaking }: WordPlace & { readonly speaking: Speaking },
): Word {
  const { language, therapist } = speaking.speaker
  const message = together(messages)
  return {
    resourceType: 'Communication',
    language,
    text: narrative(
      paragraph(therapist(title)),
      ...messages.map((one) => paragraph(therapist(one))),
    ),
    basedOn: [{ reference: referral }],
    status: 'completed',
    subject: { reference: patient },
    topic: concept(EXCHANGE_CODES.followUp, therapist(title)),
    about: [referral, ...about].map((reference) => ({ reference })),
    sent: now,
    sender: clinic,
    payload: [
      {
        extension: forFamily(speaking, message),
        contentString: therapist(message),
        _contentString: translations(message, language),
      },
    ],
  }
}
