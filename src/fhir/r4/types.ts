// Generated, never edited: `npm run generate:r4` writes it from the official FHIR R4 definitions.
// The definitions are those of HL7 (hl7.fhir.r4.core 4.0.1, CC0-1.0).

import type { Decimal } from '../decimal.ts'

/** A resource inside another one: of any R4 type, also of those without an interface here. */
export interface AnyResource {
  readonly resourceType: string
  readonly id?: string
  readonly meta?: Meta
}

export type Resource =
  | ActivityDefinition
  | Appointment
  | AuditEvent
  | Binary
  | Bundle
  | CapabilityStatement
  | CarePlan
  | CareTeam
  | ClinicalImpression
  | CodeSystem
  | Communication
  | CommunicationRequest
  | Composition
  | Condition
  | Consent
  | Coverage
  | Device
  | DeviceDefinition
  | DeviceRequest
  | DeviceUseStatement
  | DocumentReference
  | Encounter
  | Goal
  | Group
  | Library
  | List
  | Location
  | MeasureReport
  | Observation
  | OperationDefinition
  | OperationOutcome
  | Organization
  | Parameters
  | Patient
  | PlanDefinition
  | Practitioner
  | PractitionerRole
  | Procedure
  | Provenance
  | Questionnaire
  | QuestionnaireResponse
  | RelatedPerson
  | RiskAssessment
  | SearchParameter
  | ServiceRequest
  | StructureDefinition
  | Subscription
  | Task
  | ValueSet

/** The resource types above, by name. */
export const TYPED_RESOURCES: ReadonlySet<string> = new Set([
  'ActivityDefinition',
  'Appointment',
  'AuditEvent',
  'Binary',
  'Bundle',
  'CapabilityStatement',
  'CarePlan',
  'CareTeam',
  'ClinicalImpression',
  'CodeSystem',
  'Communication',
  'CommunicationRequest',
  'Composition',
  'Condition',
  'Consent',
  'Coverage',
  'Device',
  'DeviceDefinition',
  'DeviceRequest',
  'DeviceUseStatement',
  'DocumentReference',
  'Encounter',
  'Goal',
  'Group',
  'Library',
  'List',
  'Location',
  'MeasureReport',
  'Observation',
  'OperationDefinition',
  'OperationOutcome',
  'Organization',
  'Parameters',
  'Patient',
  'PlanDefinition',
  'Practitioner',
  'PractitionerRole',
  'Procedure',
  'Provenance',
  'Questionnaire',
  'QuestionnaireResponse',
  'RelatedPerson',
  'RiskAssessment',
  'SearchParameter',
  'ServiceRequest',
  'StructureDefinition',
  'Subscription',
  'Task',
  'ValueSet',
])

export interface ActivityDefinition {
  readonly resourceType: 'ActivityDefinition'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly url?: string
  readonly _url?: Element
  readonly identifier?: readonly Identifier[]
  readonly version?: string
  readonly _version?: Element
  readonly name?: string
  readonly _name?: Element
  readonly title?: string
  readonly _title?: Element
  readonly subtitle?: string
  readonly _subtitle?: Element
  readonly status: PublicationStatusCode
  readonly _status?: Element
  readonly experimental?: boolean
  readonly _experimental?: Element
  readonly subjectCodeableConcept?: CodeableConcept
  readonly subjectReference?: Reference
  readonly date?: string
  readonly _date?: Element
  readonly publisher?: string
  readonly _publisher?: Element
  readonly contact?: readonly ContactDetail[]
  readonly description?: string
  readonly _description?: Element
  readonly useContext?: readonly UsageContext[]
  readonly jurisdiction?: readonly CodeableConcept[]
  readonly purpose?: string
  readonly _purpose?: Element
  readonly usage?: string
  readonly _usage?: Element
  readonly copyright?: string
  readonly _copyright?: Element
  readonly approvalDate?: string
  readonly _approvalDate?: Element
  readonly lastReviewDate?: string
  readonly _lastReviewDate?: Element
  readonly effectivePeriod?: Period
  readonly topic?: readonly CodeableConcept[]
  readonly author?: readonly ContactDetail[]
  readonly editor?: readonly ContactDetail[]
  readonly reviewer?: readonly ContactDetail[]
  readonly endorser?: readonly ContactDetail[]
  readonly relatedArtifact?: readonly RelatedArtifact[]
  readonly library?: readonly (string | null)[]
  readonly _library?: readonly (Element | null)[]
  readonly kind?: RequestResourceTypesCode
  readonly _kind?: Element
  readonly profile?: string
  readonly _profile?: Element
  readonly code?: CodeableConcept
  readonly intent?: RequestIntentCode
  readonly _intent?: Element
  readonly priority?: RequestPriorityCode
  readonly _priority?: Element
  readonly doNotPerform?: boolean
  readonly _doNotPerform?: Element
  readonly timingTiming?: Timing
  readonly timingDateTime?: string
  readonly _timingDateTime?: Element
  readonly timingAge?: Age
  readonly timingPeriod?: Period
  readonly timingRange?: Range
  readonly timingDuration?: Duration
  readonly location?: Reference
  readonly participant?: readonly ActivityDefinitionParticipant[]
  readonly productReference?: Reference
  readonly productCodeableConcept?: CodeableConcept
  readonly quantity?: Quantity
  readonly dosage?: readonly Dosage[]
  readonly bodySite?: readonly CodeableConcept[]
  readonly specimenRequirement?: readonly Reference[]
  readonly observationRequirement?: readonly Reference[]
  readonly observationResultRequirement?: readonly Reference[]
  readonly transform?: string
  readonly _transform?: Element
  readonly dynamicValue?: readonly ActivityDefinitionDynamicValue[]
}

export interface Appointment {
  readonly resourceType: 'Appointment'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly status: AppointmentstatusCode
  readonly _status?: Element
  readonly cancelationReason?: CodeableConcept
  readonly serviceCategory?: readonly CodeableConcept[]
  readonly serviceType?: readonly CodeableConcept[]
  readonly specialty?: readonly CodeableConcept[]
  readonly appointmentType?: CodeableConcept
  readonly reasonCode?: readonly CodeableConcept[]
  readonly reasonReference?: readonly Reference[]
  readonly priority?: number
  readonly _priority?: Element
  readonly description?: string
  readonly _description?: Element
  readonly supportingInformation?: readonly Reference[]
  readonly start?: string
  readonly _start?: Element
  readonly end?: string
  readonly _end?: Element
  readonly minutesDuration?: number
  readonly _minutesDuration?: Element
  readonly slot?: readonly Reference[]
  readonly created?: string
  readonly _created?: Element
  readonly comment?: string
  readonly _comment?: Element
  readonly patientInstruction?: string
  readonly _patientInstruction?: Element
  readonly basedOn?: readonly Reference[]
  readonly participant: readonly AppointmentParticipant[]
  readonly requestedPeriod?: readonly Period[]
}

export interface AuditEvent {
  readonly resourceType: 'AuditEvent'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly type: Coding
  readonly subtype?: readonly Coding[]
  readonly action?: AuditEventActionCode
  readonly _action?: Element
  readonly period?: Period
  readonly recorded: string
  readonly _recorded?: Element
  readonly outcome?: AuditEventOutcomeCode
  readonly _outcome?: Element
  readonly outcomeDesc?: string
  readonly _outcomeDesc?: Element
  readonly purposeOfEvent?: readonly CodeableConcept[]
  readonly agent: readonly AuditEventAgent[]
  readonly source: AuditEventSource
  readonly entity?: readonly AuditEventEntity[]
}

export interface Binary {
  readonly resourceType: 'Binary'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly contentType: string
  readonly _contentType?: Element
  readonly securityContext?: Reference
  readonly data?: string
  readonly _data?: Element
}

export interface Bundle {
  readonly resourceType: 'Bundle'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly identifier?: Identifier
  readonly type: BundleTypeCode
  readonly _type?: Element
  readonly timestamp?: string
  readonly _timestamp?: Element
  readonly total?: number
  readonly _total?: Element
  readonly link?: readonly BundleLink[]
  readonly entry?: readonly BundleEntry[]
  readonly signature?: Signature
}

export interface CapabilityStatement {
  readonly resourceType: 'CapabilityStatement'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly url?: string
  readonly _url?: Element
  readonly version?: string
  readonly _version?: Element
  readonly name?: string
  readonly _name?: Element
  readonly title?: string
  readonly _title?: Element
  readonly status: PublicationStatusCode
  readonly _status?: Element
  readonly experimental?: boolean
  readonly _experimental?: Element
  readonly date: string
  readonly _date?: Element
  readonly publisher?: string
  readonly _publisher?: Element
  readonly contact?: readonly ContactDetail[]
  readonly description?: string
  readonly _description?: Element
  readonly useContext?: readonly UsageContext[]
  readonly jurisdiction?: readonly CodeableConcept[]
  readonly purpose?: string
  readonly _purpose?: Element
  readonly copyright?: string
  readonly _copyright?: Element
  readonly kind: CapabilityStatementKindCode
  readonly _kind?: Element
  readonly instantiates?: readonly (string | null)[]
  readonly _instantiates?: readonly (Element | null)[]
  readonly imports?: readonly (string | null)[]
  readonly _imports?: readonly (Element | null)[]
  readonly software?: CapabilityStatementSoftware
  readonly implementation?: CapabilityStatementImplementation
  readonly fhirVersion: FHIRVersionCode
  readonly _fhirVersion?: Element
  readonly format: readonly (string | null)[]
  readonly _format?: readonly (Element | null)[]
  readonly patchFormat?: readonly (string | null)[]
  readonly _patchFormat?: readonly (Element | null)[]
  readonly implementationGuide?: readonly (string | null)[]
  readonly _implementationGuide?: readonly (Element | null)[]
  readonly rest?: readonly CapabilityStatementRest[]
  readonly messaging?: readonly CapabilityStatementMessaging[]
  readonly document?: readonly CapabilityStatementDocument[]
}

export interface CarePlan {
  readonly resourceType: 'CarePlan'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly instantiatesCanonical?: readonly (string | null)[]
  readonly _instantiatesCanonical?: readonly (Element | null)[]
  readonly instantiatesUri?: readonly (string | null)[]
  readonly _instantiatesUri?: readonly (Element | null)[]
  readonly basedOn?: readonly Reference[]
  readonly replaces?: readonly Reference[]
  readonly partOf?: readonly Reference[]
  readonly status: RequestStatusCode
  readonly _status?: Element
  readonly intent: CarePlanIntentCode
  readonly _intent?: Element
  readonly category?: readonly CodeableConcept[]
  readonly title?: string
  readonly _title?: Element
  readonly description?: string
  readonly _description?: Element
  readonly subject: Reference
  readonly encounter?: Reference
  readonly period?: Period
  readonly created?: string
  readonly _created?: Element
  readonly author?: Reference
  readonly contributor?: readonly Reference[]
  readonly careTeam?: readonly Reference[]
  readonly addresses?: readonly Reference[]
  readonly supportingInfo?: readonly Reference[]
  readonly goal?: readonly Reference[]
  readonly activity?: readonly CarePlanActivity[]
  readonly note?: readonly Annotation[]
}

export interface CareTeam {
  readonly resourceType: 'CareTeam'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly status?: CareTeamStatusCode
  readonly _status?: Element
  readonly category?: readonly CodeableConcept[]
  readonly name?: string
  readonly _name?: Element
  readonly subject?: Reference
  readonly encounter?: Reference
  readonly period?: Period
  readonly participant?: readonly CareTeamParticipant[]
  readonly reasonCode?: readonly CodeableConcept[]
  readonly reasonReference?: readonly Reference[]
  readonly managingOrganization?: readonly Reference[]
  readonly telecom?: readonly ContactPoint[]
  readonly note?: readonly Annotation[]
}

export interface ClinicalImpression {
  readonly resourceType: 'ClinicalImpression'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly status: ClinicalimpressionStatusCode
  readonly _status?: Element
  readonly statusReason?: CodeableConcept
  readonly code?: CodeableConcept
  readonly description?: string
  readonly _description?: Element
  readonly subject: Reference
  readonly encounter?: Reference
  readonly effectiveDateTime?: string
  readonly _effectiveDateTime?: Element
  readonly effectivePeriod?: Period
  readonly date?: string
  readonly _date?: Element
  readonly assessor?: Reference
  readonly previous?: Reference
  readonly problem?: readonly Reference[]
  readonly investigation?: readonly ClinicalImpressionInvestigation[]
  readonly protocol?: readonly (string | null)[]
  readonly _protocol?: readonly (Element | null)[]
  readonly summary?: string
  readonly _summary?: Element
  readonly finding?: readonly ClinicalImpressionFinding[]
  readonly prognosisCodeableConcept?: readonly CodeableConcept[]
  readonly prognosisReference?: readonly Reference[]
  readonly supportingInfo?: readonly Reference[]
  readonly note?: readonly Annotation[]
}

export interface CodeSystem {
  readonly resourceType: 'CodeSystem'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly url?: string
  readonly _url?: Element
  readonly identifier?: readonly Identifier[]
  readonly version?: string
  readonly _version?: Element
  readonly name?: string
  readonly _name?: Element
  readonly title?: string
  readonly _title?: Element
  readonly status: PublicationStatusCode
  readonly _status?: Element
  readonly experimental?: boolean
  readonly _experimental?: Element
  readonly date?: string
  readonly _date?: Element
  readonly publisher?: string
  readonly _publisher?: Element
  readonly contact?: readonly ContactDetail[]
  readonly description?: string
  readonly _description?: Element
  readonly useContext?: readonly UsageContext[]
  readonly jurisdiction?: readonly CodeableConcept[]
  readonly purpose?: string
  readonly _purpose?: Element
  readonly copyright?: string
  readonly _copyright?: Element
  readonly caseSensitive?: boolean
  readonly _caseSensitive?: Element
  readonly valueSet?: string
  readonly _valueSet?: Element
  readonly hierarchyMeaning?: CodesystemHierarchyMeaningCode
  readonly _hierarchyMeaning?: Element
  readonly compositional?: boolean
  readonly _compositional?: Element
  readonly versionNeeded?: boolean
  readonly _versionNeeded?: Element
  readonly content: CodesystemContentModeCode
  readonly _content?: Element
  readonly supplements?: string
  readonly _supplements?: Element
  readonly count?: number
  readonly _count?: Element
  readonly filter?: readonly CodeSystemFilter[]
  readonly property?: readonly CodeSystemProperty[]
  readonly concept?: readonly CodeSystemConcept[]
}

export interface Communication {
  readonly resourceType: 'Communication'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly instantiatesCanonical?: readonly (string | null)[]
  readonly _instantiatesCanonical?: readonly (Element | null)[]
  readonly instantiatesUri?: readonly (string | null)[]
  readonly _instantiatesUri?: readonly (Element | null)[]
  readonly basedOn?: readonly Reference[]
  readonly partOf?: readonly Reference[]
  readonly inResponseTo?: readonly Reference[]
  readonly status: EventStatusCode
  readonly _status?: Element
  readonly statusReason?: CodeableConcept
  readonly category?: readonly CodeableConcept[]
  readonly priority?: RequestPriorityCode
  readonly _priority?: Element
  readonly medium?: readonly CodeableConcept[]
  readonly subject?: Reference
  readonly topic?: CodeableConcept
  readonly about?: readonly Reference[]
  readonly encounter?: Reference
  readonly sent?: string
  readonly _sent?: Element
  readonly received?: string
  readonly _received?: Element
  readonly recipient?: readonly Reference[]
  readonly sender?: Reference
  readonly reasonCode?: readonly CodeableConcept[]
  readonly reasonReference?: readonly Reference[]
  readonly payload?: readonly CommunicationPayload[]
  readonly note?: readonly Annotation[]
}

export interface CommunicationRequest {
  readonly resourceType: 'CommunicationRequest'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly basedOn?: readonly Reference[]
  readonly replaces?: readonly Reference[]
  readonly groupIdentifier?: Identifier
  readonly status: RequestStatusCode
  readonly _status?: Element
  readonly statusReason?: CodeableConcept
  readonly category?: readonly CodeableConcept[]
  readonly priority?: RequestPriorityCode
  readonly _priority?: Element
  readonly doNotPerform?: boolean
  readonly _doNotPerform?: Element
  readonly medium?: readonly CodeableConcept[]
  readonly subject?: Reference
  readonly about?: readonly Reference[]
  readonly encounter?: Reference
  readonly payload?: readonly CommunicationRequestPayload[]
  readonly occurrenceDateTime?: string
  readonly _occurrenceDateTime?: Element
  readonly occurrencePeriod?: Period
  readonly authoredOn?: string
  readonly _authoredOn?: Element
  readonly requester?: Reference
  readonly recipient?: readonly Reference[]
  readonly sender?: Reference
  readonly reasonCode?: readonly CodeableConcept[]
  readonly reasonReference?: readonly Reference[]
  readonly note?: readonly Annotation[]
}

export interface Composition {
  readonly resourceType: 'Composition'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: Identifier
  readonly status: CompositionStatusCode
  readonly _status?: Element
  readonly type: CodeableConcept
  readonly category?: readonly CodeableConcept[]
  readonly subject?: Reference
  readonly encounter?: Reference
  readonly date: string
  readonly _date?: Element
  readonly author: readonly Reference[]
  readonly title: string
  readonly _title?: Element
  readonly confidentiality?: V3ConfidentialityClassificationCode
  readonly _confidentiality?: Element
  readonly attester?: readonly CompositionAttester[]
  readonly custodian?: Reference
  readonly relatesTo?: readonly CompositionRelatesTo[]
  readonly event?: readonly CompositionEvent[]
  readonly section?: readonly CompositionSection[]
}

export interface Condition {
  readonly resourceType: 'Condition'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly clinicalStatus?: CodeableConcept
  readonly verificationStatus?: CodeableConcept
  readonly category?: readonly CodeableConcept[]
  readonly severity?: CodeableConcept
  readonly code?: CodeableConcept
  readonly bodySite?: readonly CodeableConcept[]
  readonly subject: Reference
  readonly encounter?: Reference
  readonly onsetDateTime?: string
  readonly _onsetDateTime?: Element
  readonly onsetAge?: Age
  readonly onsetPeriod?: Period
  readonly onsetRange?: Range
  readonly onsetString?: string
  readonly _onsetString?: Element
  readonly abatementDateTime?: string
  readonly _abatementDateTime?: Element
  readonly abatementAge?: Age
  readonly abatementPeriod?: Period
  readonly abatementRange?: Range
  readonly abatementString?: string
  readonly _abatementString?: Element
  readonly recordedDate?: string
  readonly _recordedDate?: Element
  readonly recorder?: Reference
  readonly asserter?: Reference
  readonly stage?: readonly ConditionStage[]
  readonly evidence?: readonly ConditionEvidence[]
  readonly note?: readonly Annotation[]
}

export interface Consent {
  readonly resourceType: 'Consent'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly status: ConsentStateCodesCode
  readonly _status?: Element
  readonly scope: CodeableConcept
  readonly category: readonly CodeableConcept[]
  readonly patient?: Reference
  readonly dateTime?: string
  readonly _dateTime?: Element
  readonly performer?: readonly Reference[]
  readonly organization?: readonly Reference[]
  readonly sourceAttachment?: Attachment
  readonly sourceReference?: Reference
  readonly policy?: readonly ConsentPolicy[]
  readonly policyRule?: CodeableConcept
  readonly verification?: readonly ConsentVerification[]
  readonly provision?: ConsentProvision
}

export interface Coverage {
  readonly resourceType: 'Coverage'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly status: FmStatusCode
  readonly _status?: Element
  readonly type?: CodeableConcept
  readonly policyHolder?: Reference
  readonly subscriber?: Reference
  readonly subscriberId?: string
  readonly _subscriberId?: Element
  readonly beneficiary: Reference
  readonly dependent?: string
  readonly _dependent?: Element
  readonly relationship?: CodeableConcept
  readonly period?: Period
  readonly payor: readonly Reference[]
  readonly class?: readonly CoverageClass[]
  readonly order?: number
  readonly _order?: Element
  readonly network?: string
  readonly _network?: Element
  readonly costToBeneficiary?: readonly CoverageCostToBeneficiary[]
  readonly subrogation?: boolean
  readonly _subrogation?: Element
  readonly contract?: readonly Reference[]
}

export interface Device {
  readonly resourceType: 'Device'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly definition?: Reference
  readonly udiCarrier?: readonly DeviceUdiCarrier[]
  readonly status?: DeviceStatusCode
  readonly _status?: Element
  readonly statusReason?: readonly CodeableConcept[]
  readonly distinctIdentifier?: string
  readonly _distinctIdentifier?: Element
  readonly manufacturer?: string
  readonly _manufacturer?: Element
  readonly manufactureDate?: string
  readonly _manufactureDate?: Element
  readonly expirationDate?: string
  readonly _expirationDate?: Element
  readonly lotNumber?: string
  readonly _lotNumber?: Element
  readonly serialNumber?: string
  readonly _serialNumber?: Element
  readonly deviceName?: readonly DeviceDeviceName[]
  readonly modelNumber?: string
  readonly _modelNumber?: Element
  readonly partNumber?: string
  readonly _partNumber?: Element
  readonly type?: CodeableConcept
  readonly specialization?: readonly DeviceSpecialization[]
  readonly version?: readonly DeviceVersion[]
  readonly property?: readonly DeviceProperty[]
  readonly patient?: Reference
  readonly owner?: Reference
  readonly contact?: readonly ContactPoint[]
  readonly location?: Reference
  readonly url?: string
  readonly _url?: Element
  readonly note?: readonly Annotation[]
  readonly safety?: readonly CodeableConcept[]
  readonly parent?: Reference
}

export interface DeviceDefinition {
  readonly resourceType: 'DeviceDefinition'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly udiDeviceIdentifier?: readonly DeviceDefinitionUdiDeviceIdentifier[]
  readonly manufacturerString?: string
  readonly _manufacturerString?: Element
  readonly manufacturerReference?: Reference
  readonly deviceName?: readonly DeviceDefinitionDeviceName[]
  readonly modelNumber?: string
  readonly _modelNumber?: Element
  readonly type?: CodeableConcept
  readonly specialization?: readonly DeviceDefinitionSpecialization[]
  readonly version?: readonly (string | null)[]
  readonly _version?: readonly (Element | null)[]
  readonly safety?: readonly CodeableConcept[]
  readonly shelfLifeStorage?: readonly ProductShelfLife[]
  readonly physicalCharacteristics?: ProdCharacteristic
  readonly languageCode?: readonly CodeableConcept[]
  readonly capability?: readonly DeviceDefinitionCapability[]
  readonly property?: readonly DeviceDefinitionProperty[]
  readonly owner?: Reference
  readonly contact?: readonly ContactPoint[]
  readonly url?: string
  readonly _url?: Element
  readonly onlineInformation?: string
  readonly _onlineInformation?: Element
  readonly note?: readonly Annotation[]
  readonly quantity?: Quantity
  readonly parentDevice?: Reference
  readonly material?: readonly DeviceDefinitionMaterial[]
}

export interface DeviceRequest {
  readonly resourceType: 'DeviceRequest'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly instantiatesCanonical?: readonly (string | null)[]
  readonly _instantiatesCanonical?: readonly (Element | null)[]
  readonly instantiatesUri?: readonly (string | null)[]
  readonly _instantiatesUri?: readonly (Element | null)[]
  readonly basedOn?: readonly Reference[]
  readonly priorRequest?: readonly Reference[]
  readonly groupIdentifier?: Identifier
  readonly status?: RequestStatusCode
  readonly _status?: Element
  readonly intent: RequestIntentCode
  readonly _intent?: Element
  readonly priority?: RequestPriorityCode
  readonly _priority?: Element
  readonly codeReference?: Reference
  readonly codeCodeableConcept?: CodeableConcept
  readonly parameter?: readonly DeviceRequestParameter[]
  readonly subject: Reference
  readonly encounter?: Reference
  readonly occurrenceDateTime?: string
  readonly _occurrenceDateTime?: Element
  readonly occurrencePeriod?: Period
  readonly occurrenceTiming?: Timing
  readonly authoredOn?: string
  readonly _authoredOn?: Element
  readonly requester?: Reference
  readonly performerType?: CodeableConcept
  readonly performer?: Reference
  readonly reasonCode?: readonly CodeableConcept[]
  readonly reasonReference?: readonly Reference[]
  readonly insurance?: readonly Reference[]
  readonly supportingInfo?: readonly Reference[]
  readonly note?: readonly Annotation[]
  readonly relevantHistory?: readonly Reference[]
}

export interface DeviceUseStatement {
  readonly resourceType: 'DeviceUseStatement'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly basedOn?: readonly Reference[]
  readonly status: DeviceStatementStatusCode
  readonly _status?: Element
  readonly subject: Reference
  readonly derivedFrom?: readonly Reference[]
  readonly timingTiming?: Timing
  readonly timingPeriod?: Period
  readonly timingDateTime?: string
  readonly _timingDateTime?: Element
  readonly recordedOn?: string
  readonly _recordedOn?: Element
  readonly source?: Reference
  readonly device: Reference
  readonly reasonCode?: readonly CodeableConcept[]
  readonly reasonReference?: readonly Reference[]
  readonly bodySite?: CodeableConcept
  readonly note?: readonly Annotation[]
}

export interface DocumentReference {
  readonly resourceType: 'DocumentReference'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly masterIdentifier?: Identifier
  readonly identifier?: readonly Identifier[]
  readonly status: DocumentReferenceStatusCode
  readonly _status?: Element
  readonly docStatus?: CompositionStatusCode
  readonly _docStatus?: Element
  readonly type?: CodeableConcept
  readonly category?: readonly CodeableConcept[]
  readonly subject?: Reference
  readonly date?: string
  readonly _date?: Element
  readonly author?: readonly Reference[]
  readonly authenticator?: Reference
  readonly custodian?: Reference
  readonly relatesTo?: readonly DocumentReferenceRelatesTo[]
  readonly description?: string
  readonly _description?: Element
  readonly securityLabel?: readonly CodeableConcept[]
  readonly content: readonly DocumentReferenceContent[]
  readonly context?: DocumentReferenceContext
}

export interface Encounter {
  readonly resourceType: 'Encounter'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly status: EncounterStatusCode
  readonly _status?: Element
  readonly statusHistory?: readonly EncounterStatusHistory[]
  readonly class: Coding
  readonly classHistory?: readonly EncounterClassHistory[]
  readonly type?: readonly CodeableConcept[]
  readonly serviceType?: CodeableConcept
  readonly priority?: CodeableConcept
  readonly subject?: Reference
  readonly episodeOfCare?: readonly Reference[]
  readonly basedOn?: readonly Reference[]
  readonly participant?: readonly EncounterParticipant[]
  readonly appointment?: readonly Reference[]
  readonly period?: Period
  readonly length?: Duration
  readonly reasonCode?: readonly CodeableConcept[]
  readonly reasonReference?: readonly Reference[]
  readonly diagnosis?: readonly EncounterDiagnosis[]
  readonly account?: readonly Reference[]
  readonly hospitalization?: EncounterHospitalization
  readonly location?: readonly EncounterLocation[]
  readonly serviceProvider?: Reference
  readonly partOf?: Reference
}

export interface Goal {
  readonly resourceType: 'Goal'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly lifecycleStatus: GoalStatusCode
  readonly _lifecycleStatus?: Element
  readonly achievementStatus?: CodeableConcept
  readonly category?: readonly CodeableConcept[]
  readonly priority?: CodeableConcept
  readonly description: CodeableConcept
  readonly subject: Reference
  readonly startDate?: string
  readonly _startDate?: Element
  readonly startCodeableConcept?: CodeableConcept
  readonly target?: readonly GoalTarget[]
  readonly statusDate?: string
  readonly _statusDate?: Element
  readonly statusReason?: string
  readonly _statusReason?: Element
  readonly expressedBy?: Reference
  readonly addresses?: readonly Reference[]
  readonly note?: readonly Annotation[]
  readonly outcomeCode?: readonly CodeableConcept[]
  readonly outcomeReference?: readonly Reference[]
}

export interface Group {
  readonly resourceType: 'Group'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly active?: boolean
  readonly _active?: Element
  readonly type: GroupTypeCode
  readonly _type?: Element
  readonly actual: boolean
  readonly _actual?: Element
  readonly code?: CodeableConcept
  readonly name?: string
  readonly _name?: Element
  readonly quantity?: number
  readonly _quantity?: Element
  readonly managingEntity?: Reference
  readonly characteristic?: readonly GroupCharacteristic[]
  readonly member?: readonly GroupMember[]
}

export interface Library {
  readonly resourceType: 'Library'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly url?: string
  readonly _url?: Element
  readonly identifier?: readonly Identifier[]
  readonly version?: string
  readonly _version?: Element
  readonly name?: string
  readonly _name?: Element
  readonly title?: string
  readonly _title?: Element
  readonly subtitle?: string
  readonly _subtitle?: Element
  readonly status: PublicationStatusCode
  readonly _status?: Element
  readonly experimental?: boolean
  readonly _experimental?: Element
  readonly type: CodeableConcept
  readonly subjectCodeableConcept?: CodeableConcept
  readonly subjectReference?: Reference
  readonly date?: string
  readonly _date?: Element
  readonly publisher?: string
  readonly _publisher?: Element
  readonly contact?: readonly ContactDetail[]
  readonly description?: string
  readonly _description?: Element
  readonly useContext?: readonly UsageContext[]
  readonly jurisdiction?: readonly CodeableConcept[]
  readonly purpose?: string
  readonly _purpose?: Element
  readonly usage?: string
  readonly _usage?: Element
  readonly copyright?: string
  readonly _copyright?: Element
  readonly approvalDate?: string
  readonly _approvalDate?: Element
  readonly lastReviewDate?: string
  readonly _lastReviewDate?: Element
  readonly effectivePeriod?: Period
  readonly topic?: readonly CodeableConcept[]
  readonly author?: readonly ContactDetail[]
  readonly editor?: readonly ContactDetail[]
  readonly reviewer?: readonly ContactDetail[]
  readonly endorser?: readonly ContactDetail[]
  readonly relatedArtifact?: readonly RelatedArtifact[]
  readonly parameter?: readonly ParameterDefinition[]
  readonly dataRequirement?: readonly DataRequirement[]
  readonly content?: readonly Attachment[]
}

export interface List {
  readonly resourceType: 'List'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly status: ListStatusCode
  readonly _status?: Element
  readonly mode: ListModeCode
  readonly _mode?: Element
  readonly title?: string
  readonly _title?: Element
  readonly code?: CodeableConcept
  readonly subject?: Reference
  readonly encounter?: Reference
  readonly date?: string
  readonly _date?: Element
  readonly source?: Reference
  readonly orderedBy?: CodeableConcept
  readonly note?: readonly Annotation[]
  readonly entry?: readonly ListEntry[]
  readonly emptyReason?: CodeableConcept
}

export interface Location {
  readonly resourceType: 'Location'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly status?: LocationStatusCode
  readonly _status?: Element
  readonly operationalStatus?: Coding
  readonly name?: string
  readonly _name?: Element
  readonly alias?: readonly (string | null)[]
  readonly _alias?: readonly (Element | null)[]
  readonly description?: string
  readonly _description?: Element
  readonly mode?: LocationModeCode
  readonly _mode?: Element
  readonly type?: readonly CodeableConcept[]
  readonly telecom?: readonly ContactPoint[]
  readonly address?: Address
  readonly physicalType?: CodeableConcept
  readonly position?: LocationPosition
  readonly managingOrganization?: Reference
  readonly partOf?: Reference
  readonly hoursOfOperation?: readonly LocationHoursOfOperation[]
  readonly availabilityExceptions?: string
  readonly _availabilityExceptions?: Element
  readonly endpoint?: readonly Reference[]
}

export interface MeasureReport {
  readonly resourceType: 'MeasureReport'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly status: MeasureReportStatusCode
  readonly _status?: Element
  readonly type: MeasureReportTypeCode
  readonly _type?: Element
  readonly measure: string
  readonly _measure?: Element
  readonly subject?: Reference
  readonly date?: string
  readonly _date?: Element
  readonly reporter?: Reference
  readonly period: Period
  readonly improvementNotation?: CodeableConcept
  readonly group?: readonly MeasureReportGroup[]
  readonly evaluatedResource?: readonly Reference[]
}

export interface Observation {
  readonly resourceType: 'Observation'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly basedOn?: readonly Reference[]
  readonly partOf?: readonly Reference[]
  readonly status: ObservationStatusCode
  readonly _status?: Element
  readonly category?: readonly CodeableConcept[]
  readonly code: CodeableConcept
  readonly subject?: Reference
  readonly focus?: readonly Reference[]
  readonly encounter?: Reference
  readonly effectiveDateTime?: string
  readonly _effectiveDateTime?: Element
  readonly effectivePeriod?: Period
  readonly effectiveTiming?: Timing
  readonly effectiveInstant?: string
  readonly _effectiveInstant?: Element
  readonly issued?: string
  readonly _issued?: Element
  readonly performer?: readonly Reference[]
  readonly valueQuantity?: Quantity
  readonly valueCodeableConcept?: CodeableConcept
  readonly valueString?: string
  readonly _valueString?: Element
  readonly valueBoolean?: boolean
  readonly _valueBoolean?: Element
  readonly valueInteger?: number
  readonly _valueInteger?: Element
  readonly valueRange?: Range
  readonly valueRatio?: Ratio
  readonly valueSampledData?: SampledData
  readonly valueTime?: string
  readonly _valueTime?: Element
  readonly valueDateTime?: string
  readonly _valueDateTime?: Element
  readonly valuePeriod?: Period
  readonly dataAbsentReason?: CodeableConcept
  readonly interpretation?: readonly CodeableConcept[]
  readonly note?: readonly Annotation[]
  readonly bodySite?: CodeableConcept
  readonly method?: CodeableConcept
  readonly specimen?: Reference
  readonly device?: Reference
  readonly referenceRange?: readonly ObservationReferenceRange[]
  readonly hasMember?: readonly Reference[]
  readonly derivedFrom?: readonly Reference[]
  readonly component?: readonly ObservationComponent[]
}

export interface OperationDefinition {
  readonly resourceType: 'OperationDefinition'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly url?: string
  readonly _url?: Element
  readonly version?: string
  readonly _version?: Element
  readonly name: string
  readonly _name?: Element
  readonly title?: string
  readonly _title?: Element
  readonly status: PublicationStatusCode
  readonly _status?: Element
  readonly kind: OperationKindCode
  readonly _kind?: Element
  readonly experimental?: boolean
  readonly _experimental?: Element
  readonly date?: string
  readonly _date?: Element
  readonly publisher?: string
  readonly _publisher?: Element
  readonly contact?: readonly ContactDetail[]
  readonly description?: string
  readonly _description?: Element
  readonly useContext?: readonly UsageContext[]
  readonly jurisdiction?: readonly CodeableConcept[]
  readonly purpose?: string
  readonly _purpose?: Element
  readonly affectsState?: boolean
  readonly _affectsState?: Element
  readonly code: string
  readonly _code?: Element
  readonly comment?: string
  readonly _comment?: Element
  readonly base?: string
  readonly _base?: Element
  readonly resource?: readonly (ResourceTypesCode | null)[]
  readonly _resource?: readonly (Element | null)[]
  readonly system: boolean
  readonly _system?: Element
  readonly type: boolean
  readonly _type?: Element
  readonly instance: boolean
  readonly _instance?: Element
  readonly inputProfile?: string
  readonly _inputProfile?: Element
  readonly outputProfile?: string
  readonly _outputProfile?: Element
  readonly parameter?: readonly OperationDefinitionParameter[]
  readonly overload?: readonly OperationDefinitionOverload[]
}

export interface OperationOutcome {
  readonly resourceType: 'OperationOutcome'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly issue: readonly OperationOutcomeIssue[]
}

export interface Organization {
  readonly resourceType: 'Organization'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly active?: boolean
  readonly _active?: Element
  readonly type?: readonly CodeableConcept[]
  readonly name?: string
  readonly _name?: Element
  readonly alias?: readonly (string | null)[]
  readonly _alias?: readonly (Element | null)[]
  readonly telecom?: readonly ContactPoint[]
  readonly address?: readonly Address[]
  readonly partOf?: Reference
  readonly contact?: readonly OrganizationContact[]
  readonly endpoint?: readonly Reference[]
}

export interface Parameters {
  readonly resourceType: 'Parameters'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly parameter?: readonly ParametersParameter[]
}

export interface Patient {
  readonly resourceType: 'Patient'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly active?: boolean
  readonly _active?: Element
  readonly name?: readonly HumanName[]
  readonly telecom?: readonly ContactPoint[]
  readonly gender?: AdministrativeGenderCode
  readonly _gender?: Element
  readonly birthDate?: string
  readonly _birthDate?: Element
  readonly deceasedBoolean?: boolean
  readonly _deceasedBoolean?: Element
  readonly deceasedDateTime?: string
  readonly _deceasedDateTime?: Element
  readonly address?: readonly Address[]
  readonly maritalStatus?: CodeableConcept
  readonly multipleBirthBoolean?: boolean
  readonly _multipleBirthBoolean?: Element
  readonly multipleBirthInteger?: number
  readonly _multipleBirthInteger?: Element
  readonly photo?: readonly Attachment[]
  readonly contact?: readonly PatientContact[]
  readonly communication?: readonly PatientCommunication[]
  readonly generalPractitioner?: readonly Reference[]
  readonly managingOrganization?: Reference
  readonly link?: readonly PatientLink[]
}

export interface PlanDefinition {
  readonly resourceType: 'PlanDefinition'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly url?: string
  readonly _url?: Element
  readonly identifier?: readonly Identifier[]
  readonly version?: string
  readonly _version?: Element
  readonly name?: string
  readonly _name?: Element
  readonly title?: string
  readonly _title?: Element
  readonly subtitle?: string
  readonly _subtitle?: Element
  readonly type?: CodeableConcept
  readonly status: PublicationStatusCode
  readonly _status?: Element
  readonly experimental?: boolean
  readonly _experimental?: Element
  readonly subjectCodeableConcept?: CodeableConcept
  readonly subjectReference?: Reference
  readonly date?: string
  readonly _date?: Element
  readonly publisher?: string
  readonly _publisher?: Element
  readonly contact?: readonly ContactDetail[]
  readonly description?: string
  readonly _description?: Element
  readonly useContext?: readonly UsageContext[]
  readonly jurisdiction?: readonly CodeableConcept[]
  readonly purpose?: string
  readonly _purpose?: Element
  readonly usage?: string
  readonly _usage?: Element
  readonly copyright?: string
  readonly _copyright?: Element
  readonly approvalDate?: string
  readonly _approvalDate?: Element
  readonly lastReviewDate?: string
  readonly _lastReviewDate?: Element
  readonly effectivePeriod?: Period
  readonly topic?: readonly CodeableConcept[]
  readonly author?: readonly ContactDetail[]
  readonly editor?: readonly ContactDetail[]
  readonly reviewer?: readonly ContactDetail[]
  readonly endorser?: readonly ContactDetail[]
  readonly relatedArtifact?: readonly RelatedArtifact[]
  readonly library?: readonly (string | null)[]
  readonly _library?: readonly (Element | null)[]
  readonly goal?: readonly PlanDefinitionGoal[]
  readonly action?: readonly PlanDefinitionAction[]
}

export interface Practitioner {
  readonly resourceType: 'Practitioner'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly active?: boolean
  readonly _active?: Element
  readonly name?: readonly HumanName[]
  readonly telecom?: readonly ContactPoint[]
  readonly address?: readonly Address[]
  readonly gender?: AdministrativeGenderCode
  readonly _gender?: Element
  readonly birthDate?: string
  readonly _birthDate?: Element
  readonly photo?: readonly Attachment[]
  readonly qualification?: readonly PractitionerQualification[]
  readonly communication?: readonly CodeableConcept[]
}

export interface PractitionerRole {
  readonly resourceType: 'PractitionerRole'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly active?: boolean
  readonly _active?: Element
  readonly period?: Period
  readonly practitioner?: Reference
  readonly organization?: Reference
  readonly code?: readonly CodeableConcept[]
  readonly specialty?: readonly CodeableConcept[]
  readonly location?: readonly Reference[]
  readonly healthcareService?: readonly Reference[]
  readonly telecom?: readonly ContactPoint[]
  readonly availableTime?: readonly PractitionerRoleAvailableTime[]
  readonly notAvailable?: readonly PractitionerRoleNotAvailable[]
  readonly availabilityExceptions?: string
  readonly _availabilityExceptions?: Element
  readonly endpoint?: readonly Reference[]
}

export interface Procedure {
  readonly resourceType: 'Procedure'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly instantiatesCanonical?: readonly (string | null)[]
  readonly _instantiatesCanonical?: readonly (Element | null)[]
  readonly instantiatesUri?: readonly (string | null)[]
  readonly _instantiatesUri?: readonly (Element | null)[]
  readonly basedOn?: readonly Reference[]
  readonly partOf?: readonly Reference[]
  readonly status: EventStatusCode
  readonly _status?: Element
  readonly statusReason?: CodeableConcept
  readonly category?: CodeableConcept
  readonly code?: CodeableConcept
  readonly subject: Reference
  readonly encounter?: Reference
  readonly performedDateTime?: string
  readonly _performedDateTime?: Element
  readonly performedPeriod?: Period
  readonly performedString?: string
  readonly _performedString?: Element
  readonly performedAge?: Age
  readonly performedRange?: Range
  readonly recorder?: Reference
  readonly asserter?: Reference
  readonly performer?: readonly ProcedurePerformer[]
  readonly location?: Reference
  readonly reasonCode?: readonly CodeableConcept[]
  readonly reasonReference?: readonly Reference[]
  readonly bodySite?: readonly CodeableConcept[]
  readonly outcome?: CodeableConcept
  readonly report?: readonly Reference[]
  readonly complication?: readonly CodeableConcept[]
  readonly complicationDetail?: readonly Reference[]
  readonly followUp?: readonly CodeableConcept[]
  readonly note?: readonly Annotation[]
  readonly focalDevice?: readonly ProcedureFocalDevice[]
  readonly usedReference?: readonly Reference[]
  readonly usedCode?: readonly CodeableConcept[]
}

export interface Provenance {
  readonly resourceType: 'Provenance'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly target: readonly Reference[]
  readonly occurredPeriod?: Period
  readonly occurredDateTime?: string
  readonly _occurredDateTime?: Element
  readonly recorded: string
  readonly _recorded?: Element
  readonly policy?: readonly (string | null)[]
  readonly _policy?: readonly (Element | null)[]
  readonly location?: Reference
  readonly reason?: readonly CodeableConcept[]
  readonly activity?: CodeableConcept
  readonly agent: readonly ProvenanceAgent[]
  readonly entity?: readonly ProvenanceEntity[]
  readonly signature?: readonly Signature[]
}

export interface Questionnaire {
  readonly resourceType: 'Questionnaire'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly url?: string
  readonly _url?: Element
  readonly identifier?: readonly Identifier[]
  readonly version?: string
  readonly _version?: Element
  readonly name?: string
  readonly _name?: Element
  readonly title?: string
  readonly _title?: Element
  readonly derivedFrom?: readonly (string | null)[]
  readonly _derivedFrom?: readonly (Element | null)[]
  readonly status: PublicationStatusCode
  readonly _status?: Element
  readonly experimental?: boolean
  readonly _experimental?: Element
  readonly subjectType?: readonly (ResourceTypesCode | null)[]
  readonly _subjectType?: readonly (Element | null)[]
  readonly date?: string
  readonly _date?: Element
  readonly publisher?: string
  readonly _publisher?: Element
  readonly contact?: readonly ContactDetail[]
  readonly description?: string
  readonly _description?: Element
  readonly useContext?: readonly UsageContext[]
  readonly jurisdiction?: readonly CodeableConcept[]
  readonly purpose?: string
  readonly _purpose?: Element
  readonly copyright?: string
  readonly _copyright?: Element
  readonly approvalDate?: string
  readonly _approvalDate?: Element
  readonly lastReviewDate?: string
  readonly _lastReviewDate?: Element
  readonly effectivePeriod?: Period
  readonly code?: readonly Coding[]
  readonly item?: readonly QuestionnaireItem[]
}

export interface QuestionnaireResponse {
  readonly resourceType: 'QuestionnaireResponse'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: Identifier
  readonly basedOn?: readonly Reference[]
  readonly partOf?: readonly Reference[]
  readonly questionnaire?: string
  readonly _questionnaire?: Element
  readonly status: QuestionnaireAnswersStatusCode
  readonly _status?: Element
  readonly subject?: Reference
  readonly encounter?: Reference
  readonly authored?: string
  readonly _authored?: Element
  readonly author?: Reference
  readonly source?: Reference
  readonly item?: readonly QuestionnaireResponseItem[]
}

export interface RelatedPerson {
  readonly resourceType: 'RelatedPerson'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly active?: boolean
  readonly _active?: Element
  readonly patient: Reference
  readonly relationship?: readonly CodeableConcept[]
  readonly name?: readonly HumanName[]
  readonly telecom?: readonly ContactPoint[]
  readonly gender?: AdministrativeGenderCode
  readonly _gender?: Element
  readonly birthDate?: string
  readonly _birthDate?: Element
  readonly address?: readonly Address[]
  readonly photo?: readonly Attachment[]
  readonly period?: Period
  readonly communication?: readonly RelatedPersonCommunication[]
}

export interface RiskAssessment {
  readonly resourceType: 'RiskAssessment'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly basedOn?: Reference
  readonly parent?: Reference
  readonly status: ObservationStatusCode
  readonly _status?: Element
  readonly method?: CodeableConcept
  readonly code?: CodeableConcept
  readonly subject: Reference
  readonly encounter?: Reference
  readonly occurrenceDateTime?: string
  readonly _occurrenceDateTime?: Element
  readonly occurrencePeriod?: Period
  readonly condition?: Reference
  readonly performer?: Reference
  readonly reasonCode?: readonly CodeableConcept[]
  readonly reasonReference?: readonly Reference[]
  readonly basis?: readonly Reference[]
  readonly prediction?: readonly RiskAssessmentPrediction[]
  readonly mitigation?: string
  readonly _mitigation?: Element
  readonly note?: readonly Annotation[]
}

export interface SearchParameter {
  readonly resourceType: 'SearchParameter'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly url: string
  readonly _url?: Element
  readonly version?: string
  readonly _version?: Element
  readonly name: string
  readonly _name?: Element
  readonly derivedFrom?: string
  readonly _derivedFrom?: Element
  readonly status: PublicationStatusCode
  readonly _status?: Element
  readonly experimental?: boolean
  readonly _experimental?: Element
  readonly date?: string
  readonly _date?: Element
  readonly publisher?: string
  readonly _publisher?: Element
  readonly contact?: readonly ContactDetail[]
  readonly description: string
  readonly _description?: Element
  readonly useContext?: readonly UsageContext[]
  readonly jurisdiction?: readonly CodeableConcept[]
  readonly purpose?: string
  readonly _purpose?: Element
  readonly code: string
  readonly _code?: Element
  readonly base: readonly (ResourceTypesCode | null)[]
  readonly _base?: readonly (Element | null)[]
  readonly type: SearchParamTypeCode
  readonly _type?: Element
  readonly expression?: string
  readonly _expression?: Element
  readonly xpath?: string
  readonly _xpath?: Element
  readonly xpathUsage?: SearchXpathUsageCode
  readonly _xpathUsage?: Element
  readonly target?: readonly (ResourceTypesCode | null)[]
  readonly _target?: readonly (Element | null)[]
  readonly multipleOr?: boolean
  readonly _multipleOr?: Element
  readonly multipleAnd?: boolean
  readonly _multipleAnd?: Element
  readonly comparator?: readonly (SearchComparatorCode | null)[]
  readonly _comparator?: readonly (Element | null)[]
  readonly modifier?: readonly (SearchModifierCodeCode | null)[]
  readonly _modifier?: readonly (Element | null)[]
  readonly chain?: readonly (string | null)[]
  readonly _chain?: readonly (Element | null)[]
  readonly component?: readonly SearchParameterComponent[]
}

export interface ServiceRequest {
  readonly resourceType: 'ServiceRequest'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly instantiatesCanonical?: readonly (string | null)[]
  readonly _instantiatesCanonical?: readonly (Element | null)[]
  readonly instantiatesUri?: readonly (string | null)[]
  readonly _instantiatesUri?: readonly (Element | null)[]
  readonly basedOn?: readonly Reference[]
  readonly replaces?: readonly Reference[]
  readonly requisition?: Identifier
  readonly status: RequestStatusCode
  readonly _status?: Element
  readonly intent: RequestIntentCode
  readonly _intent?: Element
  readonly category?: readonly CodeableConcept[]
  readonly priority?: RequestPriorityCode
  readonly _priority?: Element
  readonly doNotPerform?: boolean
  readonly _doNotPerform?: Element
  readonly code?: CodeableConcept
  readonly orderDetail?: readonly CodeableConcept[]
  readonly quantityQuantity?: Quantity
  readonly quantityRatio?: Ratio
  readonly quantityRange?: Range
  readonly subject: Reference
  readonly encounter?: Reference
  readonly occurrenceDateTime?: string
  readonly _occurrenceDateTime?: Element
  readonly occurrencePeriod?: Period
  readonly occurrenceTiming?: Timing
  readonly asNeededBoolean?: boolean
  readonly _asNeededBoolean?: Element
  readonly asNeededCodeableConcept?: CodeableConcept
  readonly authoredOn?: string
  readonly _authoredOn?: Element
  readonly requester?: Reference
  readonly performerType?: CodeableConcept
  readonly performer?: readonly Reference[]
  readonly locationCode?: readonly CodeableConcept[]
  readonly locationReference?: readonly Reference[]
  readonly reasonCode?: readonly CodeableConcept[]
  readonly reasonReference?: readonly Reference[]
  readonly insurance?: readonly Reference[]
  readonly supportingInfo?: readonly Reference[]
  readonly specimen?: readonly Reference[]
  readonly bodySite?: readonly CodeableConcept[]
  readonly note?: readonly Annotation[]
  readonly patientInstruction?: string
  readonly _patientInstruction?: Element
  readonly relevantHistory?: readonly Reference[]
}

export interface StructureDefinition {
  readonly resourceType: 'StructureDefinition'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly url: string
  readonly _url?: Element
  readonly identifier?: readonly Identifier[]
  readonly version?: string
  readonly _version?: Element
  readonly name: string
  readonly _name?: Element
  readonly title?: string
  readonly _title?: Element
  readonly status: PublicationStatusCode
  readonly _status?: Element
  readonly experimental?: boolean
  readonly _experimental?: Element
  readonly date?: string
  readonly _date?: Element
  readonly publisher?: string
  readonly _publisher?: Element
  readonly contact?: readonly ContactDetail[]
  readonly description?: string
  readonly _description?: Element
  readonly useContext?: readonly UsageContext[]
  readonly jurisdiction?: readonly CodeableConcept[]
  readonly purpose?: string
  readonly _purpose?: Element
  readonly copyright?: string
  readonly _copyright?: Element
  readonly keyword?: readonly Coding[]
  readonly fhirVersion?: FHIRVersionCode
  readonly _fhirVersion?: Element
  readonly mapping?: readonly StructureDefinitionMapping[]
  readonly kind: StructureDefinitionKindCode
  readonly _kind?: Element
  readonly abstract: boolean
  readonly _abstract?: Element
  readonly context?: readonly StructureDefinitionContext[]
  readonly contextInvariant?: readonly (string | null)[]
  readonly _contextInvariant?: readonly (Element | null)[]
  readonly type: string
  readonly _type?: Element
  readonly baseDefinition?: string
  readonly _baseDefinition?: Element
  readonly derivation?: TypeDerivationRuleCode
  readonly _derivation?: Element
  readonly snapshot?: StructureDefinitionSnapshot
  readonly differential?: StructureDefinitionDifferential
}

export interface Subscription {
  readonly resourceType: 'Subscription'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly status: SubscriptionStatusCode
  readonly _status?: Element
  readonly contact?: readonly ContactPoint[]
  readonly end?: string
  readonly _end?: Element
  readonly reason: string
  readonly _reason?: Element
  readonly criteria: string
  readonly _criteria?: Element
  readonly error?: string
  readonly _error?: Element
  readonly channel: SubscriptionChannel
}

export interface Task {
  readonly resourceType: 'Task'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly instantiatesCanonical?: string
  readonly _instantiatesCanonical?: Element
  readonly instantiatesUri?: string
  readonly _instantiatesUri?: Element
  readonly basedOn?: readonly Reference[]
  readonly groupIdentifier?: Identifier
  readonly partOf?: readonly Reference[]
  readonly status: TaskStatusCode
  readonly _status?: Element
  readonly statusReason?: CodeableConcept
  readonly businessStatus?: CodeableConcept
  readonly intent: TaskIntentCode
  readonly _intent?: Element
  readonly priority?: RequestPriorityCode
  readonly _priority?: Element
  readonly code?: CodeableConcept
  readonly description?: string
  readonly _description?: Element
  readonly focus?: Reference
  readonly for?: Reference
  readonly encounter?: Reference
  readonly executionPeriod?: Period
  readonly authoredOn?: string
  readonly _authoredOn?: Element
  readonly lastModified?: string
  readonly _lastModified?: Element
  readonly requester?: Reference
  readonly performerType?: readonly CodeableConcept[]
  readonly owner?: Reference
  readonly location?: Reference
  readonly reasonCode?: CodeableConcept
  readonly reasonReference?: Reference
  readonly insurance?: readonly Reference[]
  readonly note?: readonly Annotation[]
  readonly relevantHistory?: readonly Reference[]
  readonly restriction?: TaskRestriction
  readonly input?: readonly TaskInput[]
  readonly output?: readonly TaskOutput[]
}

export interface ValueSet {
  readonly resourceType: 'ValueSet'
  readonly id?: string
  readonly meta?: Meta
  readonly implicitRules?: string
  readonly _implicitRules?: Element
  readonly language?: string
  readonly _language?: Element
  readonly text?: Narrative
  readonly contained?: readonly AnyResource[]
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly url?: string
  readonly _url?: Element
  readonly identifier?: readonly Identifier[]
  readonly version?: string
  readonly _version?: Element
  readonly name?: string
  readonly _name?: Element
  readonly title?: string
  readonly _title?: Element
  readonly status: PublicationStatusCode
  readonly _status?: Element
  readonly experimental?: boolean
  readonly _experimental?: Element
  readonly date?: string
  readonly _date?: Element
  readonly publisher?: string
  readonly _publisher?: Element
  readonly contact?: readonly ContactDetail[]
  readonly description?: string
  readonly _description?: Element
  readonly useContext?: readonly UsageContext[]
  readonly jurisdiction?: readonly CodeableConcept[]
  readonly immutable?: boolean
  readonly _immutable?: Element
  readonly purpose?: string
  readonly _purpose?: Element
  readonly copyright?: string
  readonly _copyright?: Element
  readonly compose?: ValueSetCompose
  readonly expansion?: ValueSetExpansion
}

export interface Meta {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly versionId?: string
  readonly _versionId?: Element
  readonly lastUpdated?: string
  readonly _lastUpdated?: Element
  readonly source?: string
  readonly _source?: Element
  readonly profile?: readonly (string | null)[]
  readonly _profile?: readonly (Element | null)[]
  readonly security?: readonly Coding[]
  readonly tag?: readonly Coding[]
}

export interface Narrative {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly status: NarrativeStatusCode
  readonly _status?: Element
  readonly div: string
}

export interface Extension {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly url: string
  readonly valueBase64Binary?: string
  readonly _valueBase64Binary?: Element
  readonly valueBoolean?: boolean
  readonly _valueBoolean?: Element
  readonly valueCanonical?: string
  readonly _valueCanonical?: Element
  readonly valueCode?: string
  readonly _valueCode?: Element
  readonly valueDate?: string
  readonly _valueDate?: Element
  readonly valueDateTime?: string
  readonly _valueDateTime?: Element
  readonly valueDecimal?: Decimal
  readonly _valueDecimal?: Element
  readonly valueId?: string
  readonly _valueId?: Element
  readonly valueInstant?: string
  readonly _valueInstant?: Element
  readonly valueInteger?: number
  readonly _valueInteger?: Element
  readonly valueMarkdown?: string
  readonly _valueMarkdown?: Element
  readonly valueOid?: string
  readonly _valueOid?: Element
  readonly valuePositiveInt?: number
  readonly _valuePositiveInt?: Element
  readonly valueString?: string
  readonly _valueString?: Element
  readonly valueTime?: string
  readonly _valueTime?: Element
  readonly valueUnsignedInt?: number
  readonly _valueUnsignedInt?: Element
  readonly valueUri?: string
  readonly _valueUri?: Element
  readonly valueUrl?: string
  readonly _valueUrl?: Element
  readonly valueUuid?: string
  readonly _valueUuid?: Element
  readonly valueAddress?: Address
  readonly valueAge?: Age
  readonly valueAnnotation?: Annotation
  readonly valueAttachment?: Attachment
  readonly valueCodeableConcept?: CodeableConcept
  readonly valueCoding?: Coding
  readonly valueContactPoint?: ContactPoint
  readonly valueCount?: Count
  readonly valueDistance?: Distance
  readonly valueDuration?: Duration
  readonly valueHumanName?: HumanName
  readonly valueIdentifier?: Identifier
  readonly valueMoney?: Money
  readonly valuePeriod?: Period
  readonly valueQuantity?: Quantity
  readonly valueRange?: Range
  readonly valueRatio?: Ratio
  readonly valueReference?: Reference
  readonly valueSampledData?: SampledData
  readonly valueSignature?: Signature
  readonly valueTiming?: Timing
  readonly valueContactDetail?: ContactDetail
  readonly valueContributor?: Contributor
  readonly valueDataRequirement?: DataRequirement
  readonly valueExpression?: Expression
  readonly valueParameterDefinition?: ParameterDefinition
  readonly valueRelatedArtifact?: RelatedArtifact
  readonly valueTriggerDefinition?: TriggerDefinition
  readonly valueUsageContext?: UsageContext
  readonly valueDosage?: Dosage
  readonly valueMeta?: Meta
}

export interface Identifier {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly use?: IdentifierUseCode
  readonly _use?: Element
  readonly type?: CodeableConcept
  readonly system?: string
  readonly _system?: Element
  readonly value?: string
  readonly _value?: Element
  readonly period?: Period
  readonly assigner?: Reference
}

export interface CodeableConcept {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly coding?: readonly Coding[]
  readonly text?: string
  readonly _text?: Element
}

export interface Reference {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly reference?: string
  readonly _reference?: Element
  readonly type?: string
  readonly _type?: Element
  readonly identifier?: Identifier
  readonly display?: string
  readonly _display?: Element
}

export interface ContactDetail {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly name?: string
  readonly _name?: Element
  readonly telecom?: readonly ContactPoint[]
}

export interface UsageContext {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly code: Coding
  readonly valueCodeableConcept?: CodeableConcept
  readonly valueQuantity?: Quantity
  readonly valueRange?: Range
  readonly valueReference?: Reference
}

export interface Period {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly start?: string
  readonly _start?: Element
  readonly end?: string
  readonly _end?: Element
}

export interface RelatedArtifact {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly type: RelatedArtifactTypeCode
  readonly _type?: Element
  readonly label?: string
  readonly _label?: Element
  readonly display?: string
  readonly _display?: Element
  readonly citation?: string
  readonly _citation?: Element
  readonly url?: string
  readonly _url?: Element
  readonly document?: Attachment
  readonly resource?: string
  readonly _resource?: Element
}

export interface Timing {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly event?: readonly (string | null)[]
  readonly _event?: readonly (Element | null)[]
  readonly repeat?: TimingRepeat
  readonly code?: CodeableConcept
}

export interface Age {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly value?: Decimal
  readonly _value?: Element
  readonly comparator?: QuantityComparatorCode
  readonly _comparator?: Element
  readonly unit?: string
  readonly _unit?: Element
  readonly system?: string
  readonly _system?: Element
  readonly code?: string
  readonly _code?: Element
}

export interface Range {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly low?: Quantity
  readonly high?: Quantity
}

export interface Duration {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly value?: Decimal
  readonly _value?: Element
  readonly comparator?: QuantityComparatorCode
  readonly _comparator?: Element
  readonly unit?: string
  readonly _unit?: Element
  readonly system?: string
  readonly _system?: Element
  readonly code?: string
  readonly _code?: Element
}

export interface ActivityDefinitionParticipant {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly type: ActionParticipantTypeCode
  readonly _type?: Element
  readonly role?: CodeableConcept
}

export interface Quantity {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly value?: Decimal
  readonly _value?: Element
  readonly comparator?: QuantityComparatorCode
  readonly _comparator?: Element
  readonly unit?: string
  readonly _unit?: Element
  readonly system?: string
  readonly _system?: Element
  readonly code?: string
  readonly _code?: Element
}

export interface Dosage {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly sequence?: number
  readonly _sequence?: Element
  readonly text?: string
  readonly _text?: Element
  readonly additionalInstruction?: readonly CodeableConcept[]
  readonly patientInstruction?: string
  readonly _patientInstruction?: Element
  readonly timing?: Timing
  readonly asNeededBoolean?: boolean
  readonly _asNeededBoolean?: Element
  readonly asNeededCodeableConcept?: CodeableConcept
  readonly site?: CodeableConcept
  readonly route?: CodeableConcept
  readonly method?: CodeableConcept
  readonly doseAndRate?: readonly DosageDoseAndRate[]
  readonly maxDosePerPeriod?: Ratio
  readonly maxDosePerAdministration?: Quantity
  readonly maxDosePerLifetime?: Quantity
}

export interface ActivityDefinitionDynamicValue {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly path: string
  readonly _path?: Element
  readonly expression: Expression
}

export interface AppointmentParticipant {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly type?: readonly CodeableConcept[]
  readonly actor?: Reference
  readonly required?: ParticipantrequiredCode
  readonly _required?: Element
  readonly status: ParticipationstatusCode
  readonly _status?: Element
  readonly period?: Period
}

export interface Coding {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly system?: string
  readonly _system?: Element
  readonly version?: string
  readonly _version?: Element
  readonly code?: string
  readonly _code?: Element
  readonly display?: string
  readonly _display?: Element
  readonly userSelected?: boolean
  readonly _userSelected?: Element
}

export interface AuditEventAgent {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly type?: CodeableConcept
  readonly role?: readonly CodeableConcept[]
  readonly who?: Reference
  readonly altId?: string
  readonly _altId?: Element
  readonly name?: string
  readonly _name?: Element
  readonly requestor: boolean
  readonly _requestor?: Element
  readonly location?: Reference
  readonly policy?: readonly (string | null)[]
  readonly _policy?: readonly (Element | null)[]
  readonly media?: Coding
  readonly network?: AuditEventAgentNetwork
  readonly purposeOfUse?: readonly CodeableConcept[]
}

export interface AuditEventSource {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly site?: string
  readonly _site?: Element
  readonly observer: Reference
  readonly type?: readonly Coding[]
}

export interface AuditEventEntity {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly what?: Reference
  readonly type?: Coding
  readonly role?: Coding
  readonly lifecycle?: Coding
  readonly securityLabel?: readonly Coding[]
  readonly name?: string
  readonly _name?: Element
  readonly description?: string
  readonly _description?: Element
  readonly query?: string
  readonly _query?: Element
  readonly detail?: readonly AuditEventEntityDetail[]
}

export interface BundleLink {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly relation: string
  readonly _relation?: Element
  readonly url: string
  readonly _url?: Element
}

export interface BundleEntry {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly link?: readonly BundleLink[]
  readonly fullUrl?: string
  readonly _fullUrl?: Element
  readonly resource?: AnyResource
  readonly search?: BundleEntrySearch
  readonly request?: BundleEntryRequest
  readonly response?: BundleEntryResponse
}

export interface Signature {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly type: readonly Coding[]
  readonly when: string
  readonly _when?: Element
  readonly who: Reference
  readonly onBehalfOf?: Reference
  readonly targetFormat?: string
  readonly _targetFormat?: Element
  readonly sigFormat?: string
  readonly _sigFormat?: Element
  readonly data?: string
  readonly _data?: Element
}

export interface CapabilityStatementSoftware {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly name: string
  readonly _name?: Element
  readonly version?: string
  readonly _version?: Element
  readonly releaseDate?: string
  readonly _releaseDate?: Element
}

export interface CapabilityStatementImplementation {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly description: string
  readonly _description?: Element
  readonly url?: string
  readonly _url?: Element
  readonly custodian?: Reference
}

export interface CapabilityStatementRest {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly mode: RestfulCapabilityModeCode
  readonly _mode?: Element
  readonly documentation?: string
  readonly _documentation?: Element
  readonly security?: CapabilityStatementRestSecurity
  readonly resource?: readonly CapabilityStatementRestResource[]
  readonly interaction?: readonly CapabilityStatementRestInteraction[]
  readonly searchParam?: readonly CapabilityStatementRestResourceSearchParam[]
  readonly operation?: readonly CapabilityStatementRestResourceOperation[]
  readonly compartment?: readonly (string | null)[]
  readonly _compartment?: readonly (Element | null)[]
}

export interface CapabilityStatementMessaging {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly endpoint?: readonly CapabilityStatementMessagingEndpoint[]
  readonly reliableCache?: number
  readonly _reliableCache?: Element
  readonly documentation?: string
  readonly _documentation?: Element
  readonly supportedMessage?: readonly CapabilityStatementMessagingSupportedMessage[]
}

export interface CapabilityStatementDocument {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly mode: DocumentModeCode
  readonly _mode?: Element
  readonly documentation?: string
  readonly _documentation?: Element
  readonly profile: string
  readonly _profile?: Element
}

export interface CarePlanActivity {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly outcomeCodeableConcept?: readonly CodeableConcept[]
  readonly outcomeReference?: readonly Reference[]
  readonly progress?: readonly Annotation[]
  readonly reference?: Reference
  readonly detail?: CarePlanActivityDetail
}

export interface Annotation {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly authorReference?: Reference
  readonly authorString?: string
  readonly _authorString?: Element
  readonly time?: string
  readonly _time?: Element
  readonly text: string
  readonly _text?: Element
}

export interface CareTeamParticipant {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly role?: readonly CodeableConcept[]
  readonly member?: Reference
  readonly onBehalfOf?: Reference
  readonly period?: Period
}

export interface ContactPoint {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly system?: ContactPointSystemCode
  readonly _system?: Element
  readonly value?: string
  readonly _value?: Element
  readonly use?: ContactPointUseCode
  readonly _use?: Element
  readonly rank?: number
  readonly _rank?: Element
  readonly period?: Period
}

export interface ClinicalImpressionInvestigation {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly code: CodeableConcept
  readonly item?: readonly Reference[]
}

export interface ClinicalImpressionFinding {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly itemCodeableConcept?: CodeableConcept
  readonly itemReference?: Reference
  readonly basis?: string
  readonly _basis?: Element
}

export interface CodeSystemFilter {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly code: string
  readonly _code?: Element
  readonly description?: string
  readonly _description?: Element
  readonly operator: readonly (FilterOperatorCode | null)[]
  readonly _operator?: readonly (Element | null)[]
  readonly value: string
  readonly _value?: Element
}

export interface CodeSystemProperty {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly code: string
  readonly _code?: Element
  readonly uri?: string
  readonly _uri?: Element
  readonly description?: string
  readonly _description?: Element
  readonly type: ConceptPropertyTypeCode
  readonly _type?: Element
}

export interface CodeSystemConcept {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly code: string
  readonly _code?: Element
  readonly display?: string
  readonly _display?: Element
  readonly definition?: string
  readonly _definition?: Element
  readonly designation?: readonly CodeSystemConceptDesignation[]
  readonly property?: readonly CodeSystemConceptProperty[]
  readonly concept?: readonly CodeSystemConcept[]
}

export interface CommunicationPayload {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly contentString?: string
  readonly _contentString?: Element
  readonly contentAttachment?: Attachment
  readonly contentReference?: Reference
}

export interface CommunicationRequestPayload {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly contentString?: string
  readonly _contentString?: Element
  readonly contentAttachment?: Attachment
  readonly contentReference?: Reference
}

export interface CompositionAttester {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly mode: CompositionAttestationModeCode
  readonly _mode?: Element
  readonly time?: string
  readonly _time?: Element
  readonly party?: Reference
}

export interface CompositionRelatesTo {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly code: DocumentRelationshipTypeCode
  readonly _code?: Element
  readonly targetIdentifier?: Identifier
  readonly targetReference?: Reference
}

export interface CompositionEvent {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly code?: readonly CodeableConcept[]
  readonly period?: Period
  readonly detail?: readonly Reference[]
}

export interface CompositionSection {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly title?: string
  readonly _title?: Element
  readonly code?: CodeableConcept
  readonly author?: readonly Reference[]
  readonly focus?: Reference
  readonly text?: Narrative
  readonly mode?: ListModeCode
  readonly _mode?: Element
  readonly orderedBy?: CodeableConcept
  readonly entry?: readonly Reference[]
  readonly emptyReason?: CodeableConcept
  readonly section?: readonly CompositionSection[]
}

export interface ConditionStage {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly summary?: CodeableConcept
  readonly assessment?: readonly Reference[]
  readonly type?: CodeableConcept
}

export interface ConditionEvidence {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly code?: readonly CodeableConcept[]
  readonly detail?: readonly Reference[]
}

export interface Attachment {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly contentType?: string
  readonly _contentType?: Element
  readonly language?: string
  readonly _language?: Element
  readonly data?: string
  readonly _data?: Element
  readonly url?: string
  readonly _url?: Element
  readonly size?: number
  readonly _size?: Element
  readonly hash?: string
  readonly _hash?: Element
  readonly title?: string
  readonly _title?: Element
  readonly creation?: string
  readonly _creation?: Element
}

export interface ConsentPolicy {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly authority?: string
  readonly _authority?: Element
  readonly uri?: string
  readonly _uri?: Element
}

export interface ConsentVerification {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly verified: boolean
  readonly _verified?: Element
  readonly verifiedWith?: Reference
  readonly verificationDate?: string
  readonly _verificationDate?: Element
}

export interface ConsentProvision {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly type?: ConsentProvisionTypeCode
  readonly _type?: Element
  readonly period?: Period
  readonly actor?: readonly ConsentProvisionActor[]
  readonly action?: readonly CodeableConcept[]
  readonly securityLabel?: readonly Coding[]
  readonly purpose?: readonly Coding[]
  readonly class?: readonly Coding[]
  readonly code?: readonly CodeableConcept[]
  readonly dataPeriod?: Period
  readonly data?: readonly ConsentProvisionData[]
  readonly provision?: readonly ConsentProvision[]
}

export interface CoverageClass {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly type: CodeableConcept
  readonly value: string
  readonly _value?: Element
  readonly name?: string
  readonly _name?: Element
}

export interface CoverageCostToBeneficiary {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly type?: CodeableConcept
  readonly valueQuantity?: Quantity
  readonly valueMoney?: Money
  readonly exception?: readonly CoverageCostToBeneficiaryException[]
}

export interface DeviceUdiCarrier {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly deviceIdentifier?: string
  readonly _deviceIdentifier?: Element
  readonly issuer?: string
  readonly _issuer?: Element
  readonly jurisdiction?: string
  readonly _jurisdiction?: Element
  readonly carrierAIDC?: string
  readonly _carrierAIDC?: Element
  readonly carrierHRF?: string
  readonly _carrierHRF?: Element
  readonly entryType?: UdiEntryTypeCode
  readonly _entryType?: Element
}

export interface DeviceDeviceName {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly name: string
  readonly _name?: Element
  readonly type: DeviceNametypeCode
  readonly _type?: Element
}

export interface DeviceSpecialization {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly systemType: CodeableConcept
  readonly version?: string
  readonly _version?: Element
}

export interface DeviceVersion {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly type?: CodeableConcept
  readonly component?: Identifier
  readonly value: string
  readonly _value?: Element
}

export interface DeviceProperty {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly type: CodeableConcept
  readonly valueQuantity?: readonly Quantity[]
  readonly valueCode?: readonly CodeableConcept[]
}

export interface DeviceDefinitionUdiDeviceIdentifier {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly deviceIdentifier: string
  readonly _deviceIdentifier?: Element
  readonly issuer: string
  readonly _issuer?: Element
  readonly jurisdiction: string
  readonly _jurisdiction?: Element
}

export interface DeviceDefinitionDeviceName {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly name: string
  readonly _name?: Element
  readonly type: DeviceNametypeCode
  readonly _type?: Element
}

export interface DeviceDefinitionSpecialization {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly systemType: string
  readonly _systemType?: Element
  readonly version?: string
  readonly _version?: Element
}

export interface ProductShelfLife {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: Identifier
  readonly type: CodeableConcept
  readonly period: Quantity
  readonly specialPrecautionsForStorage?: readonly CodeableConcept[]
}

export interface ProdCharacteristic {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly height?: Quantity
  readonly width?: Quantity
  readonly depth?: Quantity
  readonly weight?: Quantity
  readonly nominalVolume?: Quantity
  readonly externalDiameter?: Quantity
  readonly shape?: string
  readonly _shape?: Element
  readonly color?: readonly (string | null)[]
  readonly _color?: readonly (Element | null)[]
  readonly imprint?: readonly (string | null)[]
  readonly _imprint?: readonly (Element | null)[]
  readonly image?: readonly Attachment[]
  readonly scoring?: CodeableConcept
}

export interface DeviceDefinitionCapability {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly type: CodeableConcept
  readonly description?: readonly CodeableConcept[]
}

export interface DeviceDefinitionProperty {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly type: CodeableConcept
  readonly valueQuantity?: readonly Quantity[]
  readonly valueCode?: readonly CodeableConcept[]
}

export interface DeviceDefinitionMaterial {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly substance: CodeableConcept
  readonly alternate?: boolean
  readonly _alternate?: Element
  readonly allergenicIndicator?: boolean
  readonly _allergenicIndicator?: Element
}

export interface DeviceRequestParameter {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly code?: CodeableConcept
  readonly valueCodeableConcept?: CodeableConcept
  readonly valueQuantity?: Quantity
  readonly valueRange?: Range
  readonly valueBoolean?: boolean
  readonly _valueBoolean?: Element
}

export interface DocumentReferenceRelatesTo {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly code: DocumentRelationshipTypeCode
  readonly _code?: Element
  readonly target: Reference
}

export interface DocumentReferenceContent {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly attachment: Attachment
  readonly format?: Coding
}

export interface DocumentReferenceContext {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly encounter?: readonly Reference[]
  readonly event?: readonly CodeableConcept[]
  readonly period?: Period
  readonly facilityType?: CodeableConcept
  readonly practiceSetting?: CodeableConcept
  readonly sourcePatientInfo?: Reference
  readonly related?: readonly Reference[]
}

export interface EncounterStatusHistory {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly status: EncounterStatusCode
  readonly _status?: Element
  readonly period: Period
}

export interface EncounterClassHistory {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly class: Coding
  readonly period: Period
}

export interface EncounterParticipant {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly type?: readonly CodeableConcept[]
  readonly period?: Period
  readonly individual?: Reference
}

export interface EncounterDiagnosis {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly condition: Reference
  readonly use?: CodeableConcept
  readonly rank?: number
  readonly _rank?: Element
}

export interface EncounterHospitalization {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly preAdmissionIdentifier?: Identifier
  readonly origin?: Reference
  readonly admitSource?: CodeableConcept
  readonly reAdmission?: CodeableConcept
  readonly dietPreference?: readonly CodeableConcept[]
  readonly specialCourtesy?: readonly CodeableConcept[]
  readonly specialArrangement?: readonly CodeableConcept[]
  readonly destination?: Reference
  readonly dischargeDisposition?: CodeableConcept
}

export interface EncounterLocation {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly location: Reference
  readonly status?: EncounterLocationStatusCode
  readonly _status?: Element
  readonly physicalType?: CodeableConcept
  readonly period?: Period
}

export interface GoalTarget {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly measure?: CodeableConcept
  readonly detailQuantity?: Quantity
  readonly detailRange?: Range
  readonly detailCodeableConcept?: CodeableConcept
  readonly detailString?: string
  readonly _detailString?: Element
  readonly detailBoolean?: boolean
  readonly _detailBoolean?: Element
  readonly detailInteger?: number
  readonly _detailInteger?: Element
  readonly detailRatio?: Ratio
  readonly dueDate?: string
  readonly _dueDate?: Element
  readonly dueDuration?: Duration
}

export interface GroupCharacteristic {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly code: CodeableConcept
  readonly valueCodeableConcept?: CodeableConcept
  readonly valueBoolean?: boolean
  readonly _valueBoolean?: Element
  readonly valueQuantity?: Quantity
  readonly valueRange?: Range
  readonly valueReference?: Reference
  readonly exclude: boolean
  readonly _exclude?: Element
  readonly period?: Period
}

export interface GroupMember {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly entity: Reference
  readonly period?: Period
  readonly inactive?: boolean
  readonly _inactive?: Element
}

export interface ParameterDefinition {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly name?: string
  readonly _name?: Element
  readonly use: OperationParameterUseCode
  readonly _use?: Element
  readonly min?: number
  readonly _min?: Element
  readonly max?: string
  readonly _max?: Element
  readonly documentation?: string
  readonly _documentation?: Element
  readonly type: AllTypesCode
  readonly _type?: Element
  readonly profile?: string
  readonly _profile?: Element
}

export interface DataRequirement {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly type: AllTypesCode
  readonly _type?: Element
  readonly profile?: readonly (string | null)[]
  readonly _profile?: readonly (Element | null)[]
  readonly subjectCodeableConcept?: CodeableConcept
  readonly subjectReference?: Reference
  readonly mustSupport?: readonly (string | null)[]
  readonly _mustSupport?: readonly (Element | null)[]
  readonly codeFilter?: readonly DataRequirementCodeFilter[]
  readonly dateFilter?: readonly DataRequirementDateFilter[]
  readonly limit?: number
  readonly _limit?: Element
  readonly sort?: readonly DataRequirementSort[]
}

export interface ListEntry {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly flag?: CodeableConcept
  readonly deleted?: boolean
  readonly _deleted?: Element
  readonly date?: string
  readonly _date?: Element
  readonly item: Reference
}

export interface Address {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly use?: AddressUseCode
  readonly _use?: Element
  readonly type?: AddressTypeCode
  readonly _type?: Element
  readonly text?: string
  readonly _text?: Element
  readonly line?: readonly (string | null)[]
  readonly _line?: readonly (Element | null)[]
  readonly city?: string
  readonly _city?: Element
  readonly district?: string
  readonly _district?: Element
  readonly state?: string
  readonly _state?: Element
  readonly postalCode?: string
  readonly _postalCode?: Element
  readonly country?: string
  readonly _country?: Element
  readonly period?: Period
}

export interface LocationPosition {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly longitude: Decimal
  readonly _longitude?: Element
  readonly latitude: Decimal
  readonly _latitude?: Element
  readonly altitude?: Decimal
  readonly _altitude?: Element
}

export interface LocationHoursOfOperation {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly daysOfWeek?: readonly (DaysOfWeekCode | null)[]
  readonly _daysOfWeek?: readonly (Element | null)[]
  readonly allDay?: boolean
  readonly _allDay?: Element
  readonly openingTime?: string
  readonly _openingTime?: Element
  readonly closingTime?: string
  readonly _closingTime?: Element
}

export interface MeasureReportGroup {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly code?: CodeableConcept
  readonly population?: readonly MeasureReportGroupPopulation[]
  readonly measureScore?: Quantity
  readonly stratifier?: readonly MeasureReportGroupStratifier[]
}

export interface Ratio {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly numerator?: Quantity
  readonly denominator?: Quantity
}

export interface SampledData {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly origin: Quantity
  readonly period: Decimal
  readonly _period?: Element
  readonly factor?: Decimal
  readonly _factor?: Element
  readonly lowerLimit?: Decimal
  readonly _lowerLimit?: Element
  readonly upperLimit?: Decimal
  readonly _upperLimit?: Element
  readonly dimensions: number
  readonly _dimensions?: Element
  readonly data?: string
  readonly _data?: Element
}

export interface ObservationReferenceRange {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly low?: Quantity
  readonly high?: Quantity
  readonly type?: CodeableConcept
  readonly appliesTo?: readonly CodeableConcept[]
  readonly age?: Range
  readonly text?: string
  readonly _text?: Element
}

export interface ObservationComponent {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly code: CodeableConcept
  readonly valueQuantity?: Quantity
  readonly valueCodeableConcept?: CodeableConcept
  readonly valueString?: string
  readonly _valueString?: Element
  readonly valueBoolean?: boolean
  readonly _valueBoolean?: Element
  readonly valueInteger?: number
  readonly _valueInteger?: Element
  readonly valueRange?: Range
  readonly valueRatio?: Ratio
  readonly valueSampledData?: SampledData
  readonly valueTime?: string
  readonly _valueTime?: Element
  readonly valueDateTime?: string
  readonly _valueDateTime?: Element
  readonly valuePeriod?: Period
  readonly dataAbsentReason?: CodeableConcept
  readonly interpretation?: readonly CodeableConcept[]
  readonly referenceRange?: readonly ObservationReferenceRange[]
}

export interface OperationDefinitionParameter {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly name: string
  readonly _name?: Element
  readonly use: OperationParameterUseCode
  readonly _use?: Element
  readonly min: number
  readonly _min?: Element
  readonly max: string
  readonly _max?: Element
  readonly documentation?: string
  readonly _documentation?: Element
  readonly type?: AllTypesCode
  readonly _type?: Element
  readonly targetProfile?: readonly (string | null)[]
  readonly _targetProfile?: readonly (Element | null)[]
  readonly searchType?: SearchParamTypeCode
  readonly _searchType?: Element
  readonly binding?: OperationDefinitionParameterBinding
  readonly referencedFrom?: readonly OperationDefinitionParameterReferencedFrom[]
  readonly part?: readonly OperationDefinitionParameter[]
}

export interface OperationDefinitionOverload {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly parameterName?: readonly (string | null)[]
  readonly _parameterName?: readonly (Element | null)[]
  readonly comment?: string
  readonly _comment?: Element
}

export interface OperationOutcomeIssue {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly severity: IssueSeverityCode
  readonly _severity?: Element
  readonly code: IssueTypeCode
  readonly _code?: Element
  readonly details?: CodeableConcept
  readonly diagnostics?: string
  readonly _diagnostics?: Element
  readonly location?: readonly (string | null)[]
  readonly _location?: readonly (Element | null)[]
  readonly expression?: readonly (string | null)[]
  readonly _expression?: readonly (Element | null)[]
}

export interface OrganizationContact {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly purpose?: CodeableConcept
  readonly name?: HumanName
  readonly telecom?: readonly ContactPoint[]
  readonly address?: Address
}

export interface ParametersParameter {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly name: string
  readonly _name?: Element
  readonly valueBase64Binary?: string
  readonly _valueBase64Binary?: Element
  readonly valueBoolean?: boolean
  readonly _valueBoolean?: Element
  readonly valueCanonical?: string
  readonly _valueCanonical?: Element
  readonly valueCode?: string
  readonly _valueCode?: Element
  readonly valueDate?: string
  readonly _valueDate?: Element
  readonly valueDateTime?: string
  readonly _valueDateTime?: Element
  readonly valueDecimal?: Decimal
  readonly _valueDecimal?: Element
  readonly valueId?: string
  readonly _valueId?: Element
  readonly valueInstant?: string
  readonly _valueInstant?: Element
  readonly valueInteger?: number
  readonly _valueInteger?: Element
  readonly valueMarkdown?: string
  readonly _valueMarkdown?: Element
  readonly valueOid?: string
  readonly _valueOid?: Element
  readonly valuePositiveInt?: number
  readonly _valuePositiveInt?: Element
  readonly valueString?: string
  readonly _valueString?: Element
  readonly valueTime?: string
  readonly _valueTime?: Element
  readonly valueUnsignedInt?: number
  readonly _valueUnsignedInt?: Element
  readonly valueUri?: string
  readonly _valueUri?: Element
  readonly valueUrl?: string
  readonly _valueUrl?: Element
  readonly valueUuid?: string
  readonly _valueUuid?: Element
  readonly valueAddress?: Address
  readonly valueAge?: Age
  readonly valueAnnotation?: Annotation
  readonly valueAttachment?: Attachment
  readonly valueCodeableConcept?: CodeableConcept
  readonly valueCoding?: Coding
  readonly valueContactPoint?: ContactPoint
  readonly valueCount?: Count
  readonly valueDistance?: Distance
  readonly valueDuration?: Duration
  readonly valueHumanName?: HumanName
  readonly valueIdentifier?: Identifier
  readonly valueMoney?: Money
  readonly valuePeriod?: Period
  readonly valueQuantity?: Quantity
  readonly valueRange?: Range
  readonly valueRatio?: Ratio
  readonly valueReference?: Reference
  readonly valueSampledData?: SampledData
  readonly valueSignature?: Signature
  readonly valueTiming?: Timing
  readonly valueContactDetail?: ContactDetail
  readonly valueContributor?: Contributor
  readonly valueDataRequirement?: DataRequirement
  readonly valueExpression?: Expression
  readonly valueParameterDefinition?: ParameterDefinition
  readonly valueRelatedArtifact?: RelatedArtifact
  readonly valueTriggerDefinition?: TriggerDefinition
  readonly valueUsageContext?: UsageContext
  readonly valueDosage?: Dosage
  readonly valueMeta?: Meta
  readonly resource?: AnyResource
  readonly part?: readonly ParametersParameter[]
}

export interface HumanName {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly use?: NameUseCode
  readonly _use?: Element
  readonly text?: string
  readonly _text?: Element
  readonly family?: string
  readonly _family?: Element
  readonly given?: readonly (string | null)[]
  readonly _given?: readonly (Element | null)[]
  readonly prefix?: readonly (string | null)[]
  readonly _prefix?: readonly (Element | null)[]
  readonly suffix?: readonly (string | null)[]
  readonly _suffix?: readonly (Element | null)[]
  readonly period?: Period
}

export interface PatientContact {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly relationship?: readonly CodeableConcept[]
  readonly name?: HumanName
  readonly telecom?: readonly ContactPoint[]
  readonly address?: Address
  readonly gender?: AdministrativeGenderCode
  readonly _gender?: Element
  readonly organization?: Reference
  readonly period?: Period
}

export interface PatientCommunication {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly language: CodeableConcept
  readonly preferred?: boolean
  readonly _preferred?: Element
}

export interface PatientLink {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly other: Reference
  readonly type: LinkTypeCode
  readonly _type?: Element
}

export interface PlanDefinitionGoal {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly category?: CodeableConcept
  readonly description: CodeableConcept
  readonly priority?: CodeableConcept
  readonly start?: CodeableConcept
  readonly addresses?: readonly CodeableConcept[]
  readonly documentation?: readonly RelatedArtifact[]
  readonly target?: readonly PlanDefinitionGoalTarget[]
}

export interface PlanDefinitionAction {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly prefix?: string
  readonly _prefix?: Element
  readonly title?: string
  readonly _title?: Element
  readonly description?: string
  readonly _description?: Element
  readonly textEquivalent?: string
  readonly _textEquivalent?: Element
  readonly priority?: RequestPriorityCode
  readonly _priority?: Element
  readonly code?: readonly CodeableConcept[]
  readonly reason?: readonly CodeableConcept[]
  readonly documentation?: readonly RelatedArtifact[]
  readonly goalId?: readonly (string | null)[]
  readonly _goalId?: readonly (Element | null)[]
  readonly subjectCodeableConcept?: CodeableConcept
  readonly subjectReference?: Reference
  readonly trigger?: readonly TriggerDefinition[]
  readonly condition?: readonly PlanDefinitionActionCondition[]
  readonly input?: readonly DataRequirement[]
  readonly output?: readonly DataRequirement[]
  readonly relatedAction?: readonly PlanDefinitionActionRelatedAction[]
  readonly timingDateTime?: string
  readonly _timingDateTime?: Element
  readonly timingAge?: Age
  readonly timingPeriod?: Period
  readonly timingDuration?: Duration
  readonly timingRange?: Range
  readonly timingTiming?: Timing
  readonly participant?: readonly PlanDefinitionActionParticipant[]
  readonly type?: CodeableConcept
  readonly groupingBehavior?: ActionGroupingBehaviorCode
  readonly _groupingBehavior?: Element
  readonly selectionBehavior?: ActionSelectionBehaviorCode
  readonly _selectionBehavior?: Element
  readonly requiredBehavior?: ActionRequiredBehaviorCode
  readonly _requiredBehavior?: Element
  readonly precheckBehavior?: ActionPrecheckBehaviorCode
  readonly _precheckBehavior?: Element
  readonly cardinalityBehavior?: ActionCardinalityBehaviorCode
  readonly _cardinalityBehavior?: Element
  readonly definitionCanonical?: string
  readonly _definitionCanonical?: Element
  readonly definitionUri?: string
  readonly _definitionUri?: Element
  readonly transform?: string
  readonly _transform?: Element
  readonly dynamicValue?: readonly PlanDefinitionActionDynamicValue[]
  readonly action?: readonly PlanDefinitionAction[]
}

export interface PractitionerQualification {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: readonly Identifier[]
  readonly code: CodeableConcept
  readonly period?: Period
  readonly issuer?: Reference
}

export interface PractitionerRoleAvailableTime {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly daysOfWeek?: readonly (DaysOfWeekCode | null)[]
  readonly _daysOfWeek?: readonly (Element | null)[]
  readonly allDay?: boolean
  readonly _allDay?: Element
  readonly availableStartTime?: string
  readonly _availableStartTime?: Element
  readonly availableEndTime?: string
  readonly _availableEndTime?: Element
}

export interface PractitionerRoleNotAvailable {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly description: string
  readonly _description?: Element
  readonly during?: Period
}

export interface ProcedurePerformer {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly function?: CodeableConcept
  readonly actor: Reference
  readonly onBehalfOf?: Reference
}

export interface ProcedureFocalDevice {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly action?: CodeableConcept
  readonly manipulated: Reference
}

export interface ProvenanceAgent {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly type?: CodeableConcept
  readonly role?: readonly CodeableConcept[]
  readonly who: Reference
  readonly onBehalfOf?: Reference
}

export interface ProvenanceEntity {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly role: ProvenanceEntityRoleCode
  readonly _role?: Element
  readonly what: Reference
  readonly agent?: readonly ProvenanceAgent[]
}

export interface QuestionnaireItem {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly linkId: string
  readonly _linkId?: Element
  readonly definition?: string
  readonly _definition?: Element
  readonly code?: readonly Coding[]
  readonly prefix?: string
  readonly _prefix?: Element
  readonly text?: string
  readonly _text?: Element
  readonly type: ItemTypeCode
  readonly _type?: Element
  readonly enableWhen?: readonly QuestionnaireItemEnableWhen[]
  readonly enableBehavior?: QuestionnaireEnableBehaviorCode
  readonly _enableBehavior?: Element
  readonly required?: boolean
  readonly _required?: Element
  readonly repeats?: boolean
  readonly _repeats?: Element
  readonly readOnly?: boolean
  readonly _readOnly?: Element
  readonly maxLength?: number
  readonly _maxLength?: Element
  readonly answerValueSet?: string
  readonly _answerValueSet?: Element
  readonly answerOption?: readonly QuestionnaireItemAnswerOption[]
  readonly initial?: readonly QuestionnaireItemInitial[]
  readonly item?: readonly QuestionnaireItem[]
}

export interface QuestionnaireResponseItem {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly linkId: string
  readonly _linkId?: Element
  readonly definition?: string
  readonly _definition?: Element
  readonly text?: string
  readonly _text?: Element
  readonly answer?: readonly QuestionnaireResponseItemAnswer[]
  readonly item?: readonly QuestionnaireResponseItem[]
}

export interface RelatedPersonCommunication {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly language: CodeableConcept
  readonly preferred?: boolean
  readonly _preferred?: Element
}

export interface RiskAssessmentPrediction {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly outcome?: CodeableConcept
  readonly probabilityDecimal?: Decimal
  readonly _probabilityDecimal?: Element
  readonly probabilityRange?: Range
  readonly qualitativeRisk?: CodeableConcept
  readonly relativeRisk?: Decimal
  readonly _relativeRisk?: Element
  readonly whenPeriod?: Period
  readonly whenRange?: Range
  readonly rationale?: string
  readonly _rationale?: Element
}

export interface SearchParameterComponent {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly definition: string
  readonly _definition?: Element
  readonly expression: string
  readonly _expression?: Element
}

export interface StructureDefinitionMapping {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identity: string
  readonly _identity?: Element
  readonly uri?: string
  readonly _uri?: Element
  readonly name?: string
  readonly _name?: Element
  readonly comment?: string
  readonly _comment?: Element
}

export interface StructureDefinitionContext {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly type: ExtensionContextTypeCode
  readonly _type?: Element
  readonly expression: string
  readonly _expression?: Element
}

export interface StructureDefinitionSnapshot {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly element: readonly ElementDefinition[]
}

export interface StructureDefinitionDifferential {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly element: readonly ElementDefinition[]
}

export interface SubscriptionChannel {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly type: SubscriptionChannelTypeCode
  readonly _type?: Element
  readonly endpoint?: string
  readonly _endpoint?: Element
  readonly payload?: string
  readonly _payload?: Element
  readonly header?: readonly (string | null)[]
  readonly _header?: readonly (Element | null)[]
}

export interface TaskRestriction {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly repetitions?: number
  readonly _repetitions?: Element
  readonly period?: Period
  readonly recipient?: readonly Reference[]
}

export interface TaskInput {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly type: CodeableConcept
  readonly valueBase64Binary?: string
  readonly _valueBase64Binary?: Element
  readonly valueBoolean?: boolean
  readonly _valueBoolean?: Element
  readonly valueCanonical?: string
  readonly _valueCanonical?: Element
  readonly valueCode?: string
  readonly _valueCode?: Element
  readonly valueDate?: string
  readonly _valueDate?: Element
  readonly valueDateTime?: string
  readonly _valueDateTime?: Element
  readonly valueDecimal?: Decimal
  readonly _valueDecimal?: Element
  readonly valueId?: string
  readonly _valueId?: Element
  readonly valueInstant?: string
  readonly _valueInstant?: Element
  readonly valueInteger?: number
  readonly _valueInteger?: Element
  readonly valueMarkdown?: string
  readonly _valueMarkdown?: Element
  readonly valueOid?: string
  readonly _valueOid?: Element
  readonly valuePositiveInt?: number
  readonly _valuePositiveInt?: Element
  readonly valueString?: string
  readonly _valueString?: Element
  readonly valueTime?: string
  readonly _valueTime?: Element
  readonly valueUnsignedInt?: number
  readonly _valueUnsignedInt?: Element
  readonly valueUri?: string
  readonly _valueUri?: Element
  readonly valueUrl?: string
  readonly _valueUrl?: Element
  readonly valueUuid?: string
  readonly _valueUuid?: Element
  readonly valueAddress?: Address
  readonly valueAge?: Age
  readonly valueAnnotation?: Annotation
  readonly valueAttachment?: Attachment
  readonly valueCodeableConcept?: CodeableConcept
  readonly valueCoding?: Coding
  readonly valueContactPoint?: ContactPoint
  readonly valueCount?: Count
  readonly valueDistance?: Distance
  readonly valueDuration?: Duration
  readonly valueHumanName?: HumanName
  readonly valueIdentifier?: Identifier
  readonly valueMoney?: Money
  readonly valuePeriod?: Period
  readonly valueQuantity?: Quantity
  readonly valueRange?: Range
  readonly valueRatio?: Ratio
  readonly valueReference?: Reference
  readonly valueSampledData?: SampledData
  readonly valueSignature?: Signature
  readonly valueTiming?: Timing
  readonly valueContactDetail?: ContactDetail
  readonly valueContributor?: Contributor
  readonly valueDataRequirement?: DataRequirement
  readonly valueExpression?: Expression
  readonly valueParameterDefinition?: ParameterDefinition
  readonly valueRelatedArtifact?: RelatedArtifact
  readonly valueTriggerDefinition?: TriggerDefinition
  readonly valueUsageContext?: UsageContext
  readonly valueDosage?: Dosage
  readonly valueMeta?: Meta
}

export interface TaskOutput {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly type: CodeableConcept
  readonly valueBase64Binary?: string
  readonly _valueBase64Binary?: Element
  readonly valueBoolean?: boolean
  readonly _valueBoolean?: Element
  readonly valueCanonical?: string
  readonly _valueCanonical?: Element
  readonly valueCode?: string
  readonly _valueCode?: Element
  readonly valueDate?: string
  readonly _valueDate?: Element
  readonly valueDateTime?: string
  readonly _valueDateTime?: Element
  readonly valueDecimal?: Decimal
  readonly _valueDecimal?: Element
  readonly valueId?: string
  readonly _valueId?: Element
  readonly valueInstant?: string
  readonly _valueInstant?: Element
  readonly valueInteger?: number
  readonly _valueInteger?: Element
  readonly valueMarkdown?: string
  readonly _valueMarkdown?: Element
  readonly valueOid?: string
  readonly _valueOid?: Element
  readonly valuePositiveInt?: number
  readonly _valuePositiveInt?: Element
  readonly valueString?: string
  readonly _valueString?: Element
  readonly valueTime?: string
  readonly _valueTime?: Element
  readonly valueUnsignedInt?: number
  readonly _valueUnsignedInt?: Element
  readonly valueUri?: string
  readonly _valueUri?: Element
  readonly valueUrl?: string
  readonly _valueUrl?: Element
  readonly valueUuid?: string
  readonly _valueUuid?: Element
  readonly valueAddress?: Address
  readonly valueAge?: Age
  readonly valueAnnotation?: Annotation
  readonly valueAttachment?: Attachment
  readonly valueCodeableConcept?: CodeableConcept
  readonly valueCoding?: Coding
  readonly valueContactPoint?: ContactPoint
  readonly valueCount?: Count
  readonly valueDistance?: Distance
  readonly valueDuration?: Duration
  readonly valueHumanName?: HumanName
  readonly valueIdentifier?: Identifier
  readonly valueMoney?: Money
  readonly valuePeriod?: Period
  readonly valueQuantity?: Quantity
  readonly valueRange?: Range
  readonly valueRatio?: Ratio
  readonly valueReference?: Reference
  readonly valueSampledData?: SampledData
  readonly valueSignature?: Signature
  readonly valueTiming?: Timing
  readonly valueContactDetail?: ContactDetail
  readonly valueContributor?: Contributor
  readonly valueDataRequirement?: DataRequirement
  readonly valueExpression?: Expression
  readonly valueParameterDefinition?: ParameterDefinition
  readonly valueRelatedArtifact?: RelatedArtifact
  readonly valueTriggerDefinition?: TriggerDefinition
  readonly valueUsageContext?: UsageContext
  readonly valueDosage?: Dosage
  readonly valueMeta?: Meta
}

export interface ValueSetCompose {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly lockedDate?: string
  readonly _lockedDate?: Element
  readonly inactive?: boolean
  readonly _inactive?: Element
  readonly include: readonly ValueSetComposeInclude[]
  readonly exclude?: readonly ValueSetComposeInclude[]
}

export interface ValueSetExpansion {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly identifier?: string
  readonly _identifier?: Element
  readonly timestamp: string
  readonly _timestamp?: Element
  readonly total?: number
  readonly _total?: Element
  readonly offset?: number
  readonly _offset?: Element
  readonly parameter?: readonly ValueSetExpansionParameter[]
  readonly contains?: readonly ValueSetExpansionContains[]
}

export interface Count {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly value?: Decimal
  readonly _value?: Element
  readonly comparator?: QuantityComparatorCode
  readonly _comparator?: Element
  readonly unit?: string
  readonly _unit?: Element
  readonly system?: string
  readonly _system?: Element
  readonly code?: string
  readonly _code?: Element
}

export interface Distance {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly value?: Decimal
  readonly _value?: Element
  readonly comparator?: QuantityComparatorCode
  readonly _comparator?: Element
  readonly unit?: string
  readonly _unit?: Element
  readonly system?: string
  readonly _system?: Element
  readonly code?: string
  readonly _code?: Element
}

export interface Money {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly value?: Decimal
  readonly _value?: Element
  readonly currency?: CurrenciesCode
  readonly _currency?: Element
}

export interface Contributor {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly type: ContributorTypeCode
  readonly _type?: Element
  readonly name: string
  readonly _name?: Element
  readonly contact?: readonly ContactDetail[]
}

export interface Expression {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly description?: string
  readonly _description?: Element
  readonly name?: string
  readonly _name?: Element
  readonly language: string
  readonly _language?: Element
  readonly expression?: string
  readonly _expression?: Element
  readonly reference?: string
  readonly _reference?: Element
}

export interface TriggerDefinition {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly type: TriggerTypeCode
  readonly _type?: Element
  readonly name?: string
  readonly _name?: Element
  readonly timingTiming?: Timing
  readonly timingReference?: Reference
  readonly timingDate?: string
  readonly _timingDate?: Element
  readonly timingDateTime?: string
  readonly _timingDateTime?: Element
  readonly data?: readonly DataRequirement[]
  readonly condition?: Expression
}

export interface TimingRepeat {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly boundsDuration?: Duration
  readonly boundsRange?: Range
  readonly boundsPeriod?: Period
  readonly count?: number
  readonly _count?: Element
  readonly countMax?: number
  readonly _countMax?: Element
  readonly duration?: Decimal
  readonly _duration?: Element
  readonly durationMax?: Decimal
  readonly _durationMax?: Element
  readonly durationUnit?: UnitsOfTimeCode
  readonly _durationUnit?: Element
  readonly frequency?: number
  readonly _frequency?: Element
  readonly frequencyMax?: number
  readonly _frequencyMax?: Element
  readonly period?: Decimal
  readonly _period?: Element
  readonly periodMax?: Decimal
  readonly _periodMax?: Element
  readonly periodUnit?: UnitsOfTimeCode
  readonly _periodUnit?: Element
  readonly dayOfWeek?: readonly (DaysOfWeekCode | null)[]
  readonly _dayOfWeek?: readonly (Element | null)[]
  readonly timeOfDay?: readonly (string | null)[]
  readonly _timeOfDay?: readonly (Element | null)[]
  readonly when?: readonly (EventTimingCode | null)[]
  readonly _when?: readonly (Element | null)[]
  readonly offset?: number
  readonly _offset?: Element
}

export interface DosageDoseAndRate {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly type?: CodeableConcept
  readonly doseRange?: Range
  readonly doseQuantity?: Quantity
  readonly rateRatio?: Ratio
  readonly rateRange?: Range
  readonly rateQuantity?: Quantity
}

export interface AuditEventAgentNetwork {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly address?: string
  readonly _address?: Element
  readonly type?: NetworkTypeCode
  readonly _type?: Element
}

export interface AuditEventEntityDetail {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly type: string
  readonly _type?: Element
  readonly valueString?: string
  readonly _valueString?: Element
  readonly valueBase64Binary?: string
  readonly _valueBase64Binary?: Element
}

export interface BundleEntrySearch {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly mode?: SearchEntryModeCode
  readonly _mode?: Element
  readonly score?: Decimal
  readonly _score?: Element
}

export interface BundleEntryRequest {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly method: HttpVerbCode
  readonly _method?: Element
  readonly url: string
  readonly _url?: Element
  readonly ifNoneMatch?: string
  readonly _ifNoneMatch?: Element
  readonly ifModifiedSince?: string
  readonly _ifModifiedSince?: Element
  readonly ifMatch?: string
  readonly _ifMatch?: Element
  readonly ifNoneExist?: string
  readonly _ifNoneExist?: Element
}

export interface BundleEntryResponse {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly status: string
  readonly _status?: Element
  readonly location?: string
  readonly _location?: Element
  readonly etag?: string
  readonly _etag?: Element
  readonly lastModified?: string
  readonly _lastModified?: Element
  readonly outcome?: AnyResource
}

export interface CapabilityStatementRestSecurity {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly cors?: boolean
  readonly _cors?: Element
  readonly service?: readonly CodeableConcept[]
  readonly description?: string
  readonly _description?: Element
}

export interface CapabilityStatementRestResource {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly type: ResourceTypesCode
  readonly _type?: Element
  readonly profile?: string
  readonly _profile?: Element
  readonly supportedProfile?: readonly (string | null)[]
  readonly _supportedProfile?: readonly (Element | null)[]
  readonly documentation?: string
  readonly _documentation?: Element
  readonly interaction?: readonly CapabilityStatementRestResourceInteraction[]
  readonly versioning?: VersioningPolicyCode
  readonly _versioning?: Element
  readonly readHistory?: boolean
  readonly _readHistory?: Element
  readonly updateCreate?: boolean
  readonly _updateCreate?: Element
  readonly conditionalCreate?: boolean
  readonly _conditionalCreate?: Element
  readonly conditionalRead?: ConditionalReadStatusCode
  readonly _conditionalRead?: Element
  readonly conditionalUpdate?: boolean
  readonly _conditionalUpdate?: Element
  readonly conditionalDelete?: ConditionalDeleteStatusCode
  readonly _conditionalDelete?: Element
  readonly referencePolicy?: readonly (ReferenceHandlingPolicyCode | null)[]
  readonly _referencePolicy?: readonly (Element | null)[]
  readonly searchInclude?: readonly (string | null)[]
  readonly _searchInclude?: readonly (Element | null)[]
  readonly searchRevInclude?: readonly (string | null)[]
  readonly _searchRevInclude?: readonly (Element | null)[]
  readonly searchParam?: readonly CapabilityStatementRestResourceSearchParam[]
  readonly operation?: readonly CapabilityStatementRestResourceOperation[]
}

export interface CapabilityStatementRestInteraction {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly code: SystemRestfulInteractionCode
  readonly _code?: Element
  readonly documentation?: string
  readonly _documentation?: Element
}

export interface CapabilityStatementRestResourceSearchParam {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly name: string
  readonly _name?: Element
  readonly definition?: string
  readonly _definition?: Element
  readonly type: SearchParamTypeCode
  readonly _type?: Element
  readonly documentation?: string
  readonly _documentation?: Element
}

export interface CapabilityStatementRestResourceOperation {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly name: string
  readonly _name?: Element
  readonly definition: string
  readonly _definition?: Element
  readonly documentation?: string
  readonly _documentation?: Element
}

export interface CapabilityStatementMessagingEndpoint {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly protocol: Coding
  readonly address: string
  readonly _address?: Element
}

export interface CapabilityStatementMessagingSupportedMessage {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly mode: EventCapabilityModeCode
  readonly _mode?: Element
  readonly definition: string
  readonly _definition?: Element
}

export interface CarePlanActivityDetail {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly kind?: CarePlanActivityKindCode
  readonly _kind?: Element
  readonly instantiatesCanonical?: readonly (string | null)[]
  readonly _instantiatesCanonical?: readonly (Element | null)[]
  readonly instantiatesUri?: readonly (string | null)[]
  readonly _instantiatesUri?: readonly (Element | null)[]
  readonly code?: CodeableConcept
  readonly reasonCode?: readonly CodeableConcept[]
  readonly reasonReference?: readonly Reference[]
  readonly goal?: readonly Reference[]
  readonly status: CarePlanActivityStatusCode
  readonly _status?: Element
  readonly statusReason?: CodeableConcept
  readonly doNotPerform?: boolean
  readonly _doNotPerform?: Element
  readonly scheduledTiming?: Timing
  readonly scheduledPeriod?: Period
  readonly scheduledString?: string
  readonly _scheduledString?: Element
  readonly location?: Reference
  readonly performer?: readonly Reference[]
  readonly productCodeableConcept?: CodeableConcept
  readonly productReference?: Reference
  readonly dailyAmount?: Quantity
  readonly quantity?: Quantity
  readonly description?: string
  readonly _description?: Element
}

export interface CodeSystemConceptDesignation {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly language?: string
  readonly _language?: Element
  readonly use?: Coding
  readonly value: string
  readonly _value?: Element
}

export interface CodeSystemConceptProperty {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly code: string
  readonly _code?: Element
  readonly valueCode?: string
  readonly _valueCode?: Element
  readonly valueCoding?: Coding
  readonly valueString?: string
  readonly _valueString?: Element
  readonly valueInteger?: number
  readonly _valueInteger?: Element
  readonly valueBoolean?: boolean
  readonly _valueBoolean?: Element
  readonly valueDateTime?: string
  readonly _valueDateTime?: Element
  readonly valueDecimal?: Decimal
  readonly _valueDecimal?: Element
}

export interface ConsentProvisionActor {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly role: CodeableConcept
  readonly reference: Reference
}

export interface ConsentProvisionData {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly meaning: ConsentDataMeaningCode
  readonly _meaning?: Element
  readonly reference: Reference
}

export interface CoverageCostToBeneficiaryException {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly type: CodeableConcept
  readonly period?: Period
}

export interface DataRequirementCodeFilter {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly path?: string
  readonly _path?: Element
  readonly searchParam?: string
  readonly _searchParam?: Element
  readonly valueSet?: string
  readonly _valueSet?: Element
  readonly code?: readonly Coding[]
}

export interface DataRequirementDateFilter {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly path?: string
  readonly _path?: Element
  readonly searchParam?: string
  readonly _searchParam?: Element
  readonly valueDateTime?: string
  readonly _valueDateTime?: Element
  readonly valuePeriod?: Period
  readonly valueDuration?: Duration
}

export interface DataRequirementSort {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly path: string
  readonly _path?: Element
  readonly direction: SortDirectionCode
  readonly _direction?: Element
}

export interface MeasureReportGroupPopulation {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly code?: CodeableConcept
  readonly count?: number
  readonly _count?: Element
  readonly subjectResults?: Reference
}

export interface MeasureReportGroupStratifier {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly code?: readonly CodeableConcept[]
  readonly stratum?: readonly MeasureReportGroupStratifierStratum[]
}

export interface OperationDefinitionParameterBinding {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly strength: BindingStrengthCode
  readonly _strength?: Element
  readonly valueSet: string
  readonly _valueSet?: Element
}

export interface OperationDefinitionParameterReferencedFrom {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly source: string
  readonly _source?: Element
  readonly sourceId?: string
  readonly _sourceId?: Element
}

export interface PlanDefinitionGoalTarget {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly measure?: CodeableConcept
  readonly detailQuantity?: Quantity
  readonly detailRange?: Range
  readonly detailCodeableConcept?: CodeableConcept
  readonly due?: Duration
}

export interface PlanDefinitionActionCondition {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly kind: ActionConditionKindCode
  readonly _kind?: Element
  readonly expression?: Expression
}

export interface PlanDefinitionActionRelatedAction {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly actionId: string
  readonly _actionId?: Element
  readonly relationship: ActionRelationshipTypeCode
  readonly _relationship?: Element
  readonly offsetDuration?: Duration
  readonly offsetRange?: Range
}

export interface PlanDefinitionActionParticipant {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly type: ActionParticipantTypeCode
  readonly _type?: Element
  readonly role?: CodeableConcept
}

export interface PlanDefinitionActionDynamicValue {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly path?: string
  readonly _path?: Element
  readonly expression?: Expression
}

export interface QuestionnaireItemEnableWhen {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly question: string
  readonly _question?: Element
  readonly operator: QuestionnaireEnableOperatorCode
  readonly _operator?: Element
  readonly answerBoolean?: boolean
  readonly _answerBoolean?: Element
  readonly answerDecimal?: Decimal
  readonly _answerDecimal?: Element
  readonly answerInteger?: number
  readonly _answerInteger?: Element
  readonly answerDate?: string
  readonly _answerDate?: Element
  readonly answerDateTime?: string
  readonly _answerDateTime?: Element
  readonly answerTime?: string
  readonly _answerTime?: Element
  readonly answerString?: string
  readonly _answerString?: Element
  readonly answerCoding?: Coding
  readonly answerQuantity?: Quantity
  readonly answerReference?: Reference
}

export interface QuestionnaireItemAnswerOption {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly valueInteger?: number
  readonly _valueInteger?: Element
  readonly valueDate?: string
  readonly _valueDate?: Element
  readonly valueTime?: string
  readonly _valueTime?: Element
  readonly valueString?: string
  readonly _valueString?: Element
  readonly valueCoding?: Coding
  readonly valueReference?: Reference
  readonly initialSelected?: boolean
  readonly _initialSelected?: Element
}

export interface QuestionnaireItemInitial {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly valueBoolean?: boolean
  readonly _valueBoolean?: Element
  readonly valueDecimal?: Decimal
  readonly _valueDecimal?: Element
  readonly valueInteger?: number
  readonly _valueInteger?: Element
  readonly valueDate?: string
  readonly _valueDate?: Element
  readonly valueDateTime?: string
  readonly _valueDateTime?: Element
  readonly valueTime?: string
  readonly _valueTime?: Element
  readonly valueString?: string
  readonly _valueString?: Element
  readonly valueUri?: string
  readonly _valueUri?: Element
  readonly valueAttachment?: Attachment
  readonly valueCoding?: Coding
  readonly valueQuantity?: Quantity
  readonly valueReference?: Reference
}

export interface QuestionnaireResponseItemAnswer {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly valueBoolean?: boolean
  readonly _valueBoolean?: Element
  readonly valueDecimal?: Decimal
  readonly _valueDecimal?: Element
  readonly valueInteger?: number
  readonly _valueInteger?: Element
  readonly valueDate?: string
  readonly _valueDate?: Element
  readonly valueDateTime?: string
  readonly _valueDateTime?: Element
  readonly valueTime?: string
  readonly _valueTime?: Element
  readonly valueString?: string
  readonly _valueString?: Element
  readonly valueUri?: string
  readonly _valueUri?: Element
  readonly valueAttachment?: Attachment
  readonly valueCoding?: Coding
  readonly valueQuantity?: Quantity
  readonly valueReference?: Reference
  readonly item?: readonly QuestionnaireResponseItem[]
}

export interface ElementDefinition {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly path: string
  readonly _path?: Element
  readonly representation?: readonly (PropertyRepresentationCode | null)[]
  readonly _representation?: readonly (Element | null)[]
  readonly sliceName?: string
  readonly _sliceName?: Element
  readonly sliceIsConstraining?: boolean
  readonly _sliceIsConstraining?: Element
  readonly label?: string
  readonly _label?: Element
  readonly code?: readonly Coding[]
  readonly slicing?: ElementDefinitionSlicing
  readonly short?: string
  readonly _short?: Element
  readonly definition?: string
  readonly _definition?: Element
  readonly comment?: string
  readonly _comment?: Element
  readonly requirements?: string
  readonly _requirements?: Element
  readonly alias?: readonly (string | null)[]
  readonly _alias?: readonly (Element | null)[]
  readonly min?: number
  readonly _min?: Element
  readonly max?: string
  readonly _max?: Element
  readonly base?: ElementDefinitionBase
  readonly contentReference?: string
  readonly _contentReference?: Element
  readonly type?: readonly ElementDefinitionType[]
  readonly defaultValueBase64Binary?: string
  readonly _defaultValueBase64Binary?: Element
  readonly defaultValueBoolean?: boolean
  readonly _defaultValueBoolean?: Element
  readonly defaultValueCanonical?: string
  readonly _defaultValueCanonical?: Element
  readonly defaultValueCode?: string
  readonly _defaultValueCode?: Element
  readonly defaultValueDate?: string
  readonly _defaultValueDate?: Element
  readonly defaultValueDateTime?: string
  readonly _defaultValueDateTime?: Element
  readonly defaultValueDecimal?: Decimal
  readonly _defaultValueDecimal?: Element
  readonly defaultValueId?: string
  readonly _defaultValueId?: Element
  readonly defaultValueInstant?: string
  readonly _defaultValueInstant?: Element
  readonly defaultValueInteger?: number
  readonly _defaultValueInteger?: Element
  readonly defaultValueMarkdown?: string
  readonly _defaultValueMarkdown?: Element
  readonly defaultValueOid?: string
  readonly _defaultValueOid?: Element
  readonly defaultValuePositiveInt?: number
  readonly _defaultValuePositiveInt?: Element
  readonly defaultValueString?: string
  readonly _defaultValueString?: Element
  readonly defaultValueTime?: string
  readonly _defaultValueTime?: Element
  readonly defaultValueUnsignedInt?: number
  readonly _defaultValueUnsignedInt?: Element
  readonly defaultValueUri?: string
  readonly _defaultValueUri?: Element
  readonly defaultValueUrl?: string
  readonly _defaultValueUrl?: Element
  readonly defaultValueUuid?: string
  readonly _defaultValueUuid?: Element
  readonly defaultValueAddress?: Address
  readonly defaultValueAge?: Age
  readonly defaultValueAnnotation?: Annotation
  readonly defaultValueAttachment?: Attachment
  readonly defaultValueCodeableConcept?: CodeableConcept
  readonly defaultValueCoding?: Coding
  readonly defaultValueContactPoint?: ContactPoint
  readonly defaultValueCount?: Count
  readonly defaultValueDistance?: Distance
  readonly defaultValueDuration?: Duration
  readonly defaultValueHumanName?: HumanName
  readonly defaultValueIdentifier?: Identifier
  readonly defaultValueMoney?: Money
  readonly defaultValuePeriod?: Period
  readonly defaultValueQuantity?: Quantity
  readonly defaultValueRange?: Range
  readonly defaultValueRatio?: Ratio
  readonly defaultValueReference?: Reference
  readonly defaultValueSampledData?: SampledData
  readonly defaultValueSignature?: Signature
  readonly defaultValueTiming?: Timing
  readonly defaultValueContactDetail?: ContactDetail
  readonly defaultValueContributor?: Contributor
  readonly defaultValueDataRequirement?: DataRequirement
  readonly defaultValueExpression?: Expression
  readonly defaultValueParameterDefinition?: ParameterDefinition
  readonly defaultValueRelatedArtifact?: RelatedArtifact
  readonly defaultValueTriggerDefinition?: TriggerDefinition
  readonly defaultValueUsageContext?: UsageContext
  readonly defaultValueDosage?: Dosage
  readonly defaultValueMeta?: Meta
  readonly meaningWhenMissing?: string
  readonly _meaningWhenMissing?: Element
  readonly orderMeaning?: string
  readonly _orderMeaning?: Element
  readonly fixedBase64Binary?: string
  readonly _fixedBase64Binary?: Element
  readonly fixedBoolean?: boolean
  readonly _fixedBoolean?: Element
  readonly fixedCanonical?: string
  readonly _fixedCanonical?: Element
  readonly fixedCode?: string
  readonly _fixedCode?: Element
  readonly fixedDate?: string
  readonly _fixedDate?: Element
  readonly fixedDateTime?: string
  readonly _fixedDateTime?: Element
  readonly fixedDecimal?: Decimal
  readonly _fixedDecimal?: Element
  readonly fixedId?: string
  readonly _fixedId?: Element
  readonly fixedInstant?: string
  readonly _fixedInstant?: Element
  readonly fixedInteger?: number
  readonly _fixedInteger?: Element
  readonly fixedMarkdown?: string
  readonly _fixedMarkdown?: Element
  readonly fixedOid?: string
  readonly _fixedOid?: Element
  readonly fixedPositiveInt?: number
  readonly _fixedPositiveInt?: Element
  readonly fixedString?: string
  readonly _fixedString?: Element
  readonly fixedTime?: string
  readonly _fixedTime?: Element
  readonly fixedUnsignedInt?: number
  readonly _fixedUnsignedInt?: Element
  readonly fixedUri?: string
  readonly _fixedUri?: Element
  readonly fixedUrl?: string
  readonly _fixedUrl?: Element
  readonly fixedUuid?: string
  readonly _fixedUuid?: Element
  readonly fixedAddress?: Address
  readonly fixedAge?: Age
  readonly fixedAnnotation?: Annotation
  readonly fixedAttachment?: Attachment
  readonly fixedCodeableConcept?: CodeableConcept
  readonly fixedCoding?: Coding
  readonly fixedContactPoint?: ContactPoint
  readonly fixedCount?: Count
  readonly fixedDistance?: Distance
  readonly fixedDuration?: Duration
  readonly fixedHumanName?: HumanName
  readonly fixedIdentifier?: Identifier
  readonly fixedMoney?: Money
  readonly fixedPeriod?: Period
  readonly fixedQuantity?: Quantity
  readonly fixedRange?: Range
  readonly fixedRatio?: Ratio
  readonly fixedReference?: Reference
  readonly fixedSampledData?: SampledData
  readonly fixedSignature?: Signature
  readonly fixedTiming?: Timing
  readonly fixedContactDetail?: ContactDetail
  readonly fixedContributor?: Contributor
  readonly fixedDataRequirement?: DataRequirement
  readonly fixedExpression?: Expression
  readonly fixedParameterDefinition?: ParameterDefinition
  readonly fixedRelatedArtifact?: RelatedArtifact
  readonly fixedTriggerDefinition?: TriggerDefinition
  readonly fixedUsageContext?: UsageContext
  readonly fixedDosage?: Dosage
  readonly fixedMeta?: Meta
  readonly patternBase64Binary?: string
  readonly _patternBase64Binary?: Element
  readonly patternBoolean?: boolean
  readonly _patternBoolean?: Element
  readonly patternCanonical?: string
  readonly _patternCanonical?: Element
  readonly patternCode?: string
  readonly _patternCode?: Element
  readonly patternDate?: string
  readonly _patternDate?: Element
  readonly patternDateTime?: string
  readonly _patternDateTime?: Element
  readonly patternDecimal?: Decimal
  readonly _patternDecimal?: Element
  readonly patternId?: string
  readonly _patternId?: Element
  readonly patternInstant?: string
  readonly _patternInstant?: Element
  readonly patternInteger?: number
  readonly _patternInteger?: Element
  readonly patternMarkdown?: string
  readonly _patternMarkdown?: Element
  readonly patternOid?: string
  readonly _patternOid?: Element
  readonly patternPositiveInt?: number
  readonly _patternPositiveInt?: Element
  readonly patternString?: string
  readonly _patternString?: Element
  readonly patternTime?: string
  readonly _patternTime?: Element
  readonly patternUnsignedInt?: number
  readonly _patternUnsignedInt?: Element
  readonly patternUri?: string
  readonly _patternUri?: Element
  readonly patternUrl?: string
  readonly _patternUrl?: Element
  readonly patternUuid?: string
  readonly _patternUuid?: Element
  readonly patternAddress?: Address
  readonly patternAge?: Age
  readonly patternAnnotation?: Annotation
  readonly patternAttachment?: Attachment
  readonly patternCodeableConcept?: CodeableConcept
  readonly patternCoding?: Coding
  readonly patternContactPoint?: ContactPoint
  readonly patternCount?: Count
  readonly patternDistance?: Distance
  readonly patternDuration?: Duration
  readonly patternHumanName?: HumanName
  readonly patternIdentifier?: Identifier
  readonly patternMoney?: Money
  readonly patternPeriod?: Period
  readonly patternQuantity?: Quantity
  readonly patternRange?: Range
  readonly patternRatio?: Ratio
  readonly patternReference?: Reference
  readonly patternSampledData?: SampledData
  readonly patternSignature?: Signature
  readonly patternTiming?: Timing
  readonly patternContactDetail?: ContactDetail
  readonly patternContributor?: Contributor
  readonly patternDataRequirement?: DataRequirement
  readonly patternExpression?: Expression
  readonly patternParameterDefinition?: ParameterDefinition
  readonly patternRelatedArtifact?: RelatedArtifact
  readonly patternTriggerDefinition?: TriggerDefinition
  readonly patternUsageContext?: UsageContext
  readonly patternDosage?: Dosage
  readonly patternMeta?: Meta
  readonly example?: readonly ElementDefinitionExample[]
  readonly minValueDate?: string
  readonly _minValueDate?: Element
  readonly minValueDateTime?: string
  readonly _minValueDateTime?: Element
  readonly minValueInstant?: string
  readonly _minValueInstant?: Element
  readonly minValueTime?: string
  readonly _minValueTime?: Element
  readonly minValueDecimal?: Decimal
  readonly _minValueDecimal?: Element
  readonly minValueInteger?: number
  readonly _minValueInteger?: Element
  readonly minValuePositiveInt?: number
  readonly _minValuePositiveInt?: Element
  readonly minValueUnsignedInt?: number
  readonly _minValueUnsignedInt?: Element
  readonly minValueQuantity?: Quantity
  readonly maxValueDate?: string
  readonly _maxValueDate?: Element
  readonly maxValueDateTime?: string
  readonly _maxValueDateTime?: Element
  readonly maxValueInstant?: string
  readonly _maxValueInstant?: Element
  readonly maxValueTime?: string
  readonly _maxValueTime?: Element
  readonly maxValueDecimal?: Decimal
  readonly _maxValueDecimal?: Element
  readonly maxValueInteger?: number
  readonly _maxValueInteger?: Element
  readonly maxValuePositiveInt?: number
  readonly _maxValuePositiveInt?: Element
  readonly maxValueUnsignedInt?: number
  readonly _maxValueUnsignedInt?: Element
  readonly maxValueQuantity?: Quantity
  readonly maxLength?: number
  readonly _maxLength?: Element
  readonly condition?: readonly (string | null)[]
  readonly _condition?: readonly (Element | null)[]
  readonly constraint?: readonly ElementDefinitionConstraint[]
  readonly mustSupport?: boolean
  readonly _mustSupport?: Element
  readonly isModifier?: boolean
  readonly _isModifier?: Element
  readonly isModifierReason?: string
  readonly _isModifierReason?: Element
  readonly isSummary?: boolean
  readonly _isSummary?: Element
  readonly binding?: ElementDefinitionBinding
  readonly mapping?: readonly ElementDefinitionMapping[]
}

export interface ValueSetComposeInclude {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly system?: string
  readonly _system?: Element
  readonly version?: string
  readonly _version?: Element
  readonly concept?: readonly ValueSetComposeIncludeConcept[]
  readonly filter?: readonly ValueSetComposeIncludeFilter[]
  readonly valueSet?: readonly (string | null)[]
  readonly _valueSet?: readonly (Element | null)[]
}

export interface ValueSetExpansionParameter {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly name: string
  readonly _name?: Element
  readonly valueString?: string
  readonly _valueString?: Element
  readonly valueBoolean?: boolean
  readonly _valueBoolean?: Element
  readonly valueInteger?: number
  readonly _valueInteger?: Element
  readonly valueDecimal?: Decimal
  readonly _valueDecimal?: Element
  readonly valueUri?: string
  readonly _valueUri?: Element
  readonly valueCode?: string
  readonly _valueCode?: Element
  readonly valueDateTime?: string
  readonly _valueDateTime?: Element
}

export interface ValueSetExpansionContains {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly system?: string
  readonly _system?: Element
  readonly abstract?: boolean
  readonly _abstract?: Element
  readonly inactive?: boolean
  readonly _inactive?: Element
  readonly version?: string
  readonly _version?: Element
  readonly code?: string
  readonly _code?: Element
  readonly display?: string
  readonly _display?: Element
  readonly designation?: readonly ValueSetComposeIncludeConceptDesignation[]
  readonly contains?: readonly ValueSetExpansionContains[]
}

export interface CapabilityStatementRestResourceInteraction {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly code: TypeRestfulInteractionCode
  readonly _code?: Element
  readonly documentation?: string
  readonly _documentation?: Element
}

export interface MeasureReportGroupStratifierStratum {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly value?: CodeableConcept
  readonly component?: readonly MeasureReportGroupStratifierStratumComponent[]
  readonly population?: readonly MeasureReportGroupStratifierStratumPopulation[]
  readonly measureScore?: Quantity
}

export interface ElementDefinitionSlicing {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly discriminator?: readonly ElementDefinitionSlicingDiscriminator[]
  readonly description?: string
  readonly _description?: Element
  readonly ordered?: boolean
  readonly _ordered?: Element
  readonly rules: ResourceSlicingRulesCode
  readonly _rules?: Element
}

export interface ElementDefinitionBase {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly path: string
  readonly _path?: Element
  readonly min: number
  readonly _min?: Element
  readonly max: string
  readonly _max?: Element
}

export interface ElementDefinitionType {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly code: string
  readonly _code?: Element
  readonly profile?: readonly (string | null)[]
  readonly _profile?: readonly (Element | null)[]
  readonly targetProfile?: readonly (string | null)[]
  readonly _targetProfile?: readonly (Element | null)[]
  readonly aggregation?: readonly (ResourceAggregationModeCode | null)[]
  readonly _aggregation?: readonly (Element | null)[]
  readonly versioning?: ReferenceVersionRulesCode
  readonly _versioning?: Element
}

export interface ElementDefinitionExample {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly label: string
  readonly _label?: Element
  readonly valueBase64Binary?: string
  readonly _valueBase64Binary?: Element
  readonly valueBoolean?: boolean
  readonly _valueBoolean?: Element
  readonly valueCanonical?: string
  readonly _valueCanonical?: Element
  readonly valueCode?: string
  readonly _valueCode?: Element
  readonly valueDate?: string
  readonly _valueDate?: Element
  readonly valueDateTime?: string
  readonly _valueDateTime?: Element
  readonly valueDecimal?: Decimal
  readonly _valueDecimal?: Element
  readonly valueId?: string
  readonly _valueId?: Element
  readonly valueInstant?: string
  readonly _valueInstant?: Element
  readonly valueInteger?: number
  readonly _valueInteger?: Element
  readonly valueMarkdown?: string
  readonly _valueMarkdown?: Element
  readonly valueOid?: string
  readonly _valueOid?: Element
  readonly valuePositiveInt?: number
  readonly _valuePositiveInt?: Element
  readonly valueString?: string
  readonly _valueString?: Element
  readonly valueTime?: string
  readonly _valueTime?: Element
  readonly valueUnsignedInt?: number
  readonly _valueUnsignedInt?: Element
  readonly valueUri?: string
  readonly _valueUri?: Element
  readonly valueUrl?: string
  readonly _valueUrl?: Element
  readonly valueUuid?: string
  readonly _valueUuid?: Element
  readonly valueAddress?: Address
  readonly valueAge?: Age
  readonly valueAnnotation?: Annotation
  readonly valueAttachment?: Attachment
  readonly valueCodeableConcept?: CodeableConcept
  readonly valueCoding?: Coding
  readonly valueContactPoint?: ContactPoint
  readonly valueCount?: Count
  readonly valueDistance?: Distance
  readonly valueDuration?: Duration
  readonly valueHumanName?: HumanName
  readonly valueIdentifier?: Identifier
  readonly valueMoney?: Money
  readonly valuePeriod?: Period
  readonly valueQuantity?: Quantity
  readonly valueRange?: Range
  readonly valueRatio?: Ratio
  readonly valueReference?: Reference
  readonly valueSampledData?: SampledData
  readonly valueSignature?: Signature
  readonly valueTiming?: Timing
  readonly valueContactDetail?: ContactDetail
  readonly valueContributor?: Contributor
  readonly valueDataRequirement?: DataRequirement
  readonly valueExpression?: Expression
  readonly valueParameterDefinition?: ParameterDefinition
  readonly valueRelatedArtifact?: RelatedArtifact
  readonly valueTriggerDefinition?: TriggerDefinition
  readonly valueUsageContext?: UsageContext
  readonly valueDosage?: Dosage
  readonly valueMeta?: Meta
}

export interface ElementDefinitionConstraint {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly key: string
  readonly _key?: Element
  readonly requirements?: string
  readonly _requirements?: Element
  readonly severity: ConstraintSeverityCode
  readonly _severity?: Element
  readonly human: string
  readonly _human?: Element
  readonly expression?: string
  readonly _expression?: Element
  readonly xpath?: string
  readonly _xpath?: Element
  readonly source?: string
  readonly _source?: Element
}

export interface ElementDefinitionBinding {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly strength: BindingStrengthCode
  readonly _strength?: Element
  readonly description?: string
  readonly _description?: Element
  readonly valueSet?: string
  readonly _valueSet?: Element
}

export interface ElementDefinitionMapping {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly identity: string
  readonly _identity?: Element
  readonly language?: string
  readonly _language?: Element
  readonly map: string
  readonly _map?: Element
  readonly comment?: string
  readonly _comment?: Element
}

export interface ValueSetComposeIncludeConcept {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly code: string
  readonly _code?: Element
  readonly display?: string
  readonly _display?: Element
  readonly designation?: readonly ValueSetComposeIncludeConceptDesignation[]
}

export interface ValueSetComposeIncludeFilter {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly property: string
  readonly _property?: Element
  readonly op: FilterOperatorCode
  readonly _op?: Element
  readonly value: string
  readonly _value?: Element
}

export interface ValueSetComposeIncludeConceptDesignation {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly language?: string
  readonly _language?: Element
  readonly use?: Coding
  readonly value: string
  readonly _value?: Element
}

export interface MeasureReportGroupStratifierStratumComponent {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly code: CodeableConcept
  readonly value: CodeableConcept
}

export interface MeasureReportGroupStratifierStratumPopulation {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly modifierExtension?: readonly Extension[]
  readonly code?: CodeableConcept
  readonly count?: number
  readonly _count?: Element
  readonly subjectResults?: Reference
}

export interface ElementDefinitionSlicingDiscriminator {
  readonly id?: string
  readonly extension?: readonly Extension[]
  readonly type: DiscriminatorTypeCode
  readonly _type?: Element
  readonly path: string
  readonly _path?: Element
}

export interface Element {
  readonly id?: string
  readonly extension?: readonly Extension[]
}

/** The interface of every type and nested part, by its path in the definitions. */
export interface TypesByPath {
  ActivityDefinition: ActivityDefinition
  Appointment: Appointment
  AuditEvent: AuditEvent
  Binary: Binary
  Bundle: Bundle
  CapabilityStatement: CapabilityStatement
  CarePlan: CarePlan
  CareTeam: CareTeam
  ClinicalImpression: ClinicalImpression
  CodeSystem: CodeSystem
  Communication: Communication
  CommunicationRequest: CommunicationRequest
  Composition: Composition
  Condition: Condition
  Consent: Consent
  Coverage: Coverage
  Device: Device
  DeviceDefinition: DeviceDefinition
  DeviceRequest: DeviceRequest
  DeviceUseStatement: DeviceUseStatement
  DocumentReference: DocumentReference
  Encounter: Encounter
  Goal: Goal
  Group: Group
  Library: Library
  List: List
  Location: Location
  MeasureReport: MeasureReport
  Observation: Observation
  OperationDefinition: OperationDefinition
  OperationOutcome: OperationOutcome
  Organization: Organization
  Parameters: Parameters
  Patient: Patient
  PlanDefinition: PlanDefinition
  Practitioner: Practitioner
  PractitionerRole: PractitionerRole
  Procedure: Procedure
  Provenance: Provenance
  Questionnaire: Questionnaire
  QuestionnaireResponse: QuestionnaireResponse
  RelatedPerson: RelatedPerson
  RiskAssessment: RiskAssessment
  SearchParameter: SearchParameter
  ServiceRequest: ServiceRequest
  StructureDefinition: StructureDefinition
  Subscription: Subscription
  Task: Task
  ValueSet: ValueSet
  Meta: Meta
  Narrative: Narrative
  Extension: Extension
  Identifier: Identifier
  CodeableConcept: CodeableConcept
  Reference: Reference
  ContactDetail: ContactDetail
  UsageContext: UsageContext
  Period: Period
  RelatedArtifact: RelatedArtifact
  Timing: Timing
  Age: Age
  Range: Range
  Duration: Duration
  'ActivityDefinition.participant': ActivityDefinitionParticipant
  Quantity: Quantity
  Dosage: Dosage
  'ActivityDefinition.dynamicValue': ActivityDefinitionDynamicValue
  'Appointment.participant': AppointmentParticipant
  Coding: Coding
  'AuditEvent.agent': AuditEventAgent
  'AuditEvent.source': AuditEventSource
  'AuditEvent.entity': AuditEventEntity
  'Bundle.link': BundleLink
  'Bundle.entry': BundleEntry
  Signature: Signature
  'CapabilityStatement.software': CapabilityStatementSoftware
  'CapabilityStatement.implementation': CapabilityStatementImplementation
  'CapabilityStatement.rest': CapabilityStatementRest
  'CapabilityStatement.messaging': CapabilityStatementMessaging
  'CapabilityStatement.document': CapabilityStatementDocument
  'CarePlan.activity': CarePlanActivity
  Annotation: Annotation
  'CareTeam.participant': CareTeamParticipant
  ContactPoint: ContactPoint
  'ClinicalImpression.investigation': ClinicalImpressionInvestigation
  'ClinicalImpression.finding': ClinicalImpressionFinding
  'CodeSystem.filter': CodeSystemFilter
  'CodeSystem.property': CodeSystemProperty
  'CodeSystem.concept': CodeSystemConcept
  'Communication.payload': CommunicationPayload
  'CommunicationRequest.payload': CommunicationRequestPayload
  'Composition.attester': CompositionAttester
  'Composition.relatesTo': CompositionRelatesTo
  'Composition.event': CompositionEvent
  'Composition.section': CompositionSection
  'Condition.stage': ConditionStage
  'Condition.evidence': ConditionEvidence
  Attachment: Attachment
  'Consent.policy': ConsentPolicy
  'Consent.verification': ConsentVerification
  'Consent.provision': ConsentProvision
  'Coverage.class': CoverageClass
  'Coverage.costToBeneficiary': CoverageCostToBeneficiary
  'Device.udiCarrier': DeviceUdiCarrier
  'Device.deviceName': DeviceDeviceName
  'Device.specialization': DeviceSpecialization
  'Device.version': DeviceVersion
  'Device.property': DeviceProperty
  'DeviceDefinition.udiDeviceIdentifier': DeviceDefinitionUdiDeviceIdentifier
  'DeviceDefinition.deviceName': DeviceDefinitionDeviceName
  'DeviceDefinition.specialization': DeviceDefinitionSpecialization
  ProductShelfLife: ProductShelfLife
  ProdCharacteristic: ProdCharacteristic
  'DeviceDefinition.capability': DeviceDefinitionCapability
  'DeviceDefinition.property': DeviceDefinitionProperty
  'DeviceDefinition.material': DeviceDefinitionMaterial
  'DeviceRequest.parameter': DeviceRequestParameter
  'DocumentReference.relatesTo': DocumentReferenceRelatesTo
  'DocumentReference.content': DocumentReferenceContent
  'DocumentReference.context': DocumentReferenceContext
  'Encounter.statusHistory': EncounterStatusHistory
  'Encounter.classHistory': EncounterClassHistory
  'Encounter.participant': EncounterParticipant
  'Encounter.diagnosis': EncounterDiagnosis
  'Encounter.hospitalization': EncounterHospitalization
  'Encounter.location': EncounterLocation
  'Goal.target': GoalTarget
  'Group.characteristic': GroupCharacteristic
  'Group.member': GroupMember
  ParameterDefinition: ParameterDefinition
  DataRequirement: DataRequirement
  'List.entry': ListEntry
  Address: Address
  'Location.position': LocationPosition
  'Location.hoursOfOperation': LocationHoursOfOperation
  'MeasureReport.group': MeasureReportGroup
  Ratio: Ratio
  SampledData: SampledData
  'Observation.referenceRange': ObservationReferenceRange
  'Observation.component': ObservationComponent
  'OperationDefinition.parameter': OperationDefinitionParameter
  'OperationDefinition.overload': OperationDefinitionOverload
  'OperationOutcome.issue': OperationOutcomeIssue
  'Organization.contact': OrganizationContact
  'Parameters.parameter': ParametersParameter
  HumanName: HumanName
  'Patient.contact': PatientContact
  'Patient.communication': PatientCommunication
  'Patient.link': PatientLink
  'PlanDefinition.goal': PlanDefinitionGoal
  'PlanDefinition.action': PlanDefinitionAction
  'Practitioner.qualification': PractitionerQualification
  'PractitionerRole.availableTime': PractitionerRoleAvailableTime
  'PractitionerRole.notAvailable': PractitionerRoleNotAvailable
  'Procedure.performer': ProcedurePerformer
  'Procedure.focalDevice': ProcedureFocalDevice
  'Provenance.agent': ProvenanceAgent
  'Provenance.entity': ProvenanceEntity
  'Questionnaire.item': QuestionnaireItem
  'QuestionnaireResponse.item': QuestionnaireResponseItem
  'RelatedPerson.communication': RelatedPersonCommunication
  'RiskAssessment.prediction': RiskAssessmentPrediction
  'SearchParameter.component': SearchParameterComponent
  'StructureDefinition.mapping': StructureDefinitionMapping
  'StructureDefinition.context': StructureDefinitionContext
  'StructureDefinition.snapshot': StructureDefinitionSnapshot
  'StructureDefinition.differential': StructureDefinitionDifferential
  'Subscription.channel': SubscriptionChannel
  'Task.restriction': TaskRestriction
  'Task.input': TaskInput
  'Task.output': TaskOutput
  'ValueSet.compose': ValueSetCompose
  'ValueSet.expansion': ValueSetExpansion
  Count: Count
  Distance: Distance
  Money: Money
  Contributor: Contributor
  Expression: Expression
  TriggerDefinition: TriggerDefinition
  'Timing.repeat': TimingRepeat
  'Dosage.doseAndRate': DosageDoseAndRate
  'AuditEvent.agent.network': AuditEventAgentNetwork
  'AuditEvent.entity.detail': AuditEventEntityDetail
  'Bundle.entry.search': BundleEntrySearch
  'Bundle.entry.request': BundleEntryRequest
  'Bundle.entry.response': BundleEntryResponse
  'CapabilityStatement.rest.security': CapabilityStatementRestSecurity
  'CapabilityStatement.rest.resource': CapabilityStatementRestResource
  'CapabilityStatement.rest.interaction': CapabilityStatementRestInteraction
  'CapabilityStatement.rest.resource.searchParam': CapabilityStatementRestResourceSearchParam
  'CapabilityStatement.rest.resource.operation': CapabilityStatementRestResourceOperation
  'CapabilityStatement.messaging.endpoint': CapabilityStatementMessagingEndpoint
  'CapabilityStatement.messaging.supportedMessage': CapabilityStatementMessagingSupportedMessage
  'CarePlan.activity.detail': CarePlanActivityDetail
  'CodeSystem.concept.designation': CodeSystemConceptDesignation
  'CodeSystem.concept.property': CodeSystemConceptProperty
  'Consent.provision.actor': ConsentProvisionActor
  'Consent.provision.data': ConsentProvisionData
  'Coverage.costToBeneficiary.exception': CoverageCostToBeneficiaryException
  'DataRequirement.codeFilter': DataRequirementCodeFilter
  'DataRequirement.dateFilter': DataRequirementDateFilter
  'DataRequirement.sort': DataRequirementSort
  'MeasureReport.group.population': MeasureReportGroupPopulation
  'MeasureReport.group.stratifier': MeasureReportGroupStratifier
  'OperationDefinition.parameter.binding': OperationDefinitionParameterBinding
  'OperationDefinition.parameter.referencedFrom': OperationDefinitionParameterReferencedFrom
  'PlanDefinition.goal.target': PlanDefinitionGoalTarget
  'PlanDefinition.action.condition': PlanDefinitionActionCondition
  'PlanDefinition.action.relatedAction': PlanDefinitionActionRelatedAction
  'PlanDefinition.action.participant': PlanDefinitionActionParticipant
  'PlanDefinition.action.dynamicValue': PlanDefinitionActionDynamicValue
  'Questionnaire.item.enableWhen': QuestionnaireItemEnableWhen
  'Questionnaire.item.answerOption': QuestionnaireItemAnswerOption
  'Questionnaire.item.initial': QuestionnaireItemInitial
  'QuestionnaireResponse.item.answer': QuestionnaireResponseItemAnswer
  ElementDefinition: ElementDefinition
  'ValueSet.compose.include': ValueSetComposeInclude
  'ValueSet.expansion.parameter': ValueSetExpansionParameter
  'ValueSet.expansion.contains': ValueSetExpansionContains
  'CapabilityStatement.rest.resource.interaction': CapabilityStatementRestResourceInteraction
  'MeasureReport.group.stratifier.stratum': MeasureReportGroupStratifierStratum
  'ElementDefinition.slicing': ElementDefinitionSlicing
  'ElementDefinition.base': ElementDefinitionBase
  'ElementDefinition.type': ElementDefinitionType
  'ElementDefinition.example': ElementDefinitionExample
  'ElementDefinition.constraint': ElementDefinitionConstraint
  'ElementDefinition.binding': ElementDefinitionBinding
  'ElementDefinition.mapping': ElementDefinitionMapping
  'ValueSet.compose.include.concept': ValueSetComposeIncludeConcept
  'ValueSet.compose.include.filter': ValueSetComposeIncludeFilter
  'ValueSet.compose.include.concept.designation': ValueSetComposeIncludeConceptDesignation
  'MeasureReport.group.stratifier.stratum.component': MeasureReportGroupStratifierStratumComponent
  'MeasureReport.group.stratifier.stratum.population': MeasureReportGroupStratifierStratumPopulation
  'ElementDefinition.slicing.discriminator': ElementDefinitionSlicingDiscriminator
  Element: Element
}

export type FHIRVersionCode =
  | '0.01'
  | '0.05'
  | '0.06'
  | '0.11'
  | '0.0.80'
  | '0.0.81'
  | '0.0.82'
  | '0.4.0'
  | '0.5.0'
  | '1.0.0'
  | '1.0.1'
  | '1.0.2'
  | '1.1.0'
  | '1.4.0'
  | '1.6.0'
  | '1.8.0'
  | '3.0.0'
  | '3.0.1'
  | '3.3.0'
  | '3.5.0'
  | '4.0.0'
  | '4.0.1'

export type ActionCardinalityBehaviorCode = 'single' | 'multiple'

export type ActionConditionKindCode = 'applicability' | 'start' | 'stop'

export type ActionGroupingBehaviorCode = 'visual-group' | 'logical-group' | 'sentence-group'

export type ActionParticipantTypeCode = 'patient' | 'practitioner' | 'related-person' | 'device'

export type ActionPrecheckBehaviorCode = 'yes' | 'no'

export type ActionRelationshipTypeCode =
  | 'before-start'
  | 'before'
  | 'before-end'
  | 'concurrent-with-start'
  | 'concurrent'
  | 'concurrent-with-end'
  | 'after-start'
  | 'after'
  | 'after-end'

export type ActionRequiredBehaviorCode = 'must' | 'could' | 'must-unless-documented'

export type ActionSelectionBehaviorCode =
  | 'any'
  | 'all'
  | 'all-or-none'
  | 'exactly-one'
  | 'at-most-one'
  | 'one-or-more'

export type AddressTypeCode = 'postal' | 'physical' | 'both'

export type AddressUseCode = 'home' | 'work' | 'temp' | 'old' | 'billing'

export type AdministrativeGenderCode = 'male' | 'female' | 'other' | 'unknown'

export type AllTypesCode =
  | 'Address'
  | 'Age'
  | 'Annotation'
  | 'Attachment'
  | 'BackboneElement'
  | 'CodeableConcept'
  | 'Coding'
  | 'ContactDetail'
  | 'ContactPoint'
  | 'Contributor'
  | 'Count'
  | 'DataRequirement'
  | 'Distance'
  | 'Dosage'
  | 'Duration'
  | 'Element'
  | 'ElementDefinition'
  | 'Expression'
  | 'Extension'
  | 'HumanName'
  | 'Identifier'
  | 'MarketingStatus'
  | 'Meta'
  | 'Money'
  | 'MoneyQuantity'
  | 'Narrative'
  | 'ParameterDefinition'
  | 'Period'
  | 'Population'
  | 'ProdCharacteristic'
  | 'ProductShelfLife'
  | 'Quantity'
  | 'Range'
  | 'Ratio'
  | 'Reference'
  | 'RelatedArtifact'
  | 'SampledData'
  | 'Signature'
  | 'SimpleQuantity'
  | 'SubstanceAmount'
  | 'Timing'
  | 'TriggerDefinition'
  | 'UsageContext'
  | 'base64Binary'
  | 'boolean'
  | 'canonical'
  | 'code'
  | 'date'
  | 'dateTime'
  | 'decimal'
  | 'id'
  | 'instant'
  | 'integer'
  | 'markdown'
  | 'oid'
  | 'positiveInt'
  | 'string'
  | 'time'
  | 'unsignedInt'
  | 'uri'
  | 'url'
  | 'uuid'
  | 'xhtml'
  | 'Account'
  | 'ActivityDefinition'
  | 'AdverseEvent'
  | 'AllergyIntolerance'
  | 'Appointment'
  | 'AppointmentResponse'
  | 'AuditEvent'
  | 'Basic'
  | 'Binary'
  | 'BiologicallyDerivedProduct'
  | 'BodyStructure'
  | 'Bundle'
  | 'CapabilityStatement'
  | 'CarePlan'
  | 'CareTeam'
  | 'CatalogEntry'
  | 'ChargeItem'
  | 'ChargeItemDefinition'
  | 'Claim'
  | 'ClaimResponse'
  | 'ClinicalImpression'
  | 'CodeSystem'
  | 'Communication'
  | 'CommunicationRequest'
  | 'CompartmentDefinition'
  | 'Composition'
  | 'ConceptMap'
  | 'Condition'
  | 'Consent'
  | 'Contract'
  | 'Coverage'
  | 'CoverageEligibilityRequest'
  | 'CoverageEligibilityResponse'
  | 'DetectedIssue'
  | 'Device'
  | 'DeviceDefinition'
  | 'DeviceMetric'
  | 'DeviceRequest'
  | 'DeviceUseStatement'
  | 'DiagnosticReport'
  | 'DocumentManifest'
  | 'DocumentReference'
  | 'DomainResource'
  | 'EffectEvidenceSynthesis'
  | 'Encounter'
  | 'Endpoint'
  | 'EnrollmentRequest'
  | 'EnrollmentResponse'
  | 'EpisodeOfCare'
  | 'EventDefinition'
  | 'Evidence'
  | 'EvidenceVariable'
  | 'ExampleScenario'
  | 'ExplanationOfBenefit'
  | 'FamilyMemberHistory'
  | 'Flag'
  | 'Goal'
  | 'GraphDefinition'
  | 'Group'
  | 'GuidanceResponse'
  | 'HealthcareService'
  | 'ImagingStudy'
  | 'Immunization'
  | 'ImmunizationEvaluation'
  | 'ImmunizationRecommendation'
  | 'ImplementationGuide'
  | 'InsurancePlan'
  | 'Invoice'
  | 'Library'
  | 'Linkage'
  | 'List'
  | 'Location'
  | 'Measure'
  | 'MeasureReport'
  | 'Media'
  | 'Medication'
  | 'MedicationAdministration'
  | 'MedicationDispense'
  | 'MedicationKnowledge'
  | 'MedicationRequest'
  | 'MedicationStatement'
  | 'MedicinalProduct'
  | 'MedicinalProductAuthorization'
  | 'MedicinalProductContraindication'
  | 'MedicinalProductIndication'
  | 'MedicinalProductIngredient'
  | 'MedicinalProductInteraction'
  | 'MedicinalProductManufactured'
  | 'MedicinalProductPackaged'
  | 'MedicinalProductPharmaceutical'
  | 'MedicinalProductUndesirableEffect'
  | 'MessageDefinition'
  | 'MessageHeader'
  | 'MolecularSequence'
  | 'NamingSystem'
  | 'NutritionOrder'
  | 'Observation'
  | 'ObservationDefinition'
  | 'OperationDefinition'
  | 'OperationOutcome'
  | 'Organization'
  | 'OrganizationAffiliation'
  | 'Parameters'
  | 'Patient'
  | 'PaymentNotice'
  | 'PaymentReconciliation'
  | 'Person'
  | 'PlanDefinition'
  | 'Practitioner'
  | 'PractitionerRole'
  | 'Procedure'
  | 'Provenance'
  | 'Questionnaire'
  | 'QuestionnaireResponse'
  | 'RelatedPerson'
  | 'RequestGroup'
  | 'ResearchDefinition'
  | 'ResearchElementDefinition'
  | 'ResearchStudy'
  | 'ResearchSubject'
  | 'Resource'
  | 'RiskAssessment'
  | 'RiskEvidenceSynthesis'
  | 'Schedule'
  | 'SearchParameter'
  | 'ServiceRequest'
  | 'Slot'
  | 'Specimen'
  | 'SpecimenDefinition'
  | 'StructureDefinition'
  | 'StructureMap'
  | 'Subscription'
  | 'Substance'
  | 'SubstanceNucleicAcid'
  | 'SubstancePolymer'
  | 'SubstanceProtein'
  | 'SubstanceReferenceInformation'
  | 'SubstanceSourceMaterial'
  | 'SubstanceSpecification'
  | 'SupplyDelivery'
  | 'SupplyRequest'
  | 'Task'
  | 'TerminologyCapabilities'
  | 'TestReport'
  | 'TestScript'
  | 'ValueSet'
  | 'VerificationResult'
  | 'VisionPrescription'
  | 'Type'
  | 'Any'

export type AppointmentstatusCode =
  | 'proposed'
  | 'pending'
  | 'booked'
  | 'arrived'
  | 'fulfilled'
  | 'cancelled'
  | 'noshow'
  | 'entered-in-error'
  | 'checked-in'
  | 'waitlist'

export type AuditEventActionCode = 'C' | 'R' | 'U' | 'D' | 'E'

export type AuditEventOutcomeCode = '0' | '4' | '8' | '12'

export type BindingStrengthCode = 'required' | 'extensible' | 'preferred' | 'example'

export type BundleTypeCode =
  | 'document'
  | 'message'
  | 'transaction'
  | 'transaction-response'
  | 'batch'
  | 'batch-response'
  | 'history'
  | 'searchset'
  | 'collection'

export type CapabilityStatementKindCode = 'instance' | 'capability' | 'requirements'

export type CarePlanActivityKindCode =
  | 'Appointment'
  | 'CommunicationRequest'
  | 'DeviceRequest'
  | 'MedicationRequest'
  | 'NutritionOrder'
  | 'Task'
  | 'ServiceRequest'
  | 'VisionPrescription'

export type CarePlanActivityStatusCode =
  | 'not-started'
  | 'scheduled'
  | 'in-progress'
  | 'on-hold'
  | 'completed'
  | 'cancelled'
  | 'stopped'
  | 'unknown'
  | 'entered-in-error'

export type CarePlanIntentCode = 'proposal' | 'plan' | 'order' | 'option'

export type CareTeamStatusCode =
  | 'proposed'
  | 'active'
  | 'suspended'
  | 'inactive'
  | 'entered-in-error'

export type ClinicalimpressionStatusCode =
  | 'preparation'
  | 'in-progress'
  | 'not-done'
  | 'on-hold'
  | 'stopped'
  | 'completed'
  | 'entered-in-error'
  | 'unknown'

export type CodesystemContentModeCode =
  | 'not-present'
  | 'example'
  | 'fragment'
  | 'complete'
  | 'supplement'

export type CodesystemHierarchyMeaningCode = 'grouped-by' | 'is-a' | 'part-of' | 'classified-with'

export type CompositionAttestationModeCode = 'personal' | 'professional' | 'legal' | 'official'

export type CompositionStatusCode = 'preliminary' | 'final' | 'amended' | 'entered-in-error'

export type ConceptPropertyTypeCode =
  | 'code'
  | 'Coding'
  | 'string'
  | 'integer'
  | 'boolean'
  | 'dateTime'
  | 'decimal'

export type ConditionalDeleteStatusCode = 'not-supported' | 'single' | 'multiple'

export type ConditionalReadStatusCode =
  | 'not-supported'
  | 'modified-since'
  | 'not-match'
  | 'full-support'

export type ConsentDataMeaningCode = 'instance' | 'related' | 'dependents' | 'authoredby'

export type ConsentProvisionTypeCode = 'deny' | 'permit'

export type ConsentStateCodesCode =
  | 'draft'
  | 'proposed'
  | 'active'
  | 'rejected'
  | 'inactive'
  | 'entered-in-error'

export type ConstraintSeverityCode = 'error' | 'warning'

export type ContactPointSystemCode = 'phone' | 'fax' | 'email' | 'pager' | 'url' | 'sms' | 'other'

export type ContactPointUseCode = 'home' | 'work' | 'temp' | 'old' | 'mobile'

export type ContributorTypeCode = 'author' | 'editor' | 'reviewer' | 'endorser'

export type CurrenciesCode =
  | 'AED'
  | 'AFN'
  | 'ALL'
  | 'AMD'
  | 'ANG'
  | 'AOA'
  | 'ARS'
  | 'AUD'
  | 'AWG'
  | 'AZN'
  | 'BAM'
  | 'BBD'
  | 'BDT'
  | 'BGN'
  | 'BHD'
  | 'BIF'
  | 'BMD'
  | 'BND'
  | 'BOB'
  | 'BOV'
  | 'BRL'
  | 'BSD'
  | 'BTN'
  | 'BWP'
  | 'BYN'
  | 'BZD'
  | 'CAD'
  | 'CDF'
  | 'CHE'
  | 'CHF'
  | 'CHW'
  | 'CLF'
  | 'CLP'
  | 'CNY'
  | 'COP'
  | 'COU'
  | 'CRC'
  | 'CUC'
  | 'CUP'
  | 'CVE'
  | 'CZK'
  | 'DJF'
  | 'DKK'
  | 'DOP'
  | 'DZD'
  | 'EGP'
  | 'ERN'
  | 'ETB'
  | 'EUR'
  | 'FJD'
  | 'FKP'
  | 'GBP'
  | 'GEL'
  | 'GHS'
  | 'GIP'
  | 'GMD'
  | 'GNF'
  | 'GTQ'
  | 'GYD'
  | 'HKD'
  | 'HNL'
  | 'HRK'
  | 'HTG'
  | 'HUF'
  | 'IDR'
  | 'ILS'
  | 'INR'
  | 'IQD'
  | 'IRR'
  | 'ISK'
  | 'JMD'
  | 'JOD'
  | 'JPY'
  | 'KES'
  | 'KGS'
  | 'KHR'
  | 'KMF'
  | 'KPW'
  | 'KRW'
  | 'KWD'
  | 'KYD'
  | 'KZT'
  | 'LAK'
  | 'LBP'
  | 'LKR'
  | 'LRD'
  | 'LSL'
  | 'LYD'
  | 'MAD'
  | 'MDL'
  | 'MGA'
  | 'MKD'
  | 'MMK'
  | 'MNT'
  | 'MOP'
  | 'MRO'
  | 'MRU'
  | 'MUR'
  | 'MVR'
  | 'MWK'
  | 'MXN'
  | 'MXV'
  | 'MYR'
  | 'MZN'
  | 'NAD'
  | 'NGN'
  | 'NIO'
  | 'NOK'
  | 'NPR'
  | 'NZD'
  | 'OMR'
  | 'PAB'
  | 'PEN'
  | 'PGK'
  | 'PHP'
  | 'PKR'
  | 'PLN'
  | 'PYG'
  | 'QAR'
  | 'RON'
  | 'RSD'
  | 'RUB'
  | 'RWF'
  | 'SAR'
  | 'SBD'
  | 'SCR'
  | 'SDG'
  | 'SEK'
  | 'SGD'
  | 'SHP'
  | 'SLE'
  | 'SLL'
  | 'SOS'
  | 'SRD'
  | 'SSP'
  | 'STD'
  | 'STN'
  | 'SVC'
  | 'SYP'
  | 'SZL'
  | 'THB'
  | 'TJS'
  | 'TMT'
  | 'TND'
  | 'TOP'
  | 'TRY'
  | 'TTD'
  | 'TWD'
  | 'TZS'
  | 'UAH'
  | 'UGX'
  | 'USD'
  | 'USN'
  | 'UYI'
  | 'UYU'
  | 'UYW'
  | 'UZS'
  | 'VED'
  | 'VEF'
  | 'VES'
  | 'VND'
  | 'VUV'
  | 'WST'
  | 'XAD'
  | 'XAF'
  | 'XAG'
  | 'XAU'
  | 'XBA'
  | 'XBB'
  | 'XBC'
  | 'XBD'
  | 'XCD'
  | 'XCG'
  | 'XDR'
  | 'XOF'
  | 'XPD'
  | 'XPF'
  | 'XPT'
  | 'XSU'
  | 'XTS'
  | 'XUA'
  | 'XXX'
  | 'YER'
  | 'ZAR'
  | 'ZMW'
  | 'ZWG'
  | 'ZWL'

export type DaysOfWeekCode = 'mon' | 'tue' | 'wed' | 'thu' | 'fri' | 'sat' | 'sun'

export type DeviceNametypeCode =
  | 'udi-label-name'
  | 'user-friendly-name'
  | 'patient-reported-name'
  | 'manufacturer-name'
  | 'model-name'
  | 'other'

export type DeviceStatementStatusCode =
  | 'active'
  | 'completed'
  | 'entered-in-error'
  | 'intended'
  | 'stopped'
  | 'on-hold'

export type DeviceStatusCode = 'active' | 'inactive' | 'entered-in-error' | 'unknown'

export type DiscriminatorTypeCode = 'value' | 'exists' | 'pattern' | 'type' | 'profile'

export type DocumentModeCode = 'producer' | 'consumer'

export type DocumentReferenceStatusCode = 'current' | 'superseded' | 'entered-in-error'

export type DocumentRelationshipTypeCode = 'replaces' | 'transforms' | 'signs' | 'appends'

export type EncounterLocationStatusCode = 'planned' | 'active' | 'reserved' | 'completed'

export type EncounterStatusCode =
  | 'planned'
  | 'arrived'
  | 'triaged'
  | 'in-progress'
  | 'onleave'
  | 'finished'
  | 'cancelled'
  | 'entered-in-error'
  | 'unknown'

export type EventCapabilityModeCode = 'sender' | 'receiver'

export type EventStatusCode =
  | 'preparation'
  | 'in-progress'
  | 'not-done'
  | 'on-hold'
  | 'stopped'
  | 'completed'
  | 'entered-in-error'
  | 'unknown'

export type EventTimingCode =
  | 'MORN'
  | 'MORN.early'
  | 'MORN.late'
  | 'NOON'
  | 'AFT'
  | 'AFT.early'
  | 'AFT.late'
  | 'EVE'
  | 'EVE.early'
  | 'EVE.late'
  | 'NIGHT'
  | 'PHS'
  | 'HS'
  | 'WAKE'
  | 'C'
  | 'CM'
  | 'CD'
  | 'CV'
  | 'AC'
  | 'ACM'
  | 'ACD'
  | 'ACV'
  | 'PC'
  | 'PCM'
  | 'PCD'
  | 'PCV'

export type ExtensionContextTypeCode = 'fhirpath' | 'element' | 'extension'

export type FilterOperatorCode =
  | '='
  | 'is-a'
  | 'descendent-of'
  | 'is-not-a'
  | 'regex'
  | 'in'
  | 'not-in'
  | 'generalizes'
  | 'exists'

export type FmStatusCode = 'active' | 'cancelled' | 'draft' | 'entered-in-error'

export type GoalStatusCode =
  | 'proposed'
  | 'planned'
  | 'accepted'
  | 'active'
  | 'on-hold'
  | 'completed'
  | 'cancelled'
  | 'entered-in-error'
  | 'rejected'

export type GroupTypeCode =
  | 'person'
  | 'animal'
  | 'practitioner'
  | 'device'
  | 'medication'
  | 'substance'

export type HttpVerbCode = 'GET' | 'HEAD' | 'POST' | 'PUT' | 'DELETE' | 'PATCH'

export type IdentifierUseCode = 'usual' | 'official' | 'temp' | 'secondary' | 'old'

export type IssueSeverityCode = 'fatal' | 'error' | 'warning' | 'information'

export type IssueTypeCode =
  | 'invalid'
  | 'structure'
  | 'required'
  | 'value'
  | 'invariant'
  | 'security'
  | 'login'
  | 'unknown'
  | 'expired'
  | 'forbidden'
  | 'suppressed'
  | 'processing'
  | 'not-supported'
  | 'duplicate'
  | 'multiple-matches'
  | 'not-found'
  | 'deleted'
  | 'too-long'
  | 'code-invalid'
  | 'extension'
  | 'too-costly'
  | 'business-rule'
  | 'conflict'
  | 'transient'
  | 'lock-error'
  | 'no-store'
  | 'exception'
  | 'timeout'
  | 'incomplete'
  | 'throttled'
  | 'informational'

export type ItemTypeCode =
  | 'group'
  | 'display'
  | 'question'
  | 'boolean'
  | 'decimal'
  | 'integer'
  | 'date'
  | 'dateTime'
  | 'time'
  | 'string'
  | 'text'
  | 'url'
  | 'choice'
  | 'open-choice'
  | 'attachment'
  | 'reference'
  | 'quantity'

export type LinkTypeCode = 'replaced-by' | 'replaces' | 'refer' | 'seealso'

export type ListModeCode = 'working' | 'snapshot' | 'changes'

export type ListStatusCode = 'current' | 'retired' | 'entered-in-error'

export type LocationModeCode = 'instance' | 'kind'

export type LocationStatusCode = 'active' | 'suspended' | 'inactive'

export type MeasureReportStatusCode = 'complete' | 'pending' | 'error'

export type MeasureReportTypeCode = 'individual' | 'subject-list' | 'summary' | 'data-collection'

export type NameUseCode =
  | 'usual'
  | 'official'
  | 'temp'
  | 'nickname'
  | 'anonymous'
  | 'old'
  | 'maiden'

export type NarrativeStatusCode = 'generated' | 'extensions' | 'additional' | 'empty'

export type NetworkTypeCode = '1' | '2' | '3' | '4' | '5'

export type ObservationStatusCode =
  | 'registered'
  | 'preliminary'
  | 'final'
  | 'amended'
  | 'corrected'
  | 'cancelled'
  | 'entered-in-error'
  | 'unknown'

export type OperationKindCode = 'operation' | 'query'

export type OperationParameterUseCode = 'in' | 'out'

export type ParticipantrequiredCode = 'required' | 'optional' | 'information-only'

export type ParticipationstatusCode = 'accepted' | 'declined' | 'tentative' | 'needs-action'

export type PropertyRepresentationCode = 'xmlAttr' | 'xmlText' | 'typeAttr' | 'cdaText' | 'xhtml'

export type ProvenanceEntityRoleCode =
  | 'derivation'
  | 'revision'
  | 'quotation'
  | 'source'
  | 'removal'

export type PublicationStatusCode = 'draft' | 'active' | 'retired' | 'unknown'

export type QuantityComparatorCode = '<' | '<=' | '>=' | '>'

export type QuestionnaireAnswersStatusCode =
  | 'in-progress'
  | 'completed'
  | 'amended'
  | 'entered-in-error'
  | 'stopped'

export type QuestionnaireEnableBehaviorCode = 'all' | 'any'

export type QuestionnaireEnableOperatorCode = 'exists' | '=' | '!=' | '>' | '<' | '>=' | '<='

export type ReferenceHandlingPolicyCode = 'literal' | 'logical' | 'resolves' | 'enforced' | 'local'

export type ReferenceVersionRulesCode = 'either' | 'independent' | 'specific'

export type RelatedArtifactTypeCode =
  | 'documentation'
  | 'justification'
  | 'citation'
  | 'predecessor'
  | 'successor'
  | 'derived-from'
  | 'depends-on'
  | 'composed-of'

export type RequestIntentCode =
  | 'proposal'
  | 'plan'
  | 'directive'
  | 'order'
  | 'original-order'
  | 'reflex-order'
  | 'filler-order'
  | 'instance-order'
  | 'option'

export type RequestPriorityCode = 'routine' | 'urgent' | 'asap' | 'stat'

export type RequestResourceTypesCode =
  | 'Appointment'
  | 'AppointmentResponse'
  | 'CarePlan'
  | 'Claim'
  | 'CommunicationRequest'
  | 'Contract'
  | 'DeviceRequest'
  | 'EnrollmentRequest'
  | 'ImmunizationRecommendation'
  | 'MedicationRequest'
  | 'NutritionOrder'
  | 'ServiceRequest'
  | 'SupplyRequest'
  | 'Task'
  | 'VisionPrescription'

export type RequestStatusCode =
  | 'draft'
  | 'active'
  | 'on-hold'
  | 'revoked'
  | 'completed'
  | 'entered-in-error'
  | 'unknown'

export type ResourceAggregationModeCode = 'contained' | 'referenced' | 'bundled'

export type ResourceSlicingRulesCode = 'closed' | 'open' | 'openAtEnd'

export type ResourceTypesCode =
  | 'Account'
  | 'ActivityDefinition'
  | 'AdverseEvent'
  | 'AllergyIntolerance'
  | 'Appointment'
  | 'AppointmentResponse'
  | 'AuditEvent'
  | 'Basic'
  | 'Binary'
  | 'BiologicallyDerivedProduct'
  | 'BodyStructure'
  | 'Bundle'
  | 'CapabilityStatement'
  | 'CarePlan'
  | 'CareTeam'
  | 'CatalogEntry'
  | 'ChargeItem'
  | 'ChargeItemDefinition'
  | 'Claim'
  | 'ClaimResponse'
  | 'ClinicalImpression'
  | 'CodeSystem'
  | 'Communication'
  | 'CommunicationRequest'
  | 'CompartmentDefinition'
  | 'Composition'
  | 'ConceptMap'
  | 'Condition'
  | 'Consent'
  | 'Contract'
  | 'Coverage'
  | 'CoverageEligibilityRequest'
  | 'CoverageEligibilityResponse'
  | 'DetectedIssue'
  | 'Device'
  | 'DeviceDefinition'
  | 'DeviceMetric'
  | 'DeviceRequest'
  | 'DeviceUseStatement'
  | 'DiagnosticReport'
  | 'DocumentManifest'
  | 'DocumentReference'
  | 'DomainResource'
  | 'EffectEvidenceSynthesis'
  | 'Encounter'
  | 'Endpoint'
  | 'EnrollmentRequest'
  | 'EnrollmentResponse'
  | 'EpisodeOfCare'
  | 'EventDefinition'
  | 'Evidence'
  | 'EvidenceVariable'
  | 'ExampleScenario'
  | 'ExplanationOfBenefit'
  | 'FamilyMemberHistory'
  | 'Flag'
  | 'Goal'
  | 'GraphDefinition'
  | 'Group'
  | 'GuidanceResponse'
  | 'HealthcareService'
  | 'ImagingStudy'
  | 'Immunization'
  | 'ImmunizationEvaluation'
  | 'ImmunizationRecommendation'
  | 'ImplementationGuide'
  | 'InsurancePlan'
  | 'Invoice'
  | 'Library'
  | 'Linkage'
  | 'List'
  | 'Location'
  | 'Measure'
  | 'MeasureReport'
  | 'Media'
  | 'Medication'
  | 'MedicationAdministration'
  | 'MedicationDispense'
  | 'MedicationKnowledge'
  | 'MedicationRequest'
  | 'MedicationStatement'
  | 'MedicinalProduct'
  | 'MedicinalProductAuthorization'
  | 'MedicinalProductContraindication'
  | 'MedicinalProductIndication'
  | 'MedicinalProductIngredient'
  | 'MedicinalProductInteraction'
  | 'MedicinalProductManufactured'
  | 'MedicinalProductPackaged'
  | 'MedicinalProductPharmaceutical'
  | 'MedicinalProductUndesirableEffect'
  | 'MessageDefinition'
  | 'MessageHeader'
  | 'MolecularSequence'
  | 'NamingSystem'
  | 'NutritionOrder'
  | 'Observation'
  | 'ObservationDefinition'
  | 'OperationDefinition'
  | 'OperationOutcome'
  | 'Organization'
  | 'OrganizationAffiliation'
  | 'Parameters'
  | 'Patient'
  | 'PaymentNotice'
  | 'PaymentReconciliation'
  | 'Person'
  | 'PlanDefinition'
  | 'Practitioner'
  | 'PractitionerRole'
  | 'Procedure'
  | 'Provenance'
  | 'Questionnaire'
  | 'QuestionnaireResponse'
  | 'RelatedPerson'
  | 'RequestGroup'
  | 'ResearchDefinition'
  | 'ResearchElementDefinition'
  | 'ResearchStudy'
  | 'ResearchSubject'
  | 'Resource'
  | 'RiskAssessment'
  | 'RiskEvidenceSynthesis'
  | 'Schedule'
  | 'SearchParameter'
  | 'ServiceRequest'
  | 'Slot'
  | 'Specimen'
  | 'SpecimenDefinition'
  | 'StructureDefinition'
  | 'StructureMap'
  | 'Subscription'
  | 'Substance'
  | 'SubstanceNucleicAcid'
  | 'SubstancePolymer'
  | 'SubstanceProtein'
  | 'SubstanceReferenceInformation'
  | 'SubstanceSourceMaterial'
  | 'SubstanceSpecification'
  | 'SupplyDelivery'
  | 'SupplyRequest'
  | 'Task'
  | 'TerminologyCapabilities'
  | 'TestReport'
  | 'TestScript'
  | 'ValueSet'
  | 'VerificationResult'
  | 'VisionPrescription'

export type RestfulCapabilityModeCode = 'client' | 'server'

export type SearchComparatorCode = 'eq' | 'ne' | 'gt' | 'lt' | 'ge' | 'le' | 'sa' | 'eb' | 'ap'

export type SearchEntryModeCode = 'match' | 'include' | 'outcome'

export type SearchModifierCodeCode =
  | 'missing'
  | 'exact'
  | 'contains'
  | 'not'
  | 'text'
  | 'in'
  | 'not-in'
  | 'below'
  | 'above'
  | 'type'
  | 'identifier'
  | 'ofType'

export type SearchParamTypeCode =
  | 'number'
  | 'date'
  | 'string'
  | 'token'
  | 'reference'
  | 'composite'
  | 'quantity'
  | 'uri'
  | 'special'

export type SearchXpathUsageCode = 'normal' | 'phonetic' | 'nearby' | 'distance' | 'other'

export type SortDirectionCode = 'ascending' | 'descending'

export type StructureDefinitionKindCode = 'primitive-type' | 'complex-type' | 'resource' | 'logical'

export type SubscriptionChannelTypeCode = 'rest-hook' | 'websocket' | 'email' | 'sms' | 'message'

export type SubscriptionStatusCode = 'requested' | 'active' | 'error' | 'off'

export type SystemRestfulInteractionCode =
  | 'transaction'
  | 'batch'
  | 'search-system'
  | 'history-system'

export type TaskIntentCode =
  | 'unknown'
  | 'proposal'
  | 'plan'
  | 'order'
  | 'original-order'
  | 'reflex-order'
  | 'filler-order'
  | 'instance-order'
  | 'option'

export type TaskStatusCode =
  | 'draft'
  | 'requested'
  | 'received'
  | 'accepted'
  | 'rejected'
  | 'ready'
  | 'cancelled'
  | 'in-progress'
  | 'on-hold'
  | 'failed'
  | 'completed'
  | 'entered-in-error'

export type TriggerTypeCode =
  | 'named-event'
  | 'periodic'
  | 'data-changed'
  | 'data-added'
  | 'data-modified'
  | 'data-removed'
  | 'data-accessed'
  | 'data-access-ended'

export type TypeDerivationRuleCode = 'specialization' | 'constraint'

export type TypeRestfulInteractionCode =
  | 'read'
  | 'vread'
  | 'update'
  | 'patch'
  | 'delete'
  | 'history-instance'
  | 'history-type'
  | 'create'
  | 'search-type'

export type UdiEntryTypeCode = 'barcode' | 'rfid' | 'manual' | 'card' | 'self-reported' | 'unknown'

export type UnitsOfTimeCode = 's' | 'min' | 'h' | 'd' | 'wk' | 'mo' | 'a'

export type V3ConfidentialityClassificationCode = 'U' | 'L' | 'M' | 'N' | 'R' | 'V'

export type VersioningPolicyCode = 'no-version' | 'versioned' | 'versioned-update'
