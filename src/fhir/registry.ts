import {
  logged,
  ofClinic,
  published,
  type ResourceTypeRow,
  row,
  sentTogether,
} from './registry-row.ts'

/**
 * One row per resource type: what may be done with it and how it is found. The router, the search, the
 * CapabilityStatement and the scopes all read this table; a new type is a new row. Its search parameters
 * and its place in the compartment of a Patient are those of R4 (r4/search-parameters.ts).
 */
export const REGISTRY: readonly ResourceTypeRow[] = [
  row('Patient'),
  row('RelatedPerson'),
  row('Practitioner'),
  row('PractitionerRole'),
  row('Organization'),
  row('Location'),
  row('Condition'),
  row('Observation'),
  row('ServiceRequest'),
  row('Task'),
  row('Coverage'),
  row('Consent'),
  row('QuestionnaireResponse'),
  row('DocumentReference'),
  row('CarePlan'),
  row('CareTeam'),
  row('Goal'),
  row('DeviceRequest'),
  row('Device'),
  row('DeviceUseStatement'),
  row('ClinicalImpression'),
  row('Appointment'),
  row('Encounter'),
  row('Procedure'),
  row('Communication'),
  row('CommunicationRequest'),
  row('Composition'),
  row('Binary'),
  row('List'),
  row('Group'),
  row('MeasureReport'),
  row('Questionnaire'),
  // Its headers may be secrets: not among a whole clinic's resources.
  { ...row('Subscription'), byNameOnly: true },
  row('RiskAssessment'),
  row('Provenance'),
  logged('AuditEvent'),
  sentTogether('DeviceDefinition'),
  ofClinic('Library', 'create', 'update'),
  published('StructureDefinition'),
  published('ValueSet'),
  published('CodeSystem'),
  published('SearchParameter'),
  published('OperationDefinition'),
  published('CapabilityStatement'),
  published('PlanDefinition'),
  published('ActivityDefinition'),
]

const BY_TYPE = new Map<string, ResourceTypeRow>(REGISTRY.map((entry) => [entry.type, entry]))

/** Undefined for a type that this service does not keep. */
export const rowOf = (type: string): ResourceTypeRow | undefined => BY_TYPE.get(type)
