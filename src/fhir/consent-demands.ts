import type { Gate, GateDecision } from '../domain/law/consent-gate.ts'
import type { ConsentDemand } from '../domain/law/consent-on-record.ts'
import type { Fault } from '../errors.ts'
import { SYSTEMS } from './codes.ts'
import {
  ACTIONS,
  ACTOR_ROLES,
  CONSENT_SYSTEMS,
  PARENT_OR_GUARDIAN,
  POLICY_RULES,
  SCOPES,
  TREATMENT_PURPOSES,
} from './consent-codes.ts'

/** What was refused, and where the consent stands that comes closest. */
export interface Refusal {
  /** The first entry of the child's content. */
  readonly contentAt: string
  /** `Bundle.entry[2].resource`, or `Consent` when none was sent. */
  readonly consentAt: string
  /** The clinic that is to be named as the recipient. */
  readonly clinicId: string
}

/**
 * What a sender reads when the gate is shut: the law, and every demand that is not met with the element
 * that would meet it.
 */
export function consentFaults(
  { gate, needed, refusedByFamily }: GateDecision,
  { contentAt, consentAt, clinicId }: Refusal,
): Fault[] {
  const refused = refusal(contentAt, 'consent-gate', ASKED[gate])
  if (refusedByFamily)
    return [
      refused,
      refusal(
        `${consentAt}.provision.type`,
        'consent-gate.refused-by-family',
        'A refusal of the family is on record or was sent that is as recent as every consent that would count.',
      ),
    ]
  return [
    refused,
    ...needed.map((demand) => {
      const [path, text] = DEMANDS[demand]
      return refusal(
        `${consentAt}.${path}`,
        `consent-gate.${demand}`,
        text.replace('{clinic}', `${SYSTEMS.clinic}|${clinicId}`),
      )
    }),
  ]
}

/** Content whose child is not said cannot be matched with a consent. */
export const childNotNamed = (contentAt: string): Fault =>
  refusal(
    contentAt,
    'consent-gate.child',
    'Content of this sender needs a consent, so it must refer to a Patient that is kept here or stands in the same Bundle.',
  )

const refusal = (expression: string, rule: string, text: string): Fault => ({
  severity: 'error',
  code: 'business-rule',
  expression,
  rule,
  text,
})

const NOTHING_STORED =
  'No consent on record or in this request counts today, so nothing of the child was stored.'
const FERPA =
  'a signed and dated consent of a parent that names records, purpose and recipient (34 CFR 99.30)'

const ASKED: Readonly<Record<Gate, string>> = {
  nothing: 'No consent is needed.',
  'part-c-consent': `Content of an early intervention programme needs a parent's written consent (34 CFR 303.414). ${NOTHING_STORED}`,
  'ferpa-consent': `Content of a school needs ${FERPA}. ${NOTHING_STORED}`,
  authorization: `This purpose needs an authorization (45 CFR 164.508). ${NOTHING_STORED}`,
  'every-consent': `The law that this sender is under is not registered with the clinic, so the strictest consent is needed: ${FERPA}. ${NOTHING_STORED}`,
}

const anyOf = (codes: readonly string[]): string => codes.join(' or ')

const RECIPIENT = `an actor with role ${anyOf(ACTOR_ROLES.recipient)} of ${CONSENT_SYSTEMS.actorRole} whose reference has or leads to the identifier {clinic}`

/** The element of Consent that meets a demand, and how. */
const DEMANDS: Readonly<Record<ConsentDemand, readonly [path: string, text: string]>> = {
  active: ['status', 'The consent must be active: neither draft, rejected nor withdrawn.'],
  permits: [
    'provision.type',
    `The consent must permit: provision.type permit, or a policyRule ${anyOf(POLICY_RULES.permit)} of ${CONSENT_SYSTEMS.policyRule}, and no exception for this recipient.`,
  ],
  'for-disclosure': [
    'scope',
    `The consent must be about passing information on: scope ${anyOf(SCOPES.disclosure)} of ${CONSENT_SYSTEMS.scope}; provision.action, where given, with ${anyOf(ACTIONS.disclosure)}, and provision.purpose, where given, with ${anyOf(TREATMENT_PURPOSES)}.`,
  ],
  'by-parent': [
    'performer',
    `A parent or guardian must have given it: performer is a RelatedPerson of this child with a relationship ${anyOf(PARENT_OR_GUARDIAN)} of ${CONSENT_SYSTEMS.relationship}.`,
  ],
  written: [
    'sourceAttachment',
    'It must be in writing: sourceAttachment with data, url or hash of the signed form, or sourceReference to it.',
  ],
  dated: ['dateTime', 'The day on which it was given is needed, not after today.'],
  started: [
    'provision.period.start',
    'It must be valid already: the first day, where given, with year, month and day, not after today.',
  ],
  'not-expired': [
    'provision.period.end',
    'It must not have expired: the last day, where given, with year, month and day, not before today.',
  ],
  'not-for-another': ['provision.actor', `Where it names a recipient, it must be ${RECIPIENT}.`],
  'names-recipient': ['provision.actor', `It must name this clinic as recipient: ${RECIPIENT}.`],
  'names-records': [
    'provision.class',
    'It must name the records: provision.class, provision.code or provision.data.',
  ],
  'names-purpose': [
    'provision.purpose',
    `It must name the purpose: ${anyOf(TREATMENT_PURPOSES)} of ${CONSENT_SYSTEMS.purpose}.`,
  ],
  'names-end': ['provision.period.end', 'It must name its last day, with year, month and day.'],
}
