/** The codes by which a Consent is read: HL7 terminology that R4 binds to its elements. */
const HL7 = 'http://terminology.hl7.org/CodeSystem'

export const CONSENT_SYSTEMS = {
  scope: `${HL7}/consentscope`,
  action: `${HL7}/consentaction`,
  policyRule: `${HL7}/v3-ActCode`,
  purpose: `${HL7}/v3-ActReason`,
  actorRole: `${HL7}/v3-ParticipationType`,
  relationship: `${HL7}/v3-RoleCode`,
  relationshipClass: `${HL7}/v3-RoleClass`,
  organisation: `${HL7}/organization-type`,
} as const

/** Scopes of R4; only the first is about passing information on. */
export const SCOPES = {
  disclosure: ['patient-privacy'],
  other: ['research', 'adr', 'treatment'],
} as const

/** Actions of R4; a consent that names none is about all of them. */
export const ACTIONS = {
  disclosure: ['disclose', 'access'],
  other: ['collect', 'use', 'correct'],
} as const

export const POLICY_RULES = {
  permit: ['OPTIN', 'OPTINR'],
  deny: ['OPTOUT', 'OPTOUTE'],
} as const

/** Purposes that include the referral of a child for treatment: treatment, coordination of care. */
export const TREATMENT_PURPOSES = ['TREAT', 'COC'] as const

/** Who receives, and who is in a provision without receiving: custodian, author, informant. */
export const ACTOR_ROLES = {
  recipient: ['IRCP', 'PRCP'],
  other: ['CST', 'AUT', 'INF'],
} as const

/** Organisations that pay. */
export const PAYERS = ['pay', 'ins'] as const

/**
 * A parent or a guardian. Foster and step parents may act as parents in some states and under conditions
 * that no code tells: they are not in the list (34 CFR 303.27, from memory; judgement).
 */
export const PARENT_OR_GUARDIAN = [
  'PRN',
  'MTH',
  'FTH',
  'NPRN',
  'NMTH',
  'NFTH',
  'ADOPTP',
  'ADOPTM',
  'ADOPTF',
  'GUARD',
] as const
