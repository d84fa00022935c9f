// Generated, never edited: `npm run generate:r4` writes it from the official FHIR R4 definitions.
// The definitions are those of HL7 (hl7.fhir.r4.core 4.0.1, CC0-1.0).

/** Search parameters of each type, one line each; see search-line.ts for the form. */
export const SEARCH_PARAMETERS: Readonly<Record<string, string>> = {
  ActivityDefinition: `
composed-of reference ActivityDefinition-composed-of relatedArtifact[type=composed-of].resource:canonical*
context token ActivityDefinition-context useContext.valueCodeableConcept:CodeableConcept*
context-quantity quantity ActivityDefinition-context-quantity useContext.valueQuantity:Quantity*|useContext.valueRange:Range*
context-type token ActivityDefinition-context-type useContext.code:Coding*
context-type-quantity composite ActivityDefinition-context-type-quantity useContext token=code:Coding$quantity=valueQuantity:Quantity|valueRange:Range
context-type-value composite ActivityDefinition-context-type-value useContext token=code:Coding$token=valueCodeableConcept:CodeableConcept
date date ActivityDefinition-date date:dateTime
depends-on reference ActivityDefinition-depends-on relatedArtifact[type=depends-on].resource:canonical*|library:canonical*
derived-from reference ActivityDefinition-derived-from relatedArtifact[type=derived-from].resource:canonical*
description string ActivityDefinition-description description:string
effective date ActivityDefinition-effective effectivePeriod:Period
identifier token ActivityDefinition-identifier identifier:Identifier*
jurisdiction token ActivityDefinition-jurisdiction jurisdiction:CodeableConcept*
name string ActivityDefinition-name name:string
predecessor reference ActivityDefinition-predecessor relatedArtifact[type=predecessor].resource:canonical*
publisher string ActivityDefinition-publisher publisher:string
status token ActivityDefinition-status status:code
successor reference ActivityDefinition-successor relatedArtifact[type=successor].resource:canonical*
title string ActivityDefinition-title title:string
topic token ActivityDefinition-topic topic:CodeableConcept*
url uri ActivityDefinition-url url:uri
version token ActivityDefinition-version version:string
`,
  Appointment: `
actor reference Appointment-actor participant.actor:Reference* Practitioner,Device,Patient,HealthcareService,PractitionerRole,RelatedPerson,Location
appointment-type token Appointment-appointment-type appointmentType:CodeableConcept
based-on reference Appointment-based-on basedOn:Reference* ServiceRequest
date date Appointment-date start:instant
identifier token Appointment-identifier identifier:Identifier*
location reference Appointment-location participant.actor:Reference(Location)* Location
part-status token Appointment-part-status participant.status:code*
patient reference Appointment-patient participant.actor:Reference(Patient)* Patient
practitioner reference Appointment-practitioner participant.actor:Reference(Practitioner)* Practitioner
reason-code token Appointment-reason-code reasonCode:CodeableConcept*
reason-reference reference Appointment-reason-reference reasonReference:Reference* Condition,Procedure,Observation,ImmunizationRecommendation
service-category token Appointment-service-category serviceCategory:CodeableConcept*
service-type token Appointment-service-type serviceType:CodeableConcept*
slot reference Appointment-slot slot:Reference* Slot
specialty token Appointment-specialty specialty:CodeableConcept*
status token Appointment-status status:code
supporting-info reference Appointment-supporting-info supportingInformation:Reference*
`,
  AuditEvent: `
action token AuditEvent-action action:code
address string AuditEvent-address agent.network.address:string*
agent reference AuditEvent-agent agent.who:Reference* Practitioner,Organization,Device,Patient,PractitionerRole,RelatedPerson
agent-name string AuditEvent-agent-name agent.name:string*
agent-role token AuditEvent-agent-role agent.role:CodeableConcept*
altid token AuditEvent-altid agent.altId:string*
date date AuditEvent-date recorded:instant
entity reference AuditEvent-entity entity.what:Reference*
entity-name string AuditEvent-entity-name entity.name:string*
entity-role token AuditEvent-entity-role entity.role:Coding*
entity-type token AuditEvent-entity-type entity.type:Coding*
outcome token AuditEvent-outcome outcome:code
patient reference AuditEvent-patient agent.who:Reference(Patient)*|entity.what:Reference(Patient)* Patient
policy uri AuditEvent-policy agent.policy:uri*
site token AuditEvent-site source.site:string
source reference AuditEvent-source source.observer:Reference Practitioner,Organization,Device,Patient,PractitionerRole,RelatedPerson
subtype token AuditEvent-subtype subtype:Coding*
type token AuditEvent-type type:Coding
`,
  Binary: `

`,
  Bundle: `
identifier token Bundle-identifier identifier:Identifier
timestamp date Bundle-timestamp timestamp:instant
type token Bundle-type type:code
`,
  CapabilityStatement: `
context token conformance-context useContext.valueCodeableConcept:CodeableConcept*
context-quantity quantity conformance-context-quantity useContext.valueQuantity:Quantity*|useContext.valueRange:Range*
context-type token conformance-context-type useContext.code:Coding*
context-type-quantity composite conformance-context-type-quantity useContext token=code:Coding$quantity=valueQuantity:Quantity|valueRange:Range
context-type-value composite conformance-context-type-value useContext token=code:Coding$token=valueCodeableConcept:CodeableConcept
date date conformance-date date:dateTime
description string conformance-description description:string
fhirversion token CapabilityStatement-fhirversion version:string
format token CapabilityStatement-format format:code*
guide reference CapabilityStatement-guide implementationGuide:canonical* ImplementationGuide
jurisdiction token conformance-jurisdiction jurisdiction:CodeableConcept*
mode token CapabilityStatement-mode rest.mode:code*
name string conformance-name name:string
publisher string conformance-publisher publisher:string
resource token CapabilityStatement-resource rest.resource.type:code*
resource-profile reference CapabilityStatement-resource-profile rest.resource.profile:canonical* StructureDefinition
security-service token CapabilityStatement-security-service rest.security.service:CodeableConcept*
software string CapabilityStatement-software software.name:string
status token conformance-status status:code
supported-profile reference CapabilityStatement-supported-profile rest.resource.supportedProfile:canonical* StructureDefinition
title string conformance-title title:string
url uri conformance-url url:uri
version token conformance-version version:string
`,
  CarePlan: `
activity-code token CarePlan-activity-code activity.detail.code:CodeableConcept*
activity-date date CarePlan-activity-date activity.detail.scheduledTiming:Timing*|activity.detail.scheduledPeriod:Period*
activity-reference reference CarePlan-activity-reference activity.reference:Reference* Appointment,MedicationRequest,Task,NutritionOrder,RequestGroup,VisionPrescription,DeviceRequest,ServiceRequest,CommunicationRequest
based-on reference CarePlan-based-on basedOn:Reference* CarePlan
care-team reference CarePlan-care-team careTeam:Reference* CareTeam
category token CarePlan-category category:CodeableConcept*
condition reference CarePlan-condition addresses:Reference* Condition
date date clinical-date period:Period
encounter reference CarePlan-encounter encounter:Reference Encounter
goal reference CarePlan-goal goal:Reference* Goal
identifier token clinical-identifier identifier:Identifier*
instantiates-canonical reference CarePlan-instantiates-canonical instantiatesCanonical:canonical* Questionnaire,Measure,PlanDefinition,OperationDefinition,ActivityDefinition
instantiates-uri uri CarePlan-instantiates-uri instantiatesUri:uri*
intent token CarePlan-intent intent:code
part-of reference CarePlan-part-of partOf:Reference* CarePlan
patient reference clinical-patient subject:Reference(Patient) Patient,Group
performer reference CarePlan-performer activity.detail.performer:Reference* Practitioner,Organization,CareTeam,Device,Patient,HealthcareService,PractitionerRole,RelatedPerson
replaces reference CarePlan-replaces replaces:Reference* CarePlan
status token CarePlan-status status:code
subject reference CarePlan-subject subject:Reference Group,Patient
`,
  CareTeam: `
category token CareTeam-category category:CodeableConcept*
date date clinical-date period:Period
encounter reference CareTeam-encounter encounter:Reference Encounter
identifier token clinical-identifier identifier:Identifier*
participant reference CareTeam-participant participant.member:Reference* Practitioner,Organization,CareTeam,Patient,PractitionerRole,RelatedPerson
patient reference clinical-patient subject:Reference(Patient) Patient,Group
status token CareTeam-status status:code
subject reference CareTeam-subject subject:Reference Group,Patient
`,
  ClinicalImpression: `
assessor reference ClinicalImpression-assessor assessor:Reference Practitioner,PractitionerRole
date date clinical-date date:dateTime
encounter reference ClinicalImpression-encounter encounter:Reference Encounter
finding-code token ClinicalImpression-finding-code finding.itemCodeableConcept:CodeableConcept*
finding-ref reference ClinicalImpression-finding-ref finding.itemReference:Reference* Condition,Observation,Media
identifier token ClinicalImpression-identifier identifier:Identifier*
investigation reference ClinicalImpression-investigation investigation.item:Reference* RiskAssessment,FamilyMemberHistory,Observation,Media,DiagnosticReport,ImagingStudy,QuestionnaireResponse
patient reference clinical-patient subject:Reference(Patient) Patient,Group
previous reference ClinicalImpression-previous previous:Reference ClinicalImpression
problem reference ClinicalImpression-problem problem:Reference* Condition,AllergyIntolerance
status token ClinicalImpression-status status:code
subject reference ClinicalImpression-subject subject:Reference Group,Patient
supporting-info reference ClinicalImpression-supporting-info supportingInfo:Reference*
`,
  CodeSystem: `
code token CodeSystem-code concept.code:code*
content-mode token CodeSystem-content-mode content:code
context token conformance-context useContext.valueCodeableConcept:CodeableConcept*
context-quantity quantity conformance-context-quantity useContext.valueQuantity:Quantity*|useContext.valueRange:Range*
context-type token conformance-context-type useContext.code:Coding*
context-type-quantity composite conformance-context-type-quantity useContext token=code:Coding$quantity=valueQuantity:Quantity|valueRange:Range
context-type-value composite conformance-context-type-value useContext token=code:Coding$token=valueCodeableConcept:CodeableConcept
date date conformance-date date:dateTime
description string conformance-description description:string
identifier token conformance-identifier identifier:Identifier*
jurisdiction token conformance-jurisdiction jurisdiction:CodeableConcept*
language token CodeSystem-language concept.designation.language:code*
name string conformance-name name:string
publisher string conformance-publisher publisher:string
status token conformance-status status:code
supplements reference CodeSystem-supplements supplements:canonical CodeSystem
system uri CodeSystem-system url:uri
title string conformance-title title:string
url uri conformance-url url:uri
version token conformance-version version:string
`,
  Communication: `
based-on reference Communication-based-on basedOn:Reference*
category token Communication-category category:CodeableConcept*
encounter reference Communication-encounter encounter:Reference Encounter
identifier token Communication-identifier identifier:Identifier*
instantiates-canonical reference Communication-instantiates-canonical instantiatesCanonical:canonical* Questionnaire,Measure,PlanDefinition,OperationDefinition,ActivityDefinition
instantiates-uri uri Communication-instantiates-uri instantiatesUri:uri*
medium token Communication-medium medium:CodeableConcept*
part-of reference Communication-part-of partOf:Reference*
patient reference Communication-patient subject:Reference(Patient) Patient
received date Communication-received received:dateTime
recipient reference Communication-recipient recipient:Reference* Practitioner,Group,Organization,CareTeam,Device,Patient,HealthcareService,PractitionerRole,RelatedPerson
sender reference Communication-sender sender:Reference Practitioner,Organization,Device,Patient,HealthcareService,PractitionerRole,RelatedPerson
sent date Communication-sent sent:dateTime
status token Communication-status status:code
subject reference Communication-subject subject:Reference Group,Patient
`,
  CommunicationRequest: `
authored date CommunicationRequest-authored authoredOn:dateTime
based-on reference CommunicationRequest-based-on basedOn:Reference*
category token CommunicationRequest-category category:CodeableConcept*
encounter reference CommunicationRequest-encounter encounter:Reference Encounter
group-identifier token CommunicationRequest-group-identifier groupIdentifier:Identifier
identifier token CommunicationRequest-identifier identifier:Identifier*
medium token CommunicationRequest-medium medium:CodeableConcept*
occurrence date CommunicationRequest-occurrence occurrenceDateTime:dateTime
patient reference CommunicationRequest-patient subject:Reference(Patient) Patient
priority token CommunicationRequest-priority priority:code
recipient reference CommunicationRequest-recipient recipient:Reference* Practitioner,Group,Organization,CareTeam,Device,Patient,HealthcareService,PractitionerRole,RelatedPerson
replaces reference CommunicationRequest-replaces replaces:Reference* CommunicationRequest
requester reference CommunicationRequest-requester requester:Reference Practitioner,Organization,Device,Patient,PractitionerRole,RelatedPerson
sender reference CommunicationRequest-sender sender:Reference Practitioner,Organization,Device,Patient,HealthcareService,PractitionerRole,RelatedPerson
status token CommunicationRequest-status status:code
subject reference CommunicationRequest-subject subject:Reference Group,Patient
`,
  Composition: `
attester reference Composition-attester attester.party:Reference* Practitioner,Organization,Patient,PractitionerRole,RelatedPerson
author reference Composition-author author:Reference* Practitioner,Organization,Device,Patient,PractitionerRole,RelatedPerson
category token Composition-category category:CodeableConcept*
confidentiality token Composition-confidentiality confidentiality:code
context token Composition-context event.code:CodeableConcept*
date date clinical-date date:dateTime
encounter reference clinical-encounter encounter:Reference Encounter,EpisodeOfCare
entry reference Composition-entry section.entry:Reference*
identifier token clinical-identifier identifier:Identifier
patient reference clinical-patient subject:Reference(Patient) Patient,Group
period date Composition-period event.period:Period*
related-id token Composition-related-id relatesTo.targetIdentifier:Identifier*
related-ref reference Composition-related-ref relatesTo.targetReference:Reference* Composition
section token Composition-section section.code:CodeableConcept*
status token Composition-status status:code
subject reference Composition-subject subject:Reference
title string Composition-title title:string
type token clinical-type type:CodeableConcept
`,
  Condition: `
abatement-age quantity Condition-abatement-age abatementAge:Age|abatementRange:Range
abatement-date date Condition-abatement-date abatementDateTime:dateTime|abatementPeriod:Period
abatement-string string Condition-abatement-string abatementString:string
asserter reference Condition-asserter asserter:Reference Practitioner,Patient,PractitionerRole,RelatedPerson
body-site token Condition-body-site bodySite:CodeableConcept*
category token Condition-category category:CodeableConcept*
clinical-status token Condition-clinical-status clinicalStatus:CodeableConcept
code token clinical-code code:CodeableConcept
encounter reference Condition-encounter encounter:Reference Encounter
evidence token Condition-evidence evidence.code:CodeableConcept*
evidence-detail reference Condition-evidence-detail evidence.detail:Reference*
identifier token clinical-identifier identifier:Identifier*
onset-age quantity Condition-onset-age onsetAge:Age|onsetRange:Range
onset-date date Condition-onset-date onsetDateTime:dateTime|onsetPeriod:Period
onset-info string Condition-onset-info onsetString:string
patient reference clinical-patient subject:Reference(Patient) Patient,Group
recorded-date date Condition-recorded-date recordedDate:dateTime
severity token Condition-severity severity:CodeableConcept
stage token Condition-stage stage.summary:CodeableConcept*
subject reference Condition-subject subject:Reference Group,Patient
verification-status token Condition-verification-status verificationStatus:CodeableConcept
`,
  Consent: `
action token Consent-action provision.action:CodeableConcept*
actor reference Consent-actor provision.actor.reference:Reference* Practitioner,Group,Organization,CareTeam,Device,Patient,PractitionerRole,RelatedPerson
category token Consent-category category:CodeableConcept*
consentor reference Consent-consentor performer:Reference* Practitioner,Organization,Patient,PractitionerRole,RelatedPerson
data reference Consent-data provision.data.reference:Reference*
date date clinical-date dateTime:dateTime
identifier token clinical-identifier identifier:Identifier*
organization reference Consent-organization organization:Reference* Organization
patient reference clinical-patient patient:Reference Patient,Group
period date Consent-period provision.period:Period
purpose token Consent-purpose provision.purpose:Coding*
scope token Consent-scope scope:CodeableConcept
security-label token Consent-security-label provision.securityLabel:Coding*
source-reference reference Consent-source-reference sourceReference:Reference Consent,Contract,QuestionnaireResponse,DocumentReference
status token Consent-status status:code
`,
  Coverage: `
beneficiary reference Coverage-beneficiary beneficiary:Reference Patient
class-type token Coverage-class-type class.type:CodeableConcept*
class-value string Coverage-class-value class.value:string*
dependent string Coverage-dependent dependent:string
identifier token Coverage-identifier identifier:Identifier*
patient reference Coverage-patient beneficiary:Reference Patient
payor reference Coverage-payor payor:Reference* Organization,Patient,RelatedPerson
policy-holder reference Coverage-policy-holder policyHolder:Reference Organization,Patient,RelatedPerson
status token Coverage-status status:code
subscriber reference Coverage-subscriber subscriber:Reference Patient,RelatedPerson
type token Coverage-type type:CodeableConcept
`,
  Device: `
device-name string Device-device-name deviceName.name:string*|type.coding.display:string*|type.text:string
identifier token Device-identifier identifier:Identifier*
location reference Device-location location:Reference Location
manufacturer string Device-manufacturer manufacturer:string
model string Device-model modelNumber:string
organization reference Device-organization owner:Reference Organization
patient reference Device-patient patient:Reference Patient
status token Device-status status:code
type token Device-type type:CodeableConcept
udi-carrier string Device-udi-carrier udiCarrier.carrierHRF:string*
udi-di string Device-udi-di udiCarrier.deviceIdentifier:string*
url uri Device-url url:uri
`,
  DeviceDefinition: `
identifier token DeviceDefinition-identifier identifier:Identifier*
parent reference DeviceDefinition-parent parentDevice:Reference DeviceDefinition
type token DeviceDefinition-type type:CodeableConcept
`,
  DeviceRequest: `
authored-on date DeviceRequest-authored-on authoredOn:dateTime
based-on reference DeviceRequest-based-on basedOn:Reference*
code token clinical-code codeCodeableConcept:CodeableConcept
device reference DeviceRequest-device codeReference:Reference Device
encounter reference clinical-encounter encounter:Reference Encounter,EpisodeOfCare
event-date date DeviceRequest-event-date occurrenceDateTime:dateTime|occurrencePeriod:Period
group-identifier token DeviceRequest-group-identifier groupIdentifier:Identifier
identifier token clinical-identifier identifier:Identifier*
instantiates-canonical reference DeviceRequest-instantiates-canonical instantiatesCanonical:canonical* PlanDefinition,ActivityDefinition
instantiates-uri uri DeviceRequest-instantiates-uri instantiatesUri:uri*
insurance reference DeviceRequest-insurance insurance:Reference* ClaimResponse,Coverage
intent token DeviceRequest-intent intent:code
patient reference clinical-patient subject:Reference(Patient) Patient,Group
performer reference DeviceRequest-performer performer:Reference Practitioner,Organization,CareTeam,Device,Patient,HealthcareService,PractitionerRole,RelatedPerson
prior-request reference DeviceRequest-prior-request priorRequest:Reference*
requester reference DeviceRequest-requester requester:Reference Practitioner,Organization,Device,PractitionerRole
status token DeviceRequest-status status:code
subject reference DeviceRequest-subject subject:Reference Group,Device,Patient,Location
`,
  DeviceUseStatement: `
device reference DeviceUseStatement-device device:Reference Device
identifier token DeviceUseStatement-identifier identifier:Identifier*
patient reference clinical-patient subject:Reference Patient,Group
subject reference DeviceUseStatement-subject subject:Reference Group,Patient
`,
  DocumentReference: `
authenticator reference DocumentReference-authenticator authenticator:Reference Practitioner,Organization,PractitionerRole
author reference DocumentReference-author author:Reference* Practitioner,Organization,Device,Patient,PractitionerRole,RelatedPerson
category token DocumentReference-category category:CodeableConcept*
contenttype token DocumentReference-contenttype content.attachment.contentType:code*
custodian reference DocumentReference-custodian custodian:Reference Organization
date date DocumentReference-date date:instant
description string DocumentReference-description description:string
encounter reference clinical-encounter context.encounter:Reference* Encounter,EpisodeOfCare
event token DocumentReference-event context.event:CodeableConcept*
facility token DocumentReference-facility context.facilityType:CodeableConcept
format token DocumentReference-format content.format:Coding*
identifier token clinical-identifier masterIdentifier:Identifier|identifier:Identifier*
language token DocumentReference-language content.attachment.language:code*
location uri DocumentReference-location content.attachment.url:url*
patient reference clinical-patient subject:Reference(Patient) Patient,Group
period date DocumentReference-period context.period:Period
related reference DocumentReference-related context.related:Reference*
relatesto reference DocumentReference-relatesto relatesTo.target:Reference* DocumentReference
relation token DocumentReference-relation relatesTo.code:code*
relationship composite DocumentReference-relationship relatesTo reference=target:Reference$token=code:code
security-label token DocumentReference-security-label securityLabel:CodeableConcept*
setting token DocumentReference-setting context.practiceSetting:CodeableConcept
status token DocumentReference-status status:code
subject reference DocumentReference-subject subject:Reference Practitioner,Group,Device,Patient
type token clinical-type type:CodeableConcept
`,
  Encounter: `
account reference Encounter-account account:Reference* Account
appointment reference Encounter-appointment appointment:Reference* Appointment
based-on reference Encounter-based-on basedOn:Reference* ServiceRequest
class token Encounter-class class:Coding
date date clinical-date period:Period
diagnosis reference Encounter-diagnosis diagnosis.condition:Reference* Condition,Procedure
episode-of-care reference Encounter-episode-of-care episodeOfCare:Reference* EpisodeOfCare
identifier token clinical-identifier identifier:Identifier*
length quantity Encounter-length length:Duration
location reference Encounter-location location.location:Reference* Location
location-period date Encounter-location-period location.period:Period*
part-of reference Encounter-part-of partOf:Reference Encounter
participant reference Encounter-participant participant.individual:Reference* Practitioner,PractitionerRole,RelatedPerson
participant-type token Encounter-participant-type participant.type:CodeableConcept*
patient reference clinical-patient subject:Reference(Patient) Patient,Group
practitioner reference Encounter-practitioner participant.individual:Reference(Practitioner)* Practitioner
reason-code token Encounter-reason-code reasonCode:CodeableConcept*
reason-reference reference Encounter-reason-reference reasonReference:Reference* Condition,Observation,Procedure,ImmunizationRecommendation
service-provider reference Encounter-service-provider serviceProvider:Reference Organization
special-arrangement token Encounter-special-arrangement hospitalization.specialArrangement:CodeableConcept*
status token Encounter-status status:code
subject reference Encounter-subject subject:Reference Group,Patient
type token clinical-type type:CodeableConcept*
`,
  Goal: `
achievement-status token Goal-achievement-status achievementStatus:CodeableConcept
category token Goal-category category:CodeableConcept*
identifier token clinical-identifier identifier:Identifier*
lifecycle-status token Goal-lifecycle-status lifecycleStatus:code
patient reference clinical-patient subject:Reference(Patient) Patient,Group
start-date date Goal-start-date startDate:date
subject reference Goal-subject subject:Reference Group,Organization,Patient
target-date date Goal-target-date target.dueDate:date*
`,
  Group: `
actual token Group-actual actual:boolean
characteristic token Group-characteristic characteristic.code:CodeableConcept*
characteristic-value composite Group-characteristic-value characteristic token=code:CodeableConcept$token=valueCodeableConcept:CodeableConcept|valueBoolean:boolean
code token Group-code code:CodeableConcept
exclude token Group-exclude characteristic.exclude:boolean*
identifier token Group-identifier identifier:Identifier*
managing-entity reference Group-managing-entity managingEntity:Reference Practitioner,Organization,PractitionerRole,RelatedPerson
member reference Group-member member.entity:Reference* Practitioner,Group,Device,Medication,Patient,Substance,PractitionerRole
type token Group-type type:code
value token Group-value characteristic.valueCodeableConcept:CodeableConcept*|characteristic.valueBoolean:boolean*
`,
  Library: `
composed-of reference Library-composed-of relatedArtifact[type=composed-of].resource:canonical*
content-type token Library-content-type content.contentType:code*
context token Library-context useContext.valueCodeableConcept:CodeableConcept*
context-quantity quantity Library-context-quantity useContext.valueQuantity:Quantity*|useContext.valueRange:Range*
context-type token Library-context-type useContext.code:Coding*
context-type-quantity composite Library-context-type-quantity useContext token=code:Coding$quantity=valueQuantity:Quantity|valueRange:Range
context-type-value composite Library-context-type-value useContext token=code:Coding$token=valueCodeableConcept:CodeableConcept
date date Library-date date:dateTime
depends-on reference Library-depends-on relatedArtifact[type=depends-on].resource:canonical*
derived-from reference Library-derived-from relatedArtifact[type=derived-from].resource:canonical*
description string Library-description description:string
effective date Library-effective effectivePeriod:Period
identifier token Library-identifier identifier:Identifier*
jurisdiction token Library-jurisdiction jurisdiction:CodeableConcept*
name string Library-name name:string
predecessor reference Library-predecessor relatedArtifact[type=predecessor].resource:canonical*
publisher string Library-publisher publisher:string
status token Library-status status:code
successor reference Library-successor relatedArtifact[type=successor].resource:canonical*
title string Library-title title:string
topic token Library-topic topic:CodeableConcept*
type token Library-type type:CodeableConcept
url uri Library-url url:uri
version token Library-version version:string
`,
  List: `
code token clinical-code code:CodeableConcept
date date clinical-date date:dateTime
empty-reason token List-empty-reason emptyReason:CodeableConcept
encounter reference clinical-encounter encounter:Reference Encounter,EpisodeOfCare
identifier token clinical-identifier identifier:Identifier*
item reference List-item entry.item:Reference*
notes string List-notes note.text:string*
patient reference clinical-patient subject:Reference(Patient) Patient,Group
source reference List-source source:Reference Practitioner,Device,Patient,PractitionerRole
status token List-status status:code
subject reference List-subject subject:Reference Group,Device,Patient,Location
title string List-title title:string
`,
  Location: `
address string Location-address address.line:string*|address.city:string*|address.district:string*|address.state:string*|address.postalCode:string*|address.country:string*|address.text:string*
address-city string Location-address-city address.city:string
address-country string Location-address-country address.country:string
address-postalcode string Location-address-postalcode address.postalCode:string
address-state string Location-address-state address.state:string
address-use token Location-address-use address.use:code
endpoint reference Location-endpoint endpoint:Reference* Endpoint
identifier token Location-identifier identifier:Identifier*
name string Location-name name:string|alias:string*
operational-status token Location-operational-status operationalStatus:Coding
organization reference Location-organization managingOrganization:Reference Organization
partof reference Location-partof partOf:Reference Location
status token Location-status status:code
type token Location-type type:CodeableConcept*
`,
  MeasureReport: `
date date MeasureReport-date date:dateTime
evaluated-resource reference MeasureReport-evaluated-resource evaluatedResource:Reference*
identifier token MeasureReport-identifier identifier:Identifier*
measure reference MeasureReport-measure measure:canonical Measure
patient reference MeasureReport-patient subject:Reference(Patient) Patient
period date MeasureReport-period period:Period
reporter reference MeasureReport-reporter reporter:Reference Practitioner,Organization,PractitionerRole,Location
status token MeasureReport-status status:code
subject reference MeasureReport-subject subject:Reference Practitioner,Group,Device,Patient,PractitionerRole,RelatedPerson,Location
`,
  Observation: `
based-on reference Observation-based-on basedOn:Reference* CarePlan,MedicationRequest,NutritionOrder,DeviceRequest,ServiceRequest,ImmunizationRecommendation
category token Observation-category category:CodeableConcept*
code token clinical-code code:CodeableConcept
code-value-concept composite Observation-code-value-concept . token=code:CodeableConcept$token=valueCodeableConcept:CodeableConcept
code-value-date composite Observation-code-value-date . token=code:CodeableConcept$date=valueDateTime:dateTime|valuePeriod:Period
code-value-quantity composite Observation-code-value-quantity . token=code:CodeableConcept$quantity=valueQuantity:Quantity
code-value-string composite Observation-code-value-string . token=code:CodeableConcept$string=valueString:string
combo-code token Observation-combo-code code:CodeableConcept|component.code:CodeableConcept*
combo-code-value-concept composite Observation-combo-code-value-concept .|component token=code:CodeableConcept$token=valueCodeableConcept:CodeableConcept
combo-code-value-quantity composite Observation-combo-code-value-quantity .|component token=code:CodeableConcept$quantity=valueQuantity:Quantity
combo-data-absent-reason token Observation-combo-data-absent-reason dataAbsentReason:CodeableConcept|component.dataAbsentReason:CodeableConcept*
combo-value-concept token Observation-combo-value-concept valueCodeableConcept:CodeableConcept|component.valueCodeableConcept:CodeableConcept*
combo-value-quantity quantity Observation-combo-value-quantity valueQuantity:Quantity|component.valueQuantity:Quantity*
component-code token Observation-component-code component.code:CodeableConcept*
component-code-value-concept composite Observation-component-code-value-concept component token=code:CodeableConcept$token=valueCodeableConcept:CodeableConcept
component-code-value-quantity composite Observation-component-code-value-quantity component token=code:CodeableConcept$quantity=valueQuantity:Quantity
component-data-absent-reason token Observation-component-data-absent-reason component.dataAbsentReason:CodeableConcept*
component-value-concept token Observation-component-value-concept component.valueCodeableConcept:CodeableConcept*
component-value-quantity quantity Observation-component-value-quantity component.valueQuantity:Quantity*
data-absent-reason token Observation-data-absent-reason dataAbsentReason:CodeableConcept
date date clinical-date effectiveDateTime:dateTime|effectivePeriod:Period|effectiveTiming:Timing|effectiveInstant:instant
derived-from reference Observation-derived-from derivedFrom:Reference* Media,Observation,ImagingStudy,MolecularSequence,QuestionnaireResponse,DocumentReference
device reference Observation-device device:Reference Device,DeviceMetric
encounter reference clinical-encounter encounter:Reference Encounter,EpisodeOfCare
focus reference Observation-focus focus:Reference*
has-member reference Observation-has-member hasMember:Reference* Observation,MolecularSequence,QuestionnaireResponse
identifier token clinical-identifier identifier:Identifier*
method token Observation-method method:CodeableConcept
part-of reference Observation-part-of partOf:Reference* Immunization,MedicationDispense,MedicationAdministration,Procedure,ImagingStudy,MedicationStatement
patient reference clinical-patient subject:Reference(Patient) Patient,Group
performer reference Observation-performer performer:Reference* Practitioner,Organization,CareTeam,Patient,PractitionerRole,RelatedPerson
specimen reference Observation-specimen specimen:Reference Specimen
status token Observation-status status:code
subject reference Observation-subject subject:Reference Group,Device,Patient,Location
value-concept token Observation-value-concept valueCodeableConcept:CodeableConcept
value-date date Observation-value-date valueDateTime:dateTime|valuePeriod:Period
value-quantity quantity Observation-value-quantity valueQuantity:Quantity
value-string string Observation-value-string valueString:string|valueCodeableConcept.text:string
`,
  OperationDefinition: `
base reference OperationDefinition-base base:canonical OperationDefinition
code token OperationDefinition-code code:code
context token conformance-context useContext.valueCodeableConcept:CodeableConcept*
context-quantity quantity conformance-context-quantity useContext.valueQuantity:Quantity*|useContext.valueRange:Range*
context-type token conformance-context-type useContext.code:Coding*
context-type-quantity composite conformance-context-type-quantity useContext token=code:Coding$quantity=valueQuantity:Quantity|valueRange:Range
context-type-value composite conformance-context-type-value useContext token=code:Coding$token=valueCodeableConcept:CodeableConcept
date date conformance-date date:dateTime
description string conformance-description description:string
input-profile reference OperationDefinition-input-profile inputProfile:canonical StructureDefinition
instance token OperationDefinition-instance instance:boolean
jurisdiction token conformance-jurisdiction jurisdiction:CodeableConcept*
kind token OperationDefinition-kind kind:code
name string conformance-name name:string
output-profile reference OperationDefinition-output-profile outputProfile:canonical StructureDefinition
publisher string conformance-publisher publisher:string
status token conformance-status status:code
system token OperationDefinition-system system:boolean
title string conformance-title title:string
type token OperationDefinition-type type:boolean
url uri conformance-url url:uri
version token conformance-version version:string
`,
  OperationOutcome: `

`,
  Organization: `
active token Organization-active active:boolean
address string Organization-address address.line:string*|address.city:string*|address.district:string*|address.state:string*|address.postalCode:string*|address.country:string*|address.text:string*
address-city string Organization-address-city address.city:string*
address-country string Organization-address-country address.country:string*
address-postalcode string Organization-address-postalcode address.postalCode:string*
address-state string Organization-address-state address.state:string*
address-use token Organization-address-use address.use:code*
endpoint reference Organization-endpoint endpoint:Reference* Endpoint
identifier token Organization-identifier identifier:Identifier*
name string Organization-name name:string|alias:string*
partof reference Organization-partof partOf:Reference Organization
phonetic string Organization-phonetic name:string
type token Organization-type type:CodeableConcept*
`,
  Parameters: `

`,
  Patient: `
active token Patient-active active:boolean
address string individual-address address.line:string*|address.city:string*|address.district:string*|address.state:string*|address.postalCode:string*|address.country:string*|address.text:string*
address-city string individual-address-city address.city:string*
address-country string individual-address-country address.country:string*
address-postalcode string individual-address-postalcode address.postalCode:string*
address-state string individual-address-state address.state:string*
address-use token individual-address-use address.use:code*
birthdate date individual-birthdate birthDate:date
death-date date Patient-death-date deceasedDateTime:dateTime
deceased token Patient-deceased deceasedBoolean:boolean|deceasedDateTime:exists
email token individual-email telecom[system=email]:ContactPoint*
family string individual-family name.family:string*
gender token individual-gender gender:code
general-practitioner reference Patient-general-practitioner generalPractitioner:Reference* Practitioner,Organization,PractitionerRole
given string individual-given name.given:string*
identifier token Patient-identifier identifier:Identifier*
language token Patient-language communication.language:CodeableConcept*
link reference Patient-link link.other:Reference* Patient,RelatedPerson
name string Patient-name name.family:string*|name.given:string*|name.prefix:string*|name.suffix:string*|name.text:string*
organization reference Patient-organization managingOrganization:Reference Organization
phone token individual-phone telecom[system=phone]:ContactPoint*
phonetic string individual-phonetic name.family:string*|name.given:string*|name.prefix:string*|name.suffix:string*|name.text:string*
telecom token individual-telecom telecom:ContactPoint*
`,
  PlanDefinition: `
composed-of reference PlanDefinition-composed-of relatedArtifact[type=composed-of].resource:canonical*
context token PlanDefinition-context useContext.valueCodeableConcept:CodeableConcept*
context-quantity quantity PlanDefinition-context-quantity useContext.valueQuantity:Quantity*|useContext.valueRange:Range*
context-type token PlanDefinition-context-type useContext.code:Coding*
context-type-quantity composite PlanDefinition-context-type-quantity useContext token=code:Coding$quantity=valueQuantity:Quantity|valueRange:Range
context-type-value composite PlanDefinition-context-type-value useContext token=code:Coding$token=valueCodeableConcept:CodeableConcept
date date PlanDefinition-date date:dateTime
definition reference PlanDefinition-definition action.definitionCanonical:canonical*|action.definitionUri:uri* Questionnaire,PlanDefinition,ActivityDefinition
depends-on reference PlanDefinition-depends-on relatedArtifact[type=depends-on].resource:canonical*|library:canonical*
derived-from reference PlanDefinition-derived-from relatedArtifact[type=derived-from].resource:canonical*
description string PlanDefinition-description description:string
effective date PlanDefinition-effective effectivePeriod:Period
identifier token PlanDefinition-identifier identifier:Identifier*
jurisdiction token PlanDefinition-jurisdiction jurisdiction:CodeableConcept*
name string PlanDefinition-name name:string
predecessor reference PlanDefinition-predecessor relatedArtifact[type=predecessor].resource:canonical*
publisher string PlanDefinition-publisher publisher:string
status token PlanDefinition-status status:code
successor reference PlanDefinition-successor relatedArtifact[type=successor].resource:canonical*
title string PlanDefinition-title title:string
topic token PlanDefinition-topic topic:CodeableConcept*
type token PlanDefinition-type type:CodeableConcept
url uri PlanDefinition-url url:uri
version token PlanDefinition-version version:string
`,
  Practitioner: `
active token Practitioner-active active:boolean
address string individual-address address.line:string*|address.city:string*|address.district:string*|address.state:string*|address.postalCode:string*|address.country:string*|address.text:string*
address-city string individual-address-city address.city:string*
address-country string individual-address-country address.country:string*
address-postalcode string individual-address-postalcode address.postalCode:string*
address-state string individual-address-state address.state:string*
address-use token individual-address-use address.use:code*
communication token Practitioner-communication communication:CodeableConcept*
email token individual-email telecom[system=email]:ContactPoint*
family string individual-family name.family:string*
gender token individual-gender gender:code
given string individual-given name.given:string*
identifier token Practitioner-identifier identifier:Identifier*
name string Practitioner-name name.family:string*|name.given:string*|name.prefix:string*|name.suffix:string*|name.text:string*
phone token individual-phone telecom[system=phone]:ContactPoint*
phonetic string individual-phonetic name.family:string*|name.given:string*|name.prefix:string*|name.suffix:string*|name.text:string*
telecom token individual-telecom telecom:ContactPoint*
`,
  PractitionerRole: `
active token PractitionerRole-active active:boolean
date date PractitionerRole-date period:Period
email token individual-email telecom[system=email]:ContactPoint*
endpoint reference PractitionerRole-endpoint endpoint:Reference* Endpoint
identifier token PractitionerRole-identifier identifier:Identifier*
location reference PractitionerRole-location location:Reference* Location
organization reference PractitionerRole-organization organization:Reference Organization
phone token individual-phone telecom[system=phone]:ContactPoint*
practitioner reference PractitionerRole-practitioner practitioner:Reference Practitioner
role token PractitionerRole-role code:CodeableConcept*
service reference PractitionerRole-service healthcareService:Reference* HealthcareService
specialty token PractitionerRole-specialty specialty:CodeableConcept*
telecom token individual-telecom telecom:ContactPoint*
`,
  Procedure: `
based-on reference Procedure-based-on basedOn:Reference* CarePlan,ServiceRequest
category token Procedure-category category:CodeableConcept
code token clinical-code code:CodeableConcept
date date clinical-date performedDateTime:dateTime|performedPeriod:Period
encounter reference clinical-encounter encounter:Reference Encounter,EpisodeOfCare
identifier token clinical-identifier identifier:Identifier*
instantiates-canonical reference Procedure-instantiates-canonical instantiatesCanonical:canonical* Questionnaire,Measure,PlanDefinition,OperationDefinition,ActivityDefinition
instantiates-uri uri Procedure-instantiates-uri instantiatesUri:uri*
location reference Procedure-location location:Reference Location
part-of reference Procedure-part-of partOf:Reference* Observation,Procedure,MedicationAdministration
patient reference clinical-patient subject:Reference(Patient) Patient,Group
performer reference Procedure-performer performer.actor:Reference* Practitioner,Organization,Device,Patient,PractitionerRole,RelatedPerson
reason-code token Procedure-reason-code reasonCode:CodeableConcept*
reason-reference reference Procedure-reason-reference reasonReference:Reference* Condition,Observation,Procedure,DiagnosticReport,DocumentReference
status token Procedure-status status:code
subject reference Procedure-subject subject:Reference Group,Patient
`,
  Provenance: `
agent reference Provenance-agent agent.who:Reference* Practitioner,Organization,Device,Patient,PractitionerRole,RelatedPerson
agent-role token Provenance-agent-role agent.role:CodeableConcept*
agent-type token Provenance-agent-type agent.type:CodeableConcept*
entity reference Provenance-entity entity.what:Reference*
location reference Provenance-location location:Reference Location
patient reference Provenance-patient target:Reference(Patient)* Patient
recorded date Provenance-recorded recorded:instant
signature-type token Provenance-signature-type signature.type:Coding*
target reference Provenance-target target:Reference*
when date Provenance-when occurredDateTime:dateTime
`,
  Questionnaire: `
code token Questionnaire-code item.code:Coding*
context token Questionnaire-context useContext.valueCodeableConcept:CodeableConcept*
context-quantity quantity Questionnaire-context-quantity useContext.valueQuantity:Quantity*|useContext.valueRange:Range*
context-type token Questionnaire-context-type useContext.code:Coding*
context-type-quantity composite Questionnaire-context-type-quantity useContext token=code:Coding$quantity=valueQuantity:Quantity|valueRange:Range
context-type-value composite Questionnaire-context-type-value useContext token=code:Coding$token=valueCodeableConcept:CodeableConcept
date date Questionnaire-date date:dateTime
definition uri Questionnaire-definition item.definition:uri*
description string Questionnaire-description description:string
effective date Questionnaire-effective effectivePeriod:Period
identifier token Questionnaire-identifier identifier:Identifier*
jurisdiction token Questionnaire-jurisdiction jurisdiction:CodeableConcept*
name string Questionnaire-name name:string
publisher string Questionnaire-publisher publisher:string
status token Questionnaire-status status:code
subject-type token Questionnaire-subject-type subjectType:code*
title string Questionnaire-title title:string
url uri Questionnaire-url url:uri
version token Questionnaire-version version:string
`,
  QuestionnaireResponse: `
author reference QuestionnaireResponse-author author:Reference Practitioner,Organization,Device,Patient,PractitionerRole,RelatedPerson
authored date QuestionnaireResponse-authored authored:dateTime
based-on reference QuestionnaireResponse-based-on basedOn:Reference* CarePlan,ServiceRequest
encounter reference QuestionnaireResponse-encounter encounter:Reference Encounter
identifier token QuestionnaireResponse-identifier identifier:Identifier
part-of reference QuestionnaireResponse-part-of partOf:Reference* Observation,Procedure
patient reference QuestionnaireResponse-patient subject:Reference(Patient) Patient
questionnaire reference QuestionnaireResponse-questionnaire questionnaire:canonical Questionnaire
source reference QuestionnaireResponse-source source:Reference Practitioner,Patient,PractitionerRole,RelatedPerson
status token QuestionnaireResponse-status status:code
subject reference QuestionnaireResponse-subject subject:Reference
`,
  RelatedPerson: `
active token RelatedPerson-active active:boolean
address string individual-address address.line:string*|address.city:string*|address.district:string*|address.state:string*|address.postalCode:string*|address.country:string*|address.text:string*
address-city string individual-address-city address.city:string*
address-country string individual-address-country address.country:string*
address-postalcode string individual-address-postalcode address.postalCode:string*
address-state string individual-address-state address.state:string*
address-use token individual-address-use address.use:code*
birthdate date individual-birthdate birthDate:date
email token individual-email telecom[system=email]:ContactPoint*
gender token individual-gender gender:code
identifier token RelatedPerson-identifier identifier:Identifier*
name string RelatedPerson-name name.family:string*|name.given:string*|name.prefix:string*|name.suffix:string*|name.text:string*
patient reference RelatedPerson-patient patient:Reference Patient
phone token individual-phone telecom[system=phone]:ContactPoint*
phonetic string individual-phonetic name.family:string*|name.given:string*|name.prefix:string*|name.suffix:string*|name.text:string*
relationship token RelatedPerson-relationship relationship:CodeableConcept*
telecom token individual-telecom telecom:ContactPoint*
`,
  RiskAssessment: `
condition reference RiskAssessment-condition condition:Reference Condition
date date clinical-date occurrenceDateTime:dateTime
encounter reference clinical-encounter encounter:Reference Encounter,EpisodeOfCare
identifier token clinical-identifier identifier:Identifier*
method token RiskAssessment-method method:CodeableConcept
patient reference clinical-patient subject:Reference(Patient) Patient,Group
performer reference RiskAssessment-performer performer:Reference Practitioner,Device,PractitionerRole
probability number RiskAssessment-probability prediction.probabilityDecimal:decimal*
risk token RiskAssessment-risk prediction.qualitativeRisk:CodeableConcept*
subject reference RiskAssessment-subject subject:Reference Group,Patient
`,
  SearchParameter: `
base token SearchParameter-base base:code*
code token SearchParameter-code code:code
component reference SearchParameter-component component.definition:canonical* SearchParameter
context token conformance-context useContext.valueCodeableConcept:CodeableConcept*
context-quantity quantity conformance-context-quantity useContext.valueQuantity:Quantity*|useContext.valueRange:Range*
context-type token conformance-context-type useContext.code:Coding*
context-type-quantity composite conformance-context-type-quantity useContext token=code:Coding$quantity=valueQuantity:Quantity|valueRange:Range
context-type-value composite conformance-context-type-value useContext token=code:Coding$token=valueCodeableConcept:CodeableConcept
date date conformance-date date:dateTime
derived-from reference SearchParameter-derived-from derivedFrom:canonical SearchParameter
description string conformance-description description:string
jurisdiction token conformance-jurisdiction jurisdiction:CodeableConcept*
name string conformance-name name:string
publisher string conformance-publisher publisher:string
status token conformance-status status:code
target token SearchParameter-target target:code*
type token SearchParameter-type type:code
url uri conformance-url url:uri
version token conformance-version version:string
`,
  ServiceRequest: `
authored date ServiceRequest-authored authoredOn:dateTime
based-on reference ServiceRequest-based-on basedOn:Reference* CarePlan,MedicationRequest,ServiceRequest
body-site token ServiceRequest-body-site bodySite:CodeableConcept*
category token ServiceRequest-category category:CodeableConcept*
code token clinical-code code:CodeableConcept
encounter reference clinical-encounter encounter:Reference Encounter,EpisodeOfCare
identifier token clinical-identifier identifier:Identifier*
instantiates-canonical reference ServiceRequest-instantiates-canonical instantiatesCanonical:canonical* PlanDefinition,ActivityDefinition
instantiates-uri uri ServiceRequest-instantiates-uri instantiatesUri:uri*
intent token ServiceRequest-intent intent:code
occurrence date ServiceRequest-occurrence occurrenceDateTime:dateTime|occurrencePeriod:Period|occurrenceTiming:Timing
patient reference clinical-patient subject:Reference(Patient) Patient,Group
performer reference ServiceRequest-performer performer:Reference* Practitioner,Organization,CareTeam,Device,Patient,HealthcareService,PractitionerRole,RelatedPerson
performer-type token ServiceRequest-performer-type performerType:CodeableConcept
priority token ServiceRequest-priority priority:code
replaces reference ServiceRequest-replaces replaces:Reference* ServiceRequest
requester reference ServiceRequest-requester requester:Reference Practitioner,Organization,Device,Patient,PractitionerRole,RelatedPerson
requisition token ServiceRequest-requisition requisition:Identifier
specimen reference ServiceRequest-specimen specimen:Reference* Specimen
status token ServiceRequest-status status:code
subject reference ServiceRequest-subject subject:Reference Group,Device,Patient,Location
`,
  StructureDefinition: `
abstract token StructureDefinition-abstract abstract:boolean
base reference StructureDefinition-base baseDefinition:canonical StructureDefinition
base-path token StructureDefinition-base-path snapshot.element.base.path:string*|differential.element.base.path:string*
context token conformance-context useContext.valueCodeableConcept:CodeableConcept*
context-quantity quantity conformance-context-quantity useContext.valueQuantity:Quantity*|useContext.valueRange:Range*
context-type token conformance-context-type useContext.code:Coding*
context-type-quantity composite conformance-context-type-quantity useContext token=code:Coding$quantity=valueQuantity:Quantity|valueRange:Range
context-type-value composite conformance-context-type-value useContext token=code:Coding$token=valueCodeableConcept:CodeableConcept
date date conformance-date date:dateTime
derivation token StructureDefinition-derivation derivation:code
description string conformance-description description:string
experimental token StructureDefinition-experimental experimental:boolean
ext-context token StructureDefinition-ext-context context.type:code*
identifier token conformance-identifier identifier:Identifier*
jurisdiction token conformance-jurisdiction jurisdiction:CodeableConcept*
keyword token StructureDefinition-keyword keyword:Coding*
kind token StructureDefinition-kind kind:code
name string conformance-name name:string
path token StructureDefinition-path snapshot.element.path:string*|differential.element.path:string*
publisher string conformance-publisher publisher:string
status token conformance-status status:code
title string conformance-title title:string
type uri StructureDefinition-type type:uri
url uri conformance-url url:uri
valueset reference StructureDefinition-valueset snapshot.element.binding.valueSet:canonical* ValueSet
version token conformance-version version:string
`,
  Subscription: `
contact token Subscription-contact contact:ContactPoint*
criteria string Subscription-criteria criteria:string
payload token Subscription-payload channel.payload:code
status token Subscription-status status:code
type token Subscription-type channel.type:code
url uri Subscription-url channel.endpoint:url
`,
  Task: `
authored-on date Task-authored-on authoredOn:dateTime
based-on reference Task-based-on basedOn:Reference*
business-status token Task-business-status businessStatus:CodeableConcept
code token Task-code code:CodeableConcept
encounter reference Task-encounter encounter:Reference Encounter
focus reference Task-focus focus:Reference
group-identifier token Task-group-identifier groupIdentifier:Identifier
identifier token Task-identifier identifier:Identifier*
intent token Task-intent intent:code
modified date Task-modified lastModified:dateTime
owner reference Task-owner owner:Reference Practitioner,Organization,CareTeam,Device,Patient,HealthcareService,PractitionerRole,RelatedPerson
part-of reference Task-part-of partOf:Reference* Task
patient reference Task-patient for:Reference(Patient) Patient
performer token Task-performer performerType:CodeableConcept*
period date Task-period executionPeriod:Period
priority token Task-priority priority:code
requester reference Task-requester requester:Reference Practitioner,Organization,Device,Patient,PractitionerRole,RelatedPerson
status token Task-status status:code
subject reference Task-subject for:Reference
`,
  ValueSet: `
code token ValueSet-code expansion.contains.code:code*|compose.include.concept.code:code*
context token conformance-context useContext.valueCodeableConcept:CodeableConcept*
context-quantity quantity conformance-context-quantity useContext.valueQuantity:Quantity*|useContext.valueRange:Range*
context-type token conformance-context-type useContext.code:Coding*
context-type-quantity composite conformance-context-type-quantity useContext token=code:Coding$quantity=valueQuantity:Quantity|valueRange:Range
context-type-value composite conformance-context-type-value useContext token=code:Coding$token=valueCodeableConcept:CodeableConcept
date date conformance-date date:dateTime
description string conformance-description description:string
expansion uri ValueSet-expansion expansion.identifier:uri
identifier token conformance-identifier identifier:Identifier*
jurisdiction token conformance-jurisdiction jurisdiction:CodeableConcept*
name string conformance-name name:string
publisher string conformance-publisher publisher:string
reference uri ValueSet-reference compose.include.system:uri*
status token conformance-status status:code
title string conformance-title title:string
url uri conformance-url url:uri
version token conformance-version version:string
`,
}

/** The parameters that place a type in the compartment of a Patient. */
export const PATIENT_COMPARTMENT: Readonly<Record<string, string>> = {
  Appointment: `actor`,
  AuditEvent: `patient`,
  CarePlan: `patient|performer`,
  CareTeam: `patient|participant`,
  ClinicalImpression: `subject`,
  Communication: `subject|sender|recipient`,
  CommunicationRequest: `subject|sender|recipient|requester`,
  Composition: `subject|author|attester`,
  Condition: `patient|asserter`,
  Consent: `patient`,
  Coverage: `policy-holder|subscriber|beneficiary|payor`,
  DeviceRequest: `subject|performer`,
  DeviceUseStatement: `subject`,
  DocumentReference: `subject|author`,
  Encounter: `patient`,
  Goal: `patient`,
  Group: `member`,
  List: `subject|source`,
  MeasureReport: `patient`,
  Observation: `subject|performer`,
  Patient: `link`,
  Procedure: `patient|performer`,
  Provenance: `patient`,
  QuestionnaireResponse: `subject|author`,
  RelatedPerson: `patient`,
  RiskAssessment: `subject`,
  ServiceRequest: `subject|performer`,
}
