import type { ConsentOnRecord } from '../domain/law/consent-on-record.ts'
import { SYSTEMS } from './codes.ts'
import { ACTOR_ROLES, CONSENT_SYSTEMS, PARENT_OR_GUARDIAN, PAYERS } from './consent-codes.ts'
import { ownTarget } from './literal-reference.ts'
import type { CodeableConcept, Consent, Identifier, Reference, Resource } from './r4/types.ts'
import { hasCode } from './reading.ts'
import { isTyped } from './validate.ts'

/** What a Consent is read beside. */
export interface ConsentSurroundings {
  readonly baseUrl: string
  readonly clinicId: string
  /** Whose Consent it is, as it is kept here. */
  readonly patientId: string
  /** A resource of the sender's, kept here or about to be, by `Type/id`. */
  readonly find: (place: string) => Resource | undefined
  /** The partner that would receive; none when the clinic does. */
  readonly partnerId?: string
}

export const codedIn = (
  concept: CodeableConcept | undefined,
  system: string,
  codes: readonly string[],
): boolean => codes.some((code) => hasCode(concept, { system, code }))

/** Who agreed: a performer that is a related person of this child, by the relationship it states. */
export function grantorOf(consent: Consent, around: ConsentSurroundings) {
  const grantors = (consent.performer ?? []).map((performer) =>
    grantorIn(consent, performer, around),
  )
  if (grantors.includes('parent-or-guardian')) return 'parent-or-guardian'
  return grantors.length === 0 || grantors.includes('unknown') ? 'unknown' : 'other'
}

function grantorIn(
  consent: Consent,
  performer: Reference,
  around: ConsentSurroundings,
): ConsentOnRecord['grantor'] {
  const person = resolved(consent, performer, around)
  if (person === undefined) return 'unknown'
  if (person.resourceType !== 'RelatedPerson') return 'other'
  const child = ownTarget(person.patient.reference, around.baseUrl)
  if (child?.type !== 'Patient' || child.id !== around.patientId) return 'other'
  const relationships = person.relationship ?? []
  if (person.active === false || relationships.length === 0) return 'unknown'
  return relationships.some(isParentOrGuardian) ? 'parent-or-guardian' : 'other'
}

const isParentOrGuardian = (relationship: CodeableConcept): boolean =>
  codedIn(relationship, CONSENT_SYSTEMS.relationship, PARENT_OR_GUARDIAN) ||
  codedIn(relationship, CONSENT_SYSTEMS.relationshipClass, ['GUARD'])

type Provision = NonNullable<Consent['provision']>

/** To whom information may go: this clinic by its identifier, another, nobody named, or it cannot be told. */
export function recipientOf(
  consent: Consent,
  { actor = [] }: Provision,
  around: ConsentSurroundings,
): ConsentOnRecord['recipient'] {
  const named = actor
    .filter(({ role }) => !codedIn(role, CONSENT_SYSTEMS.actorRole, ACTOR_ROLES.other))
    .map(({ role, reference }) =>
      codedIn(role, CONSENT_SYSTEMS.actorRole, ACTOR_ROLES.recipient)
        ? recipientIn(consent, reference, around)
        : 'unknown',
    )
  if (named.length === 0) return 'not-named'
  if (named.includes('this-one')) return 'this-one'
  return named.includes('unknown') ? 'unknown' : 'another'
}

function recipientIn(
  consent: Consent,
  reference: Reference,
  around: ConsentSurroundings,
): 'this-one' | 'another' | 'unknown' {
  const target = resolved(consent, reference, around)
  const identifiers = [
    ...(reference.identifier === undefined ? [] : [reference.identifier]),
    ...(target?.resourceType === 'Organization' ? (target.identifier ?? []) : []),
  ]
  if (identifiers.some((one) => isRecipient(one, around))) return 'this-one'
  // By other names it may well be the partner that is meant, unless it is known to be somebody else.
  if (around.partnerId !== undefined && !identifiers.some(isRegistered) && !isPayer(target))
    return 'unknown'
  return identifiers.length > 0 || target?.resourceType === 'Organization' ? 'another' : 'unknown'
}

/** What goes back to a partner is held to what let its record come to the clinic. */
const isRecipient = (
  { system, value }: Identifier,
  { clinicId, partnerId }: ConsentSurroundings,
): boolean =>
  (system === SYSTEMS.clinic && value === clinicId) ||
  (system === SYSTEMS.partner && partnerId !== undefined && value === partnerId)

const isRegistered = ({ system }: Identifier): boolean =>
  system === SYSTEMS.clinic || system === SYSTEMS.partner

const isPayer = (target: Resource | undefined): boolean =>
  target?.resourceType === 'Organization' &&
  (target.type ?? []).some((type) => codedIn(type, CONSENT_SYSTEMS.organisation, PAYERS))

/** What a reference of a Consent names: contained in it, or a resource of the sender's. */
function resolved(
  { contained = [] }: Consent,
  { reference }: Reference,
  { baseUrl, find }: ConsentSurroundings,
): Resource | undefined {
  if (reference?.startsWith('#') === true)
    return contained.filter(isTyped).find(({ id }) => id === reference.slice(1))
  const target = ownTarget(reference, baseUrl)
  return target === undefined ? undefined : find(`${target.type}/${target.id}`)
}
