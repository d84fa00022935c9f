import { computed, ofClinic, type ResourceTypeRow, row, updatable } from './registry-row.ts'
import { code, date, patient, reference, status, string, token } from './search-params.ts'

const EFFECTIVE = ['effectiveDateTime', 'effectivePeriod', 'effectiveInstant'] as const

/**
 * One row per resource type: what may be done with it and how it is found. The router, the search, the
 * CapabilityStatement and the scopes all read this table; a new type is a new row.
 *
 * Definitions are those of R4 4.0.1, `http://hl7.org/fhir/SearchParameter/<definition>`.
 */
export const REGISTRY: readonly ResourceTypeRow[] = [
  row(
    'Patient',
    token('Patient-identifier', 'identifier'),
    string('individual-family', 'name.family'),
    string('individual-given', 'name.given'),
    date('individual-birthdate', 'birthDate'),
  ),
  row(
    'RelatedPerson',
    patient('RelatedPerson-patient', 'patient'),
    token('RelatedPerson-identifier', 'identifier'),
  ),
  row('Practitioner', token('Practitioner-identifier', 'identifier')),
  row(
    'PractitionerRole',
    token('PractitionerRole-identifier', 'identifier'),
    reference('PractitionerRole-practitioner', 'practitioner'),
    reference('PractitionerRole-organization', 'organization'),
  ),
  row(
    'Organization',
    token('Organization-identifier', 'identifier'),
    string('Organization-name', 'name', 'alias'),
  ),
  row(
    'Condition',
    patient('clinical-patient', 'subject'),
    code('clinical-code', 'code'),
    token('Condition-clinical-status', 'clinicalStatus'),
    token('clinical-identifier', 'identifier'),
    date('Condition-recorded-date', 'recordedDate'),
  ),
  row(
    'Observation',
    patient('clinical-patient', 'subject'),
    code('clinical-code', 'code'),
    status('Observation-status', 'status'),
    token('Observation-category', 'category'),
    token('clinical-identifier', 'identifier'),
    date('clinical-date', ...EFFECTIVE),
    reference('Observation-derived-from', 'derivedFrom'),
    reference('Observation-focus', 'focus'),
  ),
  row(
    'ServiceRequest',
    patient('clinical-patient', 'subject'),
    code('clinical-code', 'code'),
    status('ServiceRequest-status', 'status'),
    token('ServiceRequest-intent', 'intent'),
    token('ServiceRequest-priority', 'priority'),
    token('clinical-identifier', 'identifier'),
    date('ServiceRequest-authored', 'authoredOn'),
    reference('ServiceRequest-requester', 'requester'),
  ),
  row(
    'Task',
    patient('Task-patient', 'for'),
    code('Task-code', 'code'),
    status('Task-status', 'status'),
    token('Task-business-status', 'businessStatus'),
    token('Task-priority', 'priority'),
    token('Task-identifier', 'identifier'),
    date('Task-authored-on', 'authoredOn'),
    reference('Task-focus', 'focus'),
  ),
  row(
    'Coverage',
    patient('Coverage-patient', 'beneficiary'),
    status('Coverage-status', 'status'),
    token('Coverage-identifier', 'identifier'),
  ),
  row(
    'Consent',
    patient('clinical-patient', 'patient'),
    status('Consent-status', 'status'),
    token('clinical-identifier', 'identifier'),
    date('clinical-date', 'dateTime'),
  ),
  row(
    'QuestionnaireResponse',
    patient('QuestionnaireResponse-patient', 'subject'),
    status('QuestionnaireResponse-status', 'status'),
    token('QuestionnaireResponse-identifier', 'identifier'),
    date('QuestionnaireResponse-authored', 'authored'),
  ),
  row(
    'DocumentReference',
    patient('clinical-patient', 'subject'),
    status('DocumentReference-status', 'status'),
    token('clinical-identifier', 'identifier', 'masterIdentifier'),
    date('DocumentReference-date', 'date'),
  ),
  computed(
    'RiskAssessment',
    patient('clinical-patient', 'subject'),
    token('clinical-identifier', 'identifier'),
    date('clinical-date', 'occurrenceDateTime'),
  ),
  computed(
    'Provenance',
    reference('Provenance-target', 'target'),
    reference('Provenance-entity', 'entity.what'),
    date('Provenance-recorded', 'recorded'),
  ),
  row(
    'CarePlan',
    patient('clinical-patient', 'subject'),
    status('CarePlan-status', 'status'),
    token('clinical-identifier', 'identifier'),
    date('clinical-date', 'period'),
  ),
  row(
    'Goal',
    patient('clinical-patient', 'subject'),
    token('Goal-lifecycle-status', 'lifecycleStatus'),
    token('clinical-identifier', 'identifier'),
  ),
  row(
    'DeviceRequest',
    patient('clinical-patient', 'subject'),
    code('clinical-code', 'codeCodeableConcept'),
    status('DeviceRequest-status', 'status'),
    token('clinical-identifier', 'identifier'),
    date('DeviceRequest-authored-on', 'authoredOn'),
  ),
  row(
    'Device',
    patient('Device-patient', 'patient'),
    token('Device-identifier', 'identifier'),
    status('Device-status', 'status'),
    token('Device-type', 'type'),
  ),
  row(
    'DeviceUseStatement',
    patient('clinical-patient', 'subject'),
    token('DeviceUseStatement-identifier', 'identifier'),
    reference('DeviceUseStatement-device', 'device'),
  ),
  ofClinic(
    'DeviceDefinition',
    token('DeviceDefinition-identifier', 'identifier'),
    token('DeviceDefinition-type', 'type'),
    reference('DeviceDefinition-parent', 'parentDevice'),
  ),
  updatable(
    ofClinic(
      'Library',
      token('Library-identifier', 'identifier'),
      string('Library-name', 'name'),
      status('Library-status', 'status'),
      string('Library-title', 'title'),
      token('Library-type', 'type'),
      token('Library-version', 'version'),
    ),
  ),
  row(
    'Questionnaire',
    status('Questionnaire-status', 'status'),
    token('Questionnaire-identifier', 'identifier'),
  ),
]

const BY_TYPE = new Map<string, ResourceTypeRow>(REGISTRY.map((entry) => [entry.type, entry]))

/** Undefined for a type that this service does not keep. */
export const rowOf = (type: string): ResourceTypeRow | undefined => BY_TYPE.get(type)
