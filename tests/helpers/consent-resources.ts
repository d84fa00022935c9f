import { CANONICAL } from '../../src/fhir/codes.ts'
import { type Json, type Parts, smallReferral, urn, without, withPart } from './referral.ts'

// A FHIR Consent of an invented parent that every law accepts on the day of the test service, 2026-03-02.

const HL7 = 'http://terminology.hl7.org/CodeSystem'
export const CLINIC_SYSTEM = `${CANONICAL}/NamingSystem/clinic`

export const concept = (system: string, ...codes: readonly string[]): Json => ({
  coding: codes.map((code) => ({ system: `${HL7}/${system}`, code })),
})
export const coding = (system: string, code: string): Json => ({ system: `${HL7}/${system}`, code })

/** A recipient that is named by an identifier. */
export const recipient = (value: string, role = 'IRCP', system = CLINIC_SYSTEM): Json => ({
  role: concept('v3-ParticipationType', role),
  reference: { identifier: { system, value } },
})

export const mother = (patient: string, ...relationships: readonly Json[]): Json => ({
  resourceType: 'RelatedPerson',
  patient: { reference: patient },
  relationship: relationships.length === 0 ? [concept('v3-RoleCode', 'MTH')] : relationships,
  name: [{ text: 'An invented mother' }],
})

/** The whole Consent; `provision` replaces elements of its provision, `undefined` leaves one out. */
export function consentResource(
  { patient, performer, clinicId }: { patient: string; performer: string; clinicId: string },
  { provision = {}, ...change }: Json & { readonly provision?: Json } = {},
): Json {
  return {
    resourceType: 'Consent',
    status: 'active',
    scope: concept('consentscope', 'patient-privacy'),
    category: [{ coding: [{ system: 'http://loinc.org', code: '59284-0' }] }],
    patient: { reference: patient },
    dateTime: '2026-02-20',
    performer: [{ reference: performer }],
    sourceAttachment: { contentType: 'application/pdf', url: 'https://practice.example/form.pdf' },
    policyRule: concept('v3-ActCode', 'OPTIN'),
    provision: {
      type: 'permit',
      period: { start: '2026-02-20', end: '2026-08-31' },
      actor: [recipient(clinicId)],
      purpose: [coding('v3-ActReason', 'TREAT')],
      class: [{ system: 'http://hl7.org/fhir/resource-types', code: 'Observation' }],
      ...provision,
    },
    ...change,
  }
}

/** A small referral with the mother and her consent, in what a test changes. */
export function consentedReferral(
  key: string,
  clinicId: string,
  change: Json & { readonly provision?: Json } = {},
): Parts {
  const people = { patient: urn('patient'), performer: urn('mother'), clinicId }
  const parts = withPart(smallReferral({ key }), 'mother', mother(urn('patient')))
  return withPart(parts, 'consent', consentResource(people, change))
}

export const withoutConsent = (parts: Parts): Parts => without(parts, 'consent')
