import type { AuditRecord } from './audit-record.ts'
import { CANONICAL } from './codes.ts'
import type { Coding } from './r4/types.ts'

// Codes of audit events as FHIR R4 and IHE BALP 1.1 use them; DICOM PS3.16 for those of 110xxx.

const DCM = 'http://dicom.nema.org/resources/ontology/DCM'
const TERMINOLOGY = 'http://terminology.hl7.org/CodeSystem'

/** Codes of DICOM other than 110106, 110114 and 110152-3 are from memory. */
export const KIND: Readonly<Record<AuditRecord['kind'], Coding>> = {
  rest: { system: `${TERMINOLOGY}/audit-event-type`, code: 'rest', display: 'RESTful Operation' },
  signin: { system: DCM, code: '110114', display: 'User Authentication' },
  export: { system: DCM, code: '110106', display: 'Export' },
  configuration: { system: DCM, code: '110129', display: 'Security Configuration' },
  notification: { system: DCM, code: '110106', display: 'Export' },
  review: { system: DCM, code: '110101', display: 'Audit Log Used' },
  reminder: { system: DCM, code: '110110', display: 'Patient Record' },
}

const RESTFUL = 'http://hl7.org/fhir/restful-interaction'
export const OPERATION_SYSTEM = `${CANONICAL}/CodeSystem/operation`

/** What was done: an interaction of R4, or an operation by its name; else a word of ours. */
export function subtypesOf(record: AuditRecord): readonly Coding[] {
  const { consent } = record
  return [
    ...interactionsOf(record),
    ...(consent === undefined ? [] : [{ system: OPERATION_SYSTEM, code: `consent-${consent}` }]),
  ]
}

function interactionsOf({ kind, interaction }: AuditRecord): readonly Coding[] {
  if (interaction.startsWith('$'))
    return [
      { system: RESTFUL, code: 'operation' },
      { system: OPERATION_SYSTEM, code: interaction.slice(1) },
    ]
  return [{ system: kind === 'rest' ? RESTFUL : OPERATION_SYSTEM, code: interaction }]
}

/** Of a deletion: BALP has other roles for it. Display of DICOM. */
export const APPLICATION: Coding = { system: DCM, code: '110150', display: 'Application' }
export const CUSTODIAN: Coding = {
  system: `${TERMINOLOGY}/provenance-participant-type`,
  code: 'custodian',
  display: 'Custodian',
}

/** Data come from the source and go to the destination. */
export const SOURCE: Coding = { system: DCM, code: '110153', display: 'Source Role ID' }
export const DESTINATION: Coding = { system: DCM, code: '110152', display: 'Destination Role ID' }
export const HUMAN: Coding = {
  system: `${TERMINOLOGY}/extra-security-role-type`,
  code: 'humanuser',
  display: 'human user',
}
export const PROVIDER: Coding = { system: `${TERMINOLOGY}/v3-RoleClass`, code: 'PROV' }
export const SERVER: Coding = { system: `${TERMINOLOGY}/security-source-type`, code: '4' }

const ENTITY_TYPE = `${TERMINOLOGY}/audit-entity-type`
const OBJECT_ROLE = `${TERMINOLOGY}/object-role`
export const PERSON: Coding = { system: ENTITY_TYPE, code: '1', display: 'Person' }
export const THING: Coding = { system: ENTITY_TYPE, code: '2', display: 'System Object' }
export const PATIENT: Coding = { system: OBJECT_ROLE, code: '1', display: 'Patient' }
export const DOMAIN_RESOURCE: Coding = {
  system: OBJECT_ROLE,
  code: '4',
  display: 'Domain Resource',
}
export const QUERY: Coding = { system: OBJECT_ROLE, code: '24', display: 'Query' }
export const REQUEST_ID: Coding = {
  system: 'https://profiles.ihe.net/ITI/BALP/CodeSystem/BasicAuditEntityType',
  code: 'XrequestId',
}

const LIFECYCLE = `${TERMINOLOGY}/dicom-audit-lifecycle`
export const DEED: Readonly<Record<'read' | 'created' | 'updated' | 'deleted', Coding>> = {
  created: { system: LIFECYCLE, code: '1' },
  updated: { system: LIFECYCLE, code: '3' },
  read: { system: LIFECYCLE, code: '6' },
  deleted: { system: LIFECYCLE, code: '14' },
}

export const PURPOSE_SYSTEM = `${TERMINOLOGY}/v3-ActReason`
