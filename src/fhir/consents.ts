import type { ConsentOnRecord } from '../domain/law/consent-on-record.ts'
import { evidenceRef } from '../domain/facts.ts'
import { truth } from '../domain/truth.ts'
import {
  ACTIONS,
  CONSENT_SYSTEMS,
  POLICY_RULES,
  SCOPES,
  TREATMENT_PURPOSES,
} from './consent-codes.ts'
import { codedIn, type ConsentSurroundings, grantorOf, recipientOf } from './consent-parties.ts'
import type { Consent } from './r4/types.ts'
import { dayOf, type RecordEntry } from './record-facts.ts'

type Provision = NonNullable<Consent['provision']>

/** A Consent and the version it is kept as. */
export interface ConsentEntry extends RecordEntry {
  readonly resource: Consent
}

/**
 * The consents of a child, in the order in which they were received. Of several with one business
 * identifier the last says how it stands: so a consent is withdrawn that cannot be changed from outside.
 */
export const consentsOnRecord = (
  received: readonly ConsentEntry[],
  around: ConsentSurroundings,
): readonly ConsentOnRecord[] =>
  received
    .filter((one, index) => !received.slice(index + 1).some((later) => isSame(one, later)))
    .map((one) => consentOnRecord(one, around))

const isSame = (one: ConsentEntry, later: ConsentEntry): boolean =>
  (one.resource.identifier ?? []).some(
    ({ system, value }) =>
      value !== undefined &&
      (later.resource.identifier ?? []).some(
        (other) => other.system === system && other.value === value,
      ),
  )

/**
 * What a Consent says, as the consent gate asks it; what cannot be read is unknown and does not count.
 *
 * Days are read as they are written, by the day. Which records a consent names is not compared with what
 * is sent: that it names them is all that is read.
 */
export function consentOnRecord(
  { reference, resource: consent }: ConsentEntry,
  around: ConsentSurroundings,
): ConsentOnRecord {
  const provision = consent.provision ?? {}
  const { start, end } = provision.period ?? {}
  return {
    status: STATUS[consent.status],
    decision: decisionOf(consent, provision, around),
    scope: scopeOf(consent, provision),
    grantor: grantorOf(consent, around),
    written: isWritten(consent) ? 'yes' : 'unknown',
    givenOn: dayOf(consent.dateTime) ?? 'unknown',
    from: start === undefined ? 'when-given' : (dayOf(start) ?? 'unknown'),
    until: end === undefined ? 'open' : (dayOf(end) ?? 'unknown'),
    recipient: recipientOf(consent, provision, around),
    namesRecords: truth(
      [provision.class, provision.code, provision.data].some((named) => (named ?? []).length > 0),
    ),
    namesPurpose: truth((provision.purpose ?? []).some(isTreatment)),
    evidence: evidenceRef(reference),
  }
}

/** What the grantors rejected is no consent, and may be a refusal that stands: see `decisionOf`. */
const STATUS: Readonly<Record<Consent['status'], ConsentOnRecord['status']>> = {
  active: 'active',
  inactive: 'withdrawn',
  draft: 'draft',
  proposed: 'draft',
  rejected: 'unknown',
  'entered-in-error': 'entered-in-error',
}

/**
 * Permit or deny: of the provision itself, else of the policy rule. An exception that denies counts as a
 * refusal unless it is for another recipient, since how far it reaches is not read; one that permits does
 * not open what its consent denies.
 */
function decisionOf(
  consent: Consent,
  provision: Provision,
  around: ConsentSurroundings,
): ConsentOnRecord['decision'] {
  const base = provision.type ?? policyOf(consent)
  if (consent.status === 'rejected') return base === 'deny' ? 'unknown' : 'deny'
  return exceptionsOf(provision).some(
    (one) => one.type === 'deny' && recipientOf(consent, one, around) !== 'another',
  )
    ? 'deny'
    : base
}

function policyOf({ policyRule }: Consent): ConsentOnRecord['decision'] {
  if (codedIn(policyRule, CONSENT_SYSTEMS.policyRule, POLICY_RULES.deny)) return 'deny'
  return codedIn(policyRule, CONSENT_SYSTEMS.policyRule, POLICY_RULES.permit) ? 'permit' : 'unknown'
}

const exceptionsOf = ({ provision = [] }: Provision): readonly Provision[] =>
  provision.flatMap((one) => [one, ...exceptionsOf(one)])

/** A consent that names purposes or actions is about these alone. */
function scopeOf({ scope }: Consent, provision: Provision): ConsentOnRecord['scope'] {
  if (codedIn(scope, CONSENT_SYSTEMS.scope, SCOPES.other)) return 'other'
  if (!codedIn(scope, CONSENT_SYSTEMS.scope, SCOPES.disclosure)) return 'unknown'
  const { purpose = [], action = [] } = provision
  if (purpose.length > 0 && !purpose.some(isTreatment)) return 'other'
  const known = (codes: readonly string[]) =>
    action.filter((one) => codedIn(one, CONSENT_SYSTEMS.action, codes)).length
  if (action.length === 0 || known(ACTIONS.disclosure) > 0) return 'disclosure'
  return known(ACTIONS.other) === action.length ? 'other' : 'unknown'
}

const isTreatment = ({ system, code }: { readonly system?: string; readonly code?: string }) =>
  system === CONSENT_SYSTEMS.purpose && TREATMENT_PURPOSES.some((one) => one === code)

/** A form that is attached or can be found; a title alone is none. */
function isWritten({ sourceAttachment: form, sourceReference: place }: Consent): boolean {
  const attached = form?.data ?? form?.url ?? form?.hash
  return attached !== undefined || place?.reference !== undefined || place?.identifier !== undefined
}
