import { type Message, say } from '../domain/messages/message.ts'
import { type Code, codesOf, EXCHANGE_CODES, SIDE_CODES } from './codes.ts'

const GENDER = codesOf('http://hl7.org/fhir/administrative-gender')
const PRIORITY = codesOf('http://hl7.org/fhir/request-priority')

/** One question of the intake beside the findings. */
export interface IntakeQuestion {
  readonly linkId: string
  readonly text: Message
  readonly type: 'string' | 'text' | 'date' | 'reference' | 'choice' | 'open-choice'
  readonly required?: boolean
  readonly repeats?: boolean
  readonly options?: readonly Code[]
  /** Laws have no codes of their own; they are named. */
  readonly words?: readonly string[]
}

export interface IntakeGroup {
  readonly linkId: string
  readonly text: Message
  readonly questions: readonly IntakeQuestion[]
}

/**
 * The minimum dataset of a referral, in its order: purpose, service and side; child, guardian and authority;
 * consent; sender and regime; diagnoses; coverage; urgency and wanted reply. Ages, milestones, tone, foot and
 * exclusions are asked as facts.
 */
export const INTAKE_GROUPS: readonly IntakeGroup[] = [
  {
    linkId: 'request',
    text: say('part.intake-request'),
    questions: [
      { linkId: 'purpose', text: say('intake.purpose'), type: 'text', required: true },
      {
        linkId: 'service',
        text: say('intake.service'),
        type: 'choice',
        options: [EXCHANGE_CODES.assessment],
      },
      {
        linkId: 'side',
        text: say('intake.side'),
        type: 'choice',
        repeats: true,
        options: Object.values(SIDE_CODES),
      },
      {
        linkId: 'priority',
        text: say('intake.priority'),
        type: 'choice',
        options: [
          PRIORITY('routine', 'Routine'),
          PRIORITY('urgent', 'Urgent'),
          PRIORITY('asap', 'ASAP'),
        ],
      },
      { linkId: 'reply', text: say('intake.reply'), type: 'text' },
      { linkId: 'reply-by', text: say('intake.reply-by'), type: 'date' },
    ],
  },
  {
    linkId: 'child',
    text: say('part.intake-child'),
    questions: [
      { linkId: 'child-name', text: say('intake.child-name'), type: 'string', required: true },
      {
        linkId: 'child-birth-date',
        text: say('intake.child-birth-date'),
        type: 'date',
        required: true,
      },
      {
        linkId: 'child-gender',
        text: say('intake.child-gender'),
        type: 'choice',
        options: [
          GENDER('female', 'Female'),
          GENDER('male', 'Male'),
          GENDER('other', 'Other'),
          GENDER('unknown', 'Unknown'),
        ],
      },
      { linkId: 'child-contact', text: say('intake.child-contact'), type: 'string', repeats: true },
      { linkId: 'language', text: say('intake.language'), type: 'string', repeats: true },
    ],
  },
  {
    linkId: 'guardian',
    text: say('part.intake-guardian'),
    questions: [
      { linkId: 'guardian-name', text: say('intake.guardian-name'), type: 'string', repeats: true },
      {
        linkId: 'guardian-contact',
        text: say('intake.guardian-contact'),
        type: 'string',
        repeats: true,
      },
      { linkId: 'guardian-authority', text: say('intake.guardian-authority'), type: 'string' },
    ],
  },
  {
    linkId: 'consent',
    text: say('part.intake-consent'),
    questions: [
      {
        linkId: 'consent-reference',
        text: say('intake.consent-reference'),
        type: 'reference',
        repeats: true,
      },
    ],
  },
  {
    linkId: 'sender',
    text: say('part.intake-sender'),
    questions: [
      { linkId: 'sender-name', text: say('intake.sender-name'), type: 'string', required: true },
      {
        linkId: 'sender-regime',
        text: say('intake.sender-regime'),
        type: 'choice',
        words: ['HIPAA', 'IDEA Part C', 'FERPA'],
      },
    ],
  },
]

/** After the findings. */
export const LAST_GROUPS: readonly IntakeGroup[] = [
  {
    linkId: 'diagnoses',
    text: say('part.intake-diagnoses'),
    questions: [
      { linkId: 'diagnosis', text: say('intake.diagnosis'), type: 'open-choice', repeats: true },
    ],
  },
  {
    linkId: 'payment',
    text: say('part.intake-payment'),
    questions: [
      { linkId: 'coverage', text: say('intake.coverage'), type: 'reference', repeats: true },
    ],
  },
]
