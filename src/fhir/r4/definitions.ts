// Generated, never edited: `npm run generate:r4` writes it from the official FHIR R4 definitions.
// The definitions are those of HL7 (hl7.fhir.r4.core 4.0.1, CC0-1.0).

/** Elements of each resource type, one line an element; see definition.ts for the form. */
export const RESOURCES: Readonly<Record<string, string>> = {
  Account: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {account-status}
type 0..1 CodeableConcept
name 0..1 string
subject 0..* Reference(Patient,Device,Practitioner,PractitionerRole,Location,HealthcareService,Organization)
servicePeriod 0..1 Period
coverage 0..* Account.coverage
owner 0..1 Reference(Organization)
description 0..1 string
guarantor 0..* Account.guarantor
partOf 0..1 Reference(Account)
`,
  ActivityDefinition: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 0..1 uri
identifier 0..* Identifier
version 0..1 string
name 0..1 string
title 0..1 string
subtitle 0..1 string
status 1..1 code {publication-status}
experimental 0..1 boolean
subject[x] 0..1 CodeableConcept|Reference(Group)
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
purpose 0..1 markdown
usage 0..1 string
copyright 0..1 markdown
approvalDate 0..1 date
lastReviewDate 0..1 date
effectivePeriod 0..1 Period
topic 0..* CodeableConcept
author 0..* ContactDetail
editor 0..* ContactDetail
reviewer 0..* ContactDetail
endorser 0..* ContactDetail
relatedArtifact 0..* RelatedArtifact
library 0..* canonical
kind 0..1 code {request-resource-types}
profile 0..1 canonical
code 0..1 CodeableConcept
intent 0..1 code {request-intent}
priority 0..1 code {request-priority}
doNotPerform 0..1 boolean
timing[x] 0..1 Timing|dateTime|Age|Period|Range|Duration
location 0..1 Reference(Location)
participant 0..* ActivityDefinition.participant
product[x] 0..1 Reference(Medication,Substance)|CodeableConcept
quantity 0..1 Quantity
dosage 0..* Dosage
bodySite 0..* CodeableConcept
specimenRequirement 0..* Reference(SpecimenDefinition)
observationRequirement 0..* Reference(ObservationDefinition)
observationResultRequirement 0..* Reference(ObservationDefinition)
transform 0..1 canonical
dynamicValue 0..* ActivityDefinition.dynamicValue
`,
  AdverseEvent: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..1 Identifier
actuality 1..1 code {adverse-event-actuality}
category 0..* CodeableConcept
event 0..1 CodeableConcept
subject 1..1 Reference(Patient,Group,Practitioner,RelatedPerson)
encounter 0..1 Reference(Encounter)
date 0..1 dateTime
detected 0..1 dateTime
recordedDate 0..1 dateTime
resultingCondition 0..* Reference(Condition)
location 0..1 Reference(Location)
seriousness 0..1 CodeableConcept
severity 0..1 CodeableConcept {adverse-event-severity}
outcome 0..1 CodeableConcept {adverse-event-outcome}
recorder 0..1 Reference(Patient,Practitioner,PractitionerRole,RelatedPerson)
contributor 0..* Reference(Practitioner,PractitionerRole,Device)
suspectEntity 0..* AdverseEvent.suspectEntity
subjectMedicalHistory 0..* Reference(Condition,Observation,AllergyIntolerance,FamilyMemberHistory,Immunization,Procedure,Media,DocumentReference)
referenceDocument 0..* Reference(DocumentReference)
study 0..* Reference(ResearchStudy)
`,
  AllergyIntolerance: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
clinicalStatus 0..1 CodeableConcept {allergyintolerance-clinical}
verificationStatus 0..1 CodeableConcept {allergyintolerance-verification}
type 0..1 code {allergy-intolerance-type}
category 0..* code {allergy-intolerance-category}
criticality 0..1 code {allergy-intolerance-criticality}
code 0..1 CodeableConcept
patient 1..1 Reference(Patient)
encounter 0..1 Reference(Encounter)
onset[x] 0..1 dateTime|Age|Period|Range|string
recordedDate 0..1 dateTime
recorder 0..1 Reference(Practitioner,PractitionerRole,Patient,RelatedPerson)
asserter 0..1 Reference(Patient,RelatedPerson,Practitioner,PractitionerRole)
lastOccurrence 0..1 dateTime
note 0..* Annotation
reaction 0..* AllergyIntolerance.reaction
`,
  Appointment: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {appointmentstatus}
cancelationReason 0..1 CodeableConcept
serviceCategory 0..* CodeableConcept
serviceType 0..* CodeableConcept
specialty 0..* CodeableConcept
appointmentType 0..1 CodeableConcept
reasonCode 0..* CodeableConcept
reasonReference 0..* Reference(Condition,Procedure,Observation,ImmunizationRecommendation)
priority 0..1 unsignedInt
description 0..1 string
supportingInformation 0..* Reference
start 0..1 instant
end 0..1 instant
minutesDuration 0..1 positiveInt
slot 0..* Reference(Slot)
created 0..1 dateTime
comment 0..1 string
patientInstruction 0..1 string
basedOn 0..* Reference(ServiceRequest)
participant 1..* Appointment.participant
requestedPeriod 0..* Period
`,
  AppointmentResponse: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
appointment 1..1 Reference(Appointment)
start 0..1 instant
end 0..1 instant
participantType 0..* CodeableConcept
actor 0..1 Reference(Patient,Practitioner,PractitionerRole,RelatedPerson,Device,HealthcareService,Location)
participantStatus 1..1 code {participationstatus}
comment 0..1 string
`,
  AuditEvent: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 Coding
subtype 0..* Coding
action 0..1 code {audit-event-action}
period 0..1 Period
recorded 1..1 instant
outcome 0..1 code {audit-event-outcome}
outcomeDesc 0..1 string
purposeOfEvent 0..* CodeableConcept
agent 1..* AuditEvent.agent
source 1..1 AuditEvent.source
entity 0..* AuditEvent.entity
`,
  Basic: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
code 1..1 CodeableConcept
subject 0..1 Reference
created 0..1 date
author 0..1 Reference(Practitioner,PractitionerRole,Patient,RelatedPerson,Organization)
`,
  Binary: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
contentType 1..1 code {mimetypes}
securityContext 0..1 Reference
data 0..1 base64Binary
`,
  BiologicallyDerivedProduct: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
productCategory 0..1 code {product-category}
productCode 0..1 CodeableConcept
status 0..1 code {product-status}
request 0..* Reference(ServiceRequest)
quantity 0..1 integer
parent 0..* Reference(BiologicallyDerivedProduct)
collection 0..1 BiologicallyDerivedProduct.collection
processing 0..* BiologicallyDerivedProduct.processing
manipulation 0..1 BiologicallyDerivedProduct.manipulation
storage 0..* BiologicallyDerivedProduct.storage
`,
  BodyStructure: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
active 0..1 boolean
morphology 0..1 CodeableConcept
location 0..1 CodeableConcept
locationQualifier 0..* CodeableConcept
description 0..1 string
image 0..* Attachment
patient 1..1 Reference(Patient)
`,
  Bundle: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
identifier 0..1 Identifier
type 1..1 code {bundle-type}
timestamp 0..1 instant
total 0..1 unsignedInt
link 0..* Bundle.link
entry 0..* Bundle.entry
signature 0..1 Signature
`,
  CapabilityStatement: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 0..1 uri
version 0..1 string
name 0..1 string
title 0..1 string
status 1..1 code {publication-status}
experimental 0..1 boolean
date 1..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
purpose 0..1 markdown
copyright 0..1 markdown
kind 1..1 code {capability-statement-kind}
instantiates 0..* canonical
imports 0..* canonical
software 0..1 CapabilityStatement.software
implementation 0..1 CapabilityStatement.implementation
fhirVersion 1..1 code {FHIR-version}
format 1..* code
patchFormat 0..* code {mimetypes}
implementationGuide 0..* canonical
rest 0..* CapabilityStatement.rest
messaging 0..* CapabilityStatement.messaging
document 0..* CapabilityStatement.document
`,
  CarePlan: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
instantiatesCanonical 0..* canonical
instantiatesUri 0..* uri
basedOn 0..* Reference(CarePlan)
replaces 0..* Reference(CarePlan)
partOf 0..* Reference(CarePlan)
status 1..1 code {request-status}
intent 1..1 code {care-plan-intent}
category 0..* CodeableConcept
title 0..1 string
description 0..1 string
subject 1..1 Reference(Patient,Group)
encounter 0..1 Reference(Encounter)
period 0..1 Period
created 0..1 dateTime
author 0..1 Reference(Patient,Practitioner,PractitionerRole,Device,RelatedPerson,Organization,CareTeam)
contributor 0..* Reference(Patient,Practitioner,PractitionerRole,Device,RelatedPerson,Organization,CareTeam)
careTeam 0..* Reference(CareTeam)
addresses 0..* Reference(Condition)
supportingInfo 0..* Reference
goal 0..* Reference(Goal)
activity 0..* CarePlan.activity
note 0..* Annotation
`,
  CareTeam: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 0..1 code {care-team-status}
category 0..* CodeableConcept
name 0..1 string
subject 0..1 Reference(Patient,Group)
encounter 0..1 Reference(Encounter)
period 0..1 Period
participant 0..* CareTeam.participant
reasonCode 0..* CodeableConcept
reasonReference 0..* Reference(Condition)
managingOrganization 0..* Reference(Organization)
telecom 0..* ContactPoint
note 0..* Annotation
`,
  CatalogEntry: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
type 0..1 CodeableConcept
orderable 1..1 boolean
referencedItem 1..1 Reference(Medication,Device,Organization,Practitioner,PractitionerRole,HealthcareService,ActivityDefinition,PlanDefinition,SpecimenDefinition,ObservationDefinition,Binary)
additionalIdentifier 0..* Identifier
classification 0..* CodeableConcept
status 0..1 code {publication-status}
validityPeriod 0..1 Period
validTo 0..1 dateTime
lastUpdated 0..1 dateTime
additionalCharacteristic 0..* CodeableConcept
additionalClassification 0..* CodeableConcept
relatedEntry 0..* CatalogEntry.relatedEntry
`,
  ChargeItem: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
definitionUri 0..* uri
definitionCanonical 0..* canonical
status 1..1 code {chargeitem-status}
partOf 0..* Reference(ChargeItem)
code 1..1 CodeableConcept
subject 1..1 Reference(Patient,Group)
context 0..1 Reference(Encounter,EpisodeOfCare)
occurrence[x] 0..1 dateTime|Period|Timing
performer 0..* ChargeItem.performer
performingOrganization 0..1 Reference(Organization)
requestingOrganization 0..1 Reference(Organization)
costCenter 0..1 Reference(Organization)
quantity 0..1 Quantity
bodysite 0..* CodeableConcept
factorOverride 0..1 decimal
priceOverride 0..1 Money
overrideReason 0..1 string
enterer 0..1 Reference(Practitioner,PractitionerRole,Organization,Patient,Device,RelatedPerson)
enteredDate 0..1 dateTime
reason 0..* CodeableConcept
service 0..* Reference(DiagnosticReport,ImagingStudy,Immunization,MedicationAdministration,MedicationDispense,Observation,Procedure,SupplyDelivery)
product[x] 0..1 Reference(Device,Medication,Substance)|CodeableConcept
account 0..* Reference(Account)
note 0..* Annotation
supportingInformation 0..* Reference
`,
  ChargeItemDefinition: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 1..1 uri
identifier 0..* Identifier
version 0..1 string
title 0..1 string
derivedFromUri 0..* uri
partOf 0..* canonical
replaces 0..* canonical
status 1..1 code {publication-status}
experimental 0..1 boolean
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
copyright 0..1 markdown
approvalDate 0..1 date
lastReviewDate 0..1 date
effectivePeriod 0..1 Period
code 0..1 CodeableConcept
instance 0..* Reference(Medication,Substance,Device)
applicability 0..* ChargeItemDefinition.applicability
propertyGroup 0..* ChargeItemDefinition.propertyGroup
`,
  Claim: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {fm-status}
type 1..1 CodeableConcept
subType 0..1 CodeableConcept
use 1..1 code {claim-use}
patient 1..1 Reference(Patient)
billablePeriod 0..1 Period
created 1..1 dateTime
enterer 0..1 Reference(Practitioner,PractitionerRole)
insurer 0..1 Reference(Organization)
provider 1..1 Reference(Practitioner,PractitionerRole,Organization)
priority 1..1 CodeableConcept
fundsReserve 0..1 CodeableConcept
related 0..* Claim.related
prescription 0..1 Reference(DeviceRequest,MedicationRequest,VisionPrescription)
originalPrescription 0..1 Reference(DeviceRequest,MedicationRequest,VisionPrescription)
payee 0..1 Claim.payee
referral 0..1 Reference(ServiceRequest)
facility 0..1 Reference(Location)
careTeam 0..* Claim.careTeam
supportingInfo 0..* Claim.supportingInfo
diagnosis 0..* Claim.diagnosis
procedure 0..* Claim.procedure
insurance 1..* Claim.insurance
accident 0..1 Claim.accident
item 0..* Claim.item
total 0..1 Money
`,
  ClaimResponse: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {fm-status}
type 1..1 CodeableConcept
subType 0..1 CodeableConcept
use 1..1 code {claim-use}
patient 1..1 Reference(Patient)
created 1..1 dateTime
insurer 1..1 Reference(Organization)
requestor 0..1 Reference(Practitioner,PractitionerRole,Organization)
request 0..1 Reference(Claim)
outcome 1..1 code {remittance-outcome}
disposition 0..1 string
preAuthRef 0..1 string
preAuthPeriod 0..1 Period
payeeType 0..1 CodeableConcept
item 0..* ClaimResponse.item
addItem 0..* ClaimResponse.addItem
total 0..* ClaimResponse.total
payment 0..1 ClaimResponse.payment
fundsReserve 0..1 CodeableConcept
formCode 0..1 CodeableConcept
form 0..1 Attachment
processNote 0..* ClaimResponse.processNote
communicationRequest 0..* Reference(CommunicationRequest)
insurance 0..* ClaimResponse.insurance
error 0..* ClaimResponse.error
`,
  ClinicalImpression: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {clinicalimpression-status}
statusReason 0..1 CodeableConcept
code 0..1 CodeableConcept
description 0..1 string
subject 1..1 Reference(Patient,Group)
encounter 0..1 Reference(Encounter)
effective[x] 0..1 dateTime|Period
date 0..1 dateTime
assessor 0..1 Reference(Practitioner,PractitionerRole)
previous 0..1 Reference(ClinicalImpression)
problem 0..* Reference(Condition,AllergyIntolerance)
investigation 0..* ClinicalImpression.investigation
protocol 0..* uri
summary 0..1 string
finding 0..* ClinicalImpression.finding
prognosisCodeableConcept 0..* CodeableConcept
prognosisReference 0..* Reference(RiskAssessment)
supportingInfo 0..* Reference
note 0..* Annotation
`,
  CodeSystem: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 0..1 uri
identifier 0..* Identifier
version 0..1 string
name 0..1 string
title 0..1 string
status 1..1 code {publication-status}
experimental 0..1 boolean
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
purpose 0..1 markdown
copyright 0..1 markdown
caseSensitive 0..1 boolean
valueSet 0..1 canonical
hierarchyMeaning 0..1 code {codesystem-hierarchy-meaning}
compositional 0..1 boolean
versionNeeded 0..1 boolean
content 1..1 code {codesystem-content-mode}
supplements 0..1 canonical
count 0..1 unsignedInt
filter 0..* CodeSystem.filter
property 0..* CodeSystem.property
concept 0..* CodeSystem.concept
`,
  Communication: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
instantiatesCanonical 0..* canonical
instantiatesUri 0..* uri
basedOn 0..* Reference
partOf 0..* Reference
inResponseTo 0..* Reference(Communication)
status 1..1 code {event-status}
statusReason 0..1 CodeableConcept
category 0..* CodeableConcept
priority 0..1 code {request-priority}
medium 0..* CodeableConcept
subject 0..1 Reference(Patient,Group)
topic 0..1 CodeableConcept
about 0..* Reference
encounter 0..1 Reference(Encounter)
sent 0..1 dateTime
received 0..1 dateTime
recipient 0..* Reference(Device,Organization,Patient,Practitioner,PractitionerRole,RelatedPerson,Group,CareTeam,HealthcareService)
sender 0..1 Reference(Device,Organization,Patient,Practitioner,PractitionerRole,RelatedPerson,HealthcareService)
reasonCode 0..* CodeableConcept
reasonReference 0..* Reference(Condition,Observation,DiagnosticReport,DocumentReference)
payload 0..* Communication.payload
note 0..* Annotation
`,
  CommunicationRequest: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
basedOn 0..* Reference
replaces 0..* Reference(CommunicationRequest)
groupIdentifier 0..1 Identifier
status 1..1 code {request-status}
statusReason 0..1 CodeableConcept
category 0..* CodeableConcept
priority 0..1 code {request-priority}
doNotPerform 0..1 boolean
medium 0..* CodeableConcept
subject 0..1 Reference(Patient,Group)
about 0..* Reference
encounter 0..1 Reference(Encounter)
payload 0..* CommunicationRequest.payload
occurrence[x] 0..1 dateTime|Period
authoredOn 0..1 dateTime
requester 0..1 Reference(Practitioner,PractitionerRole,Organization,Patient,RelatedPerson,Device)
recipient 0..* Reference(Device,Organization,Patient,Practitioner,PractitionerRole,RelatedPerson,Group,CareTeam,HealthcareService)
sender 0..1 Reference(Device,Organization,Patient,Practitioner,PractitionerRole,RelatedPerson,HealthcareService)
reasonCode 0..* CodeableConcept
reasonReference 0..* Reference(Condition,Observation,DiagnosticReport,DocumentReference)
note 0..* Annotation
`,
  CompartmentDefinition: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 1..1 uri
version 0..1 string
name 1..1 string
status 1..1 code {publication-status}
experimental 0..1 boolean
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
useContext 0..* UsageContext
purpose 0..1 markdown
code 1..1 code {compartment-type}
search 1..1 boolean
resource 0..* CompartmentDefinition.resource
`,
  Composition: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..1 Identifier
status 1..1 code {composition-status}
type 1..1 CodeableConcept
category 0..* CodeableConcept
subject 0..1 Reference
encounter 0..1 Reference(Encounter)
date 1..1 dateTime
author 1..* Reference(Practitioner,PractitionerRole,Device,Patient,RelatedPerson,Organization)
title 1..1 string
confidentiality 0..1 code {v3-ConfidentialityClassification}
attester 0..* Composition.attester
custodian 0..1 Reference(Organization)
relatesTo 0..* Composition.relatesTo
event 0..* Composition.event
section 0..* Composition.section
`,
  ConceptMap: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 0..1 uri
identifier 0..1 Identifier
version 0..1 string
name 0..1 string
title 0..1 string
status 1..1 code {publication-status}
experimental 0..1 boolean
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
purpose 0..1 markdown
copyright 0..1 markdown
source[x] 0..1 uri|canonical
target[x] 0..1 uri|canonical
group 0..* ConceptMap.group
`,
  Condition: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
clinicalStatus 0..1 CodeableConcept {condition-clinical}
verificationStatus 0..1 CodeableConcept {condition-ver-status}
category 0..* CodeableConcept
severity 0..1 CodeableConcept
code 0..1 CodeableConcept
bodySite 0..* CodeableConcept
subject 1..1 Reference(Patient,Group)
encounter 0..1 Reference(Encounter)
onset[x] 0..1 dateTime|Age|Period|Range|string
abatement[x] 0..1 dateTime|Age|Period|Range|string
recordedDate 0..1 dateTime
recorder 0..1 Reference(Practitioner,PractitionerRole,Patient,RelatedPerson)
asserter 0..1 Reference(Practitioner,PractitionerRole,Patient,RelatedPerson)
stage 0..* Condition.stage
evidence 0..* Condition.evidence
note 0..* Annotation
`,
  Consent: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {consent-state-codes}
scope 1..1 CodeableConcept
category 1..* CodeableConcept
patient 0..1 Reference(Patient)
dateTime 0..1 dateTime
performer 0..* Reference(Organization,Patient,Practitioner,RelatedPerson,PractitionerRole)
organization 0..* Reference(Organization)
source[x] 0..1 Attachment|Reference(Consent,DocumentReference,Contract,QuestionnaireResponse)
policy 0..* Consent.policy
policyRule 0..1 CodeableConcept
verification 0..* Consent.verification
provision 0..1 Consent.provision
`,
  Contract: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
url 0..1 uri
version 0..1 string
status 0..1 code {contract-status}
legalState 0..1 CodeableConcept
instantiatesCanonical 0..1 Reference(Contract)
instantiatesUri 0..1 uri
contentDerivative 0..1 CodeableConcept
issued 0..1 dateTime
applies 0..1 Period
expirationType 0..1 CodeableConcept
subject 0..* Reference
authority 0..* Reference(Organization)
domain 0..* Reference(Location)
site 0..* Reference(Location)
name 0..1 string
title 0..1 string
subtitle 0..1 string
alias 0..* string
author 0..1 Reference(Patient,Practitioner,PractitionerRole,Organization)
scope 0..1 CodeableConcept
topic[x] 0..1 CodeableConcept|Reference
type 0..1 CodeableConcept
subType 0..* CodeableConcept
contentDefinition 0..1 Contract.contentDefinition
term 0..* Contract.term
supportingInfo 0..* Reference
relevantHistory 0..* Reference(Provenance)
signer 0..* Contract.signer
friendly 0..* Contract.friendly
legal 0..* Contract.legal
rule 0..* Contract.rule
legallyBinding[x] 0..1 Attachment|Reference(Composition,DocumentReference,QuestionnaireResponse,Contract)
`,
  Coverage: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {fm-status}
type 0..1 CodeableConcept
policyHolder 0..1 Reference(Patient,RelatedPerson,Organization)
subscriber 0..1 Reference(Patient,RelatedPerson)
subscriberId 0..1 string
beneficiary 1..1 Reference(Patient)
dependent 0..1 string
relationship 0..1 CodeableConcept
period 0..1 Period
payor 1..* Reference(Organization,Patient,RelatedPerson)
class 0..* Coverage.class
order 0..1 positiveInt
network 0..1 string
costToBeneficiary 0..* Coverage.costToBeneficiary
subrogation 0..1 boolean
contract 0..* Reference(Contract)
`,
  CoverageEligibilityRequest: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {fm-status}
priority 0..1 CodeableConcept
purpose 1..* code {eligibilityrequest-purpose}
patient 1..1 Reference(Patient)
serviced[x] 0..1 date|Period
created 1..1 dateTime
enterer 0..1 Reference(Practitioner,PractitionerRole)
provider 0..1 Reference(Practitioner,PractitionerRole,Organization)
insurer 1..1 Reference(Organization)
facility 0..1 Reference(Location)
supportingInfo 0..* CoverageEligibilityRequest.supportingInfo
insurance 0..* CoverageEligibilityRequest.insurance
item 0..* CoverageEligibilityRequest.item
`,
  CoverageEligibilityResponse: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {fm-status}
purpose 1..* code {eligibilityresponse-purpose}
patient 1..1 Reference(Patient)
serviced[x] 0..1 date|Period
created 1..1 dateTime
requestor 0..1 Reference(Practitioner,PractitionerRole,Organization)
request 1..1 Reference(CoverageEligibilityRequest)
outcome 1..1 code {remittance-outcome}
disposition 0..1 string
insurer 1..1 Reference(Organization)
insurance 0..* CoverageEligibilityResponse.insurance
preAuthRef 0..1 string
form 0..1 CodeableConcept
error 0..* CoverageEligibilityResponse.error
`,
  DetectedIssue: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {observation-status}
code 0..1 CodeableConcept
severity 0..1 code {detectedissue-severity}
patient 0..1 Reference(Patient)
identified[x] 0..1 dateTime|Period
author 0..1 Reference(Practitioner,PractitionerRole,Device)
implicated 0..* Reference
evidence 0..* DetectedIssue.evidence
detail 0..1 string
reference 0..1 uri
mitigation 0..* DetectedIssue.mitigation
`,
  Device: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
definition 0..1 Reference(DeviceDefinition)
udiCarrier 0..* Device.udiCarrier
status 0..1 code {device-status}
statusReason 0..* CodeableConcept
distinctIdentifier 0..1 string
manufacturer 0..1 string
manufactureDate 0..1 dateTime
expirationDate 0..1 dateTime
lotNumber 0..1 string
serialNumber 0..1 string
deviceName 0..* Device.deviceName
modelNumber 0..1 string
partNumber 0..1 string
type 0..1 CodeableConcept
specialization 0..* Device.specialization
version 0..* Device.version
property 0..* Device.property
patient 0..1 Reference(Patient)
owner 0..1 Reference(Organization)
contact 0..* ContactPoint
location 0..1 Reference(Location)
url 0..1 uri
note 0..* Annotation
safety 0..* CodeableConcept
parent 0..1 Reference(Device)
`,
  DeviceDefinition: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
udiDeviceIdentifier 0..* DeviceDefinition.udiDeviceIdentifier
manufacturer[x] 0..1 string|Reference(Organization)
deviceName 0..* DeviceDefinition.deviceName
modelNumber 0..1 string
type 0..1 CodeableConcept
specialization 0..* DeviceDefinition.specialization
version 0..* string
safety 0..* CodeableConcept
shelfLifeStorage 0..* ProductShelfLife
physicalCharacteristics 0..1 ProdCharacteristic
languageCode 0..* CodeableConcept
capability 0..* DeviceDefinition.capability
property 0..* DeviceDefinition.property
owner 0..1 Reference(Organization)
contact 0..* ContactPoint
url 0..1 uri
onlineInformation 0..1 uri
note 0..* Annotation
quantity 0..1 Quantity
parentDevice 0..1 Reference(DeviceDefinition)
material 0..* DeviceDefinition.material
`,
  DeviceMetric: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
type 1..1 CodeableConcept
unit 0..1 CodeableConcept
source 0..1 Reference(Device)
parent 0..1 Reference(Device)
operationalStatus 0..1 code {metric-operational-status}
color 0..1 code {metric-color}
category 1..1 code {metric-category}
measurementPeriod 0..1 Timing
calibration 0..* DeviceMetric.calibration
`,
  DeviceRequest: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
instantiatesCanonical 0..* canonical
instantiatesUri 0..* uri
basedOn 0..* Reference
priorRequest 0..* Reference
groupIdentifier 0..1 Identifier
status 0..1 code {request-status}
intent 1..1 code {request-intent}
priority 0..1 code {request-priority}
code[x] 1..1 Reference(Device)|CodeableConcept
parameter 0..* DeviceRequest.parameter
subject 1..1 Reference(Patient,Group,Location,Device)
encounter 0..1 Reference(Encounter)
occurrence[x] 0..1 dateTime|Period|Timing
authoredOn 0..1 dateTime
requester 0..1 Reference(Device,Practitioner,PractitionerRole,Organization)
performerType 0..1 CodeableConcept
performer 0..1 Reference(Practitioner,PractitionerRole,Organization,CareTeam,HealthcareService,Patient,Device,RelatedPerson)
reasonCode 0..* CodeableConcept
reasonReference 0..* Reference(Condition,Observation,DiagnosticReport,DocumentReference)
insurance 0..* Reference(Coverage,ClaimResponse)
supportingInfo 0..* Reference
note 0..* Annotation
relevantHistory 0..* Reference(Provenance)
`,
  DeviceUseStatement: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
basedOn 0..* Reference(ServiceRequest)
status 1..1 code {device-statement-status}
subject 1..1 Reference(Patient,Group)
derivedFrom 0..* Reference(ServiceRequest,Procedure,Claim,Observation,QuestionnaireResponse,DocumentReference)
timing[x] 0..1 Timing|Period|dateTime
recordedOn 0..1 dateTime
source 0..1 Reference(Patient,Practitioner,PractitionerRole,RelatedPerson)
device 1..1 Reference(Device)
reasonCode 0..* CodeableConcept
reasonReference 0..* Reference(Condition,Observation,DiagnosticReport,DocumentReference,Media)
bodySite 0..1 CodeableConcept
note 0..* Annotation
`,
  DiagnosticReport: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
basedOn 0..* Reference(CarePlan,ImmunizationRecommendation,MedicationRequest,NutritionOrder,ServiceRequest)
status 1..1 code {diagnostic-report-status}
category 0..* CodeableConcept
code 1..1 CodeableConcept
subject 0..1 Reference(Patient,Group,Device,Location)
encounter 0..1 Reference(Encounter)
effective[x] 0..1 dateTime|Period
issued 0..1 instant
performer 0..* Reference(Practitioner,PractitionerRole,Organization,CareTeam)
resultsInterpreter 0..* Reference(Practitioner,PractitionerRole,Organization,CareTeam)
specimen 0..* Reference(Specimen)
result 0..* Reference(Observation)
imagingStudy 0..* Reference(ImagingStudy)
media 0..* DiagnosticReport.media
conclusion 0..1 string
conclusionCode 0..* CodeableConcept
presentedForm 0..* Attachment
`,
  DocumentManifest: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
masterIdentifier 0..1 Identifier
identifier 0..* Identifier
status 1..1 code {document-reference-status}
type 0..1 CodeableConcept
subject 0..1 Reference(Patient,Practitioner,Group,Device)
created 0..1 dateTime
author 0..* Reference(Practitioner,PractitionerRole,Organization,Device,Patient,RelatedPerson)
recipient 0..* Reference(Patient,Practitioner,PractitionerRole,RelatedPerson,Organization)
source 0..1 uri
description 0..1 string
content 1..* Reference
related 0..* DocumentManifest.related
`,
  DocumentReference: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
masterIdentifier 0..1 Identifier
identifier 0..* Identifier
status 1..1 code {document-reference-status}
docStatus 0..1 code {composition-status}
type 0..1 CodeableConcept
category 0..* CodeableConcept
subject 0..1 Reference(Patient,Practitioner,Group,Device)
date 0..1 instant
author 0..* Reference(Practitioner,PractitionerRole,Organization,Device,Patient,RelatedPerson)
authenticator 0..1 Reference(Practitioner,PractitionerRole,Organization)
custodian 0..1 Reference(Organization)
relatesTo 0..* DocumentReference.relatesTo
description 0..1 string
securityLabel 0..* CodeableConcept
content 1..* DocumentReference.content
context 0..1 DocumentReference.context
`,
  EffectEvidenceSynthesis: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 0..1 uri
identifier 0..* Identifier
version 0..1 string
name 0..1 string
title 0..1 string
status 1..1 code {publication-status}
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
note 0..* Annotation
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
copyright 0..1 markdown
approvalDate 0..1 date
lastReviewDate 0..1 date
effectivePeriod 0..1 Period
topic 0..* CodeableConcept
author 0..* ContactDetail
editor 0..* ContactDetail
reviewer 0..* ContactDetail
endorser 0..* ContactDetail
relatedArtifact 0..* RelatedArtifact
synthesisType 0..1 CodeableConcept
studyType 0..1 CodeableConcept
population 1..1 Reference(EvidenceVariable)
exposure 1..1 Reference(EvidenceVariable)
exposureAlternative 1..1 Reference(EvidenceVariable)
outcome 1..1 Reference(EvidenceVariable)
sampleSize 0..1 EffectEvidenceSynthesis.sampleSize
resultsByExposure 0..* EffectEvidenceSynthesis.resultsByExposure
effectEstimate 0..* EffectEvidenceSynthesis.effectEstimate
certainty 0..* EffectEvidenceSynthesis.certainty
`,
  Encounter: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {encounter-status}
statusHistory 0..* Encounter.statusHistory
class 1..1 Coding
classHistory 0..* Encounter.classHistory
type 0..* CodeableConcept
serviceType 0..1 CodeableConcept
priority 0..1 CodeableConcept
subject 0..1 Reference(Patient,Group)
episodeOfCare 0..* Reference(EpisodeOfCare)
basedOn 0..* Reference(ServiceRequest)
participant 0..* Encounter.participant
appointment 0..* Reference(Appointment)
period 0..1 Period
length 0..1 Duration
reasonCode 0..* CodeableConcept
reasonReference 0..* Reference(Condition,Procedure,Observation,ImmunizationRecommendation)
diagnosis 0..* Encounter.diagnosis
account 0..* Reference(Account)
hospitalization 0..1 Encounter.hospitalization
location 0..* Encounter.location
serviceProvider 0..1 Reference(Organization)
partOf 0..1 Reference(Encounter)
`,
  Endpoint: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {endpoint-status}
connectionType 1..1 Coding
name 0..1 string
managingOrganization 0..1 Reference(Organization)
contact 0..* ContactPoint
period 0..1 Period
payloadType 1..* CodeableConcept
payloadMimeType 0..* code {mimetypes}
address 1..1 url
header 0..* string
`,
  EnrollmentRequest: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 0..1 code {fm-status}
created 0..1 dateTime
insurer 0..1 Reference(Organization)
provider 0..1 Reference(Practitioner,PractitionerRole,Organization)
candidate 0..1 Reference(Patient)
coverage 0..1 Reference(Coverage)
`,
  EnrollmentResponse: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 0..1 code {fm-status}
request 0..1 Reference(EnrollmentRequest)
outcome 0..1 code {remittance-outcome}
disposition 0..1 string
created 0..1 dateTime
organization 0..1 Reference(Organization)
requestProvider 0..1 Reference(Practitioner,PractitionerRole,Organization)
`,
  EpisodeOfCare: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {episode-of-care-status}
statusHistory 0..* EpisodeOfCare.statusHistory
type 0..* CodeableConcept
diagnosis 0..* EpisodeOfCare.diagnosis
patient 1..1 Reference(Patient)
managingOrganization 0..1 Reference(Organization)
period 0..1 Period
referralRequest 0..* Reference(ServiceRequest)
careManager 0..1 Reference(Practitioner,PractitionerRole)
team 0..* Reference(CareTeam)
account 0..* Reference(Account)
`,
  EventDefinition: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 0..1 uri
identifier 0..* Identifier
version 0..1 string
name 0..1 string
title 0..1 string
subtitle 0..1 string
status 1..1 code {publication-status}
experimental 0..1 boolean
subject[x] 0..1 CodeableConcept|Reference(Group)
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
purpose 0..1 markdown
usage 0..1 string
copyright 0..1 markdown
approvalDate 0..1 date
lastReviewDate 0..1 date
effectivePeriod 0..1 Period
topic 0..* CodeableConcept
author 0..* ContactDetail
editor 0..* ContactDetail
reviewer 0..* ContactDetail
endorser 0..* ContactDetail
relatedArtifact 0..* RelatedArtifact
trigger 1..* TriggerDefinition
`,
  Evidence: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 0..1 uri
identifier 0..* Identifier
version 0..1 string
name 0..1 string
title 0..1 string
shortTitle 0..1 string
subtitle 0..1 string
status 1..1 code {publication-status}
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
note 0..* Annotation
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
copyright 0..1 markdown
approvalDate 0..1 date
lastReviewDate 0..1 date
effectivePeriod 0..1 Period
topic 0..* CodeableConcept
author 0..* ContactDetail
editor 0..* ContactDetail
reviewer 0..* ContactDetail
endorser 0..* ContactDetail
relatedArtifact 0..* RelatedArtifact
exposureBackground 1..1 Reference(EvidenceVariable)
exposureVariant 0..* Reference(EvidenceVariable)
outcome 0..* Reference(EvidenceVariable)
`,
  EvidenceVariable: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 0..1 uri
identifier 0..* Identifier
version 0..1 string
name 0..1 string
title 0..1 string
shortTitle 0..1 string
subtitle 0..1 string
status 1..1 code {publication-status}
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
note 0..* Annotation
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
copyright 0..1 markdown
approvalDate 0..1 date
lastReviewDate 0..1 date
effectivePeriod 0..1 Period
topic 0..* CodeableConcept
author 0..* ContactDetail
editor 0..* ContactDetail
reviewer 0..* ContactDetail
endorser 0..* ContactDetail
relatedArtifact 0..* RelatedArtifact
type 0..1 code {variable-type}
characteristic 1..* EvidenceVariable.characteristic
`,
  ExampleScenario: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 0..1 uri
identifier 0..* Identifier
version 0..1 string
name 0..1 string
status 1..1 code {publication-status}
experimental 0..1 boolean
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
copyright 0..1 markdown
purpose 0..1 markdown
actor 0..* ExampleScenario.actor
instance 0..* ExampleScenario.instance
process 0..* ExampleScenario.process
workflow 0..* canonical
`,
  ExplanationOfBenefit: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {explanationofbenefit-status}
type 1..1 CodeableConcept
subType 0..1 CodeableConcept
use 1..1 code {claim-use}
patient 1..1 Reference(Patient)
billablePeriod 0..1 Period
created 1..1 dateTime
enterer 0..1 Reference(Practitioner,PractitionerRole)
insurer 1..1 Reference(Organization)
provider 1..1 Reference(Practitioner,PractitionerRole,Organization)
priority 0..1 CodeableConcept
fundsReserveRequested 0..1 CodeableConcept
fundsReserve 0..1 CodeableConcept
related 0..* ExplanationOfBenefit.related
prescription 0..1 Reference(MedicationRequest,VisionPrescription)
originalPrescription 0..1 Reference(MedicationRequest)
payee 0..1 ExplanationOfBenefit.payee
referral 0..1 Reference(ServiceRequest)
facility 0..1 Reference(Location)
claim 0..1 Reference(Claim)
claimResponse 0..1 Reference(ClaimResponse)
outcome 1..1 code {remittance-outcome}
disposition 0..1 string
preAuthRef 0..* string
preAuthRefPeriod 0..* Period
careTeam 0..* ExplanationOfBenefit.careTeam
supportingInfo 0..* ExplanationOfBenefit.supportingInfo
diagnosis 0..* ExplanationOfBenefit.diagnosis
procedure 0..* ExplanationOfBenefit.procedure
precedence 0..1 positiveInt
insurance 1..* ExplanationOfBenefit.insurance
accident 0..1 ExplanationOfBenefit.accident
item 0..* ExplanationOfBenefit.item
addItem 0..* ExplanationOfBenefit.addItem
total 0..* ExplanationOfBenefit.total
payment 0..1 ExplanationOfBenefit.payment
formCode 0..1 CodeableConcept
form 0..1 Attachment
processNote 0..* ExplanationOfBenefit.processNote
benefitPeriod 0..1 Period
benefitBalance 0..* ExplanationOfBenefit.benefitBalance
`,
  FamilyMemberHistory: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
instantiatesCanonical 0..* canonical
instantiatesUri 0..* uri
status 1..1 code {history-status}
dataAbsentReason 0..1 CodeableConcept
patient 1..1 Reference(Patient)
date 0..1 dateTime
name 0..1 string
relationship 1..1 CodeableConcept
sex 0..1 CodeableConcept
born[x] 0..1 Period|date|string
age[x] 0..1 Age|Range|string
estimatedAge 0..1 boolean
deceased[x] 0..1 boolean|Age|Range|date|string
reasonCode 0..* CodeableConcept
reasonReference 0..* Reference(Condition,Observation,AllergyIntolerance,QuestionnaireResponse,DiagnosticReport,DocumentReference)
note 0..* Annotation
condition 0..* FamilyMemberHistory.condition
`,
  Flag: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {flag-status}
category 0..* CodeableConcept
code 1..1 CodeableConcept
subject 1..1 Reference(Patient,Location,Group,Organization,Practitioner,PlanDefinition,Medication,Procedure)
period 0..1 Period
encounter 0..1 Reference(Encounter)
author 0..1 Reference(Device,Organization,Patient,Practitioner,PractitionerRole)
`,
  Goal: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
lifecycleStatus 1..1 code {goal-status}
achievementStatus 0..1 CodeableConcept
category 0..* CodeableConcept
priority 0..1 CodeableConcept
description 1..1 CodeableConcept
subject 1..1 Reference(Patient,Group,Organization)
start[x] 0..1 date|CodeableConcept
target 0..* Goal.target
statusDate 0..1 date
statusReason 0..1 string
expressedBy 0..1 Reference(Patient,Practitioner,PractitionerRole,RelatedPerson)
addresses 0..* Reference(Condition,Observation,MedicationStatement,NutritionOrder,ServiceRequest,RiskAssessment)
note 0..* Annotation
outcomeCode 0..* CodeableConcept
outcomeReference 0..* Reference(Observation)
`,
  GraphDefinition: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 0..1 uri
version 0..1 string
name 1..1 string
status 1..1 code {publication-status}
experimental 0..1 boolean
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
purpose 0..1 markdown
start 1..1 code {resource-types}
profile 0..1 canonical
link 0..* GraphDefinition.link
`,
  Group: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
active 0..1 boolean
type 1..1 code {group-type}
actual 1..1 boolean
code 0..1 CodeableConcept
name 0..1 string
quantity 0..1 unsignedInt
managingEntity 0..1 Reference(Organization,RelatedPerson,Practitioner,PractitionerRole)
characteristic 0..* Group.characteristic
member 0..* Group.member
`,
  GuidanceResponse: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
requestIdentifier 0..1 Identifier
identifier 0..* Identifier
module[x] 1..1 uri|canonical|CodeableConcept
status 1..1 code {guidance-response-status}
subject 0..1 Reference(Patient,Group)
encounter 0..1 Reference(Encounter)
occurrenceDateTime 0..1 dateTime
performer 0..1 Reference(Device)
reasonCode 0..* CodeableConcept
reasonReference 0..* Reference(Condition,Observation,DiagnosticReport,DocumentReference)
note 0..* Annotation
evaluationMessage 0..* Reference(OperationOutcome)
outputParameters 0..1 Reference(Parameters)
result 0..1 Reference(CarePlan,RequestGroup)
dataRequirement 0..* DataRequirement
`,
  HealthcareService: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
active 0..1 boolean
providedBy 0..1 Reference(Organization)
category 0..* CodeableConcept
type 0..* CodeableConcept
specialty 0..* CodeableConcept
location 0..* Reference(Location)
name 0..1 string
comment 0..1 string
extraDetails 0..1 markdown
photo 0..1 Attachment
telecom 0..* ContactPoint
coverageArea 0..* Reference(Location)
serviceProvisionCode 0..* CodeableConcept
eligibility 0..* HealthcareService.eligibility
program 0..* CodeableConcept
characteristic 0..* CodeableConcept
communication 0..* CodeableConcept
referralMethod 0..* CodeableConcept
appointmentRequired 0..1 boolean
availableTime 0..* HealthcareService.availableTime
notAvailable 0..* HealthcareService.notAvailable
availabilityExceptions 0..1 string
endpoint 0..* Reference(Endpoint)
`,
  ImagingStudy: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {imagingstudy-status}
modality 0..* Coding
subject 1..1 Reference(Patient,Device,Group)
encounter 0..1 Reference(Encounter)
started 0..1 dateTime
basedOn 0..* Reference(CarePlan,ServiceRequest,Appointment,AppointmentResponse,Task)
referrer 0..1 Reference(Practitioner,PractitionerRole)
interpreter 0..* Reference(Practitioner,PractitionerRole)
endpoint 0..* Reference(Endpoint)
numberOfSeries 0..1 unsignedInt
numberOfInstances 0..1 unsignedInt
procedureReference 0..1 Reference(Procedure)
procedureCode 0..* CodeableConcept
location 0..1 Reference(Location)
reasonCode 0..* CodeableConcept
reasonReference 0..* Reference(Condition,Observation,Media,DiagnosticReport,DocumentReference)
note 0..* Annotation
description 0..1 string
series 0..* ImagingStudy.series
`,
  Immunization: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {immunization-status}
statusReason 0..1 CodeableConcept
vaccineCode 1..1 CodeableConcept
patient 1..1 Reference(Patient)
encounter 0..1 Reference(Encounter)
occurrence[x] 1..1 dateTime|string
recorded 0..1 dateTime
primarySource 0..1 boolean
reportOrigin 0..1 CodeableConcept
location 0..1 Reference(Location)
manufacturer 0..1 Reference(Organization)
lotNumber 0..1 string
expirationDate 0..1 date
site 0..1 CodeableConcept
route 0..1 CodeableConcept
doseQuantity 0..1 Quantity
performer 0..* Immunization.performer
note 0..* Annotation
reasonCode 0..* CodeableConcept
reasonReference 0..* Reference(Condition,Observation,DiagnosticReport)
isSubpotent 0..1 boolean
subpotentReason 0..* CodeableConcept
education 0..* Immunization.education
programEligibility 0..* CodeableConcept
fundingSource 0..1 CodeableConcept
reaction 0..* Immunization.reaction
protocolApplied 0..* Immunization.protocolApplied
`,
  ImmunizationEvaluation: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {immunization-evaluation-status}
patient 1..1 Reference(Patient)
date 0..1 dateTime
authority 0..1 Reference(Organization)
targetDisease 1..1 CodeableConcept
immunizationEvent 1..1 Reference(Immunization)
doseStatus 1..1 CodeableConcept
doseStatusReason 0..* CodeableConcept
description 0..1 string
series 0..1 string
doseNumber[x] 0..1 positiveInt|string
seriesDoses[x] 0..1 positiveInt|string
`,
  ImmunizationRecommendation: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
patient 1..1 Reference(Patient)
date 1..1 dateTime
authority 0..1 Reference(Organization)
recommendation 1..* ImmunizationRecommendation.recommendation
`,
  ImplementationGuide: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 1..1 uri
version 0..1 string
name 1..1 string
title 0..1 string
status 1..1 code {publication-status}
experimental 0..1 boolean
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
copyright 0..1 markdown
packageId 1..1 id
license 0..1 code {spdx-license}
fhirVersion 1..* code {FHIR-version}
dependsOn 0..* ImplementationGuide.dependsOn
global 0..* ImplementationGuide.global
definition 0..1 ImplementationGuide.definition
manifest 0..1 ImplementationGuide.manifest
`,
  InsurancePlan: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 0..1 code {publication-status}
type 0..* CodeableConcept
name 0..1 string
alias 0..* string
period 0..1 Period
ownedBy 0..1 Reference(Organization)
administeredBy 0..1 Reference(Organization)
coverageArea 0..* Reference(Location)
contact 0..* InsurancePlan.contact
endpoint 0..* Reference(Endpoint)
network 0..* Reference(Organization)
coverage 0..* InsurancePlan.coverage
plan 0..* InsurancePlan.plan
`,
  Invoice: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {invoice-status}
cancelledReason 0..1 string
type 0..1 CodeableConcept
subject 0..1 Reference(Patient,Group)
recipient 0..1 Reference(Organization,Patient,RelatedPerson)
date 0..1 dateTime
participant 0..* Invoice.participant
issuer 0..1 Reference(Organization)
account 0..1 Reference(Account)
lineItem 0..* Invoice.lineItem
totalNet 0..1 Money
totalGross 0..1 Money
paymentTerms 0..1 markdown
note 0..* Annotation
`,
  Library: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 0..1 uri
identifier 0..* Identifier
version 0..1 string
name 0..1 string
title 0..1 string
subtitle 0..1 string
status 1..1 code {publication-status}
experimental 0..1 boolean
type 1..1 CodeableConcept
subject[x] 0..1 CodeableConcept|Reference(Group)
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
purpose 0..1 markdown
usage 0..1 string
copyright 0..1 markdown
approvalDate 0..1 date
lastReviewDate 0..1 date
effectivePeriod 0..1 Period
topic 0..* CodeableConcept
author 0..* ContactDetail
editor 0..* ContactDetail
reviewer 0..* ContactDetail
endorser 0..* ContactDetail
relatedArtifact 0..* RelatedArtifact
parameter 0..* ParameterDefinition
dataRequirement 0..* DataRequirement
content 0..* Attachment
`,
  Linkage: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
active 0..1 boolean
author 0..1 Reference(Practitioner,PractitionerRole,Organization)
item 1..* Linkage.item
`,
  List: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {list-status}
mode 1..1 code {list-mode}
title 0..1 string
code 0..1 CodeableConcept
subject 0..1 Reference(Patient,Group,Device,Location)
encounter 0..1 Reference(Encounter)
date 0..1 dateTime
source 0..1 Reference(Practitioner,PractitionerRole,Patient,Device)
orderedBy 0..1 CodeableConcept
note 0..* Annotation
entry 0..* List.entry
emptyReason 0..1 CodeableConcept
`,
  Location: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 0..1 code {location-status}
operationalStatus 0..1 Coding
name 0..1 string
alias 0..* string
description 0..1 string
mode 0..1 code {location-mode}
type 0..* CodeableConcept
telecom 0..* ContactPoint
address 0..1 Address
physicalType 0..1 CodeableConcept
position 0..1 Location.position
managingOrganization 0..1 Reference(Organization)
partOf 0..1 Reference(Location)
hoursOfOperation 0..* Location.hoursOfOperation
availabilityExceptions 0..1 string
endpoint 0..* Reference(Endpoint)
`,
  Measure: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 0..1 uri
identifier 0..* Identifier
version 0..1 string
name 0..1 string
title 0..1 string
subtitle 0..1 string
status 1..1 code {publication-status}
experimental 0..1 boolean
subject[x] 0..1 CodeableConcept|Reference(Group)
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
purpose 0..1 markdown
usage 0..1 string
copyright 0..1 markdown
approvalDate 0..1 date
lastReviewDate 0..1 date
effectivePeriod 0..1 Period
topic 0..* CodeableConcept
author 0..* ContactDetail
editor 0..* ContactDetail
reviewer 0..* ContactDetail
endorser 0..* ContactDetail
relatedArtifact 0..* RelatedArtifact
library 0..* canonical
disclaimer 0..1 markdown
scoring 0..1 CodeableConcept
compositeScoring 0..1 CodeableConcept
type 0..* CodeableConcept
riskAdjustment 0..1 string
rateAggregation 0..1 string
rationale 0..1 markdown
clinicalRecommendationStatement 0..1 markdown
improvementNotation 0..1 CodeableConcept {measure-improvement-notation}
definition 0..* markdown
guidance 0..1 markdown
group 0..* Measure.group
supplementalData 0..* Measure.supplementalData
`,
  MeasureReport: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {measure-report-status}
type 1..1 code {measure-report-type}
measure 1..1 canonical
subject 0..1 Reference(Patient,Practitioner,PractitionerRole,Location,Device,RelatedPerson,Group)
date 0..1 dateTime
reporter 0..1 Reference(Practitioner,PractitionerRole,Location,Organization)
period 1..1 Period
improvementNotation 0..1 CodeableConcept {measure-improvement-notation}
group 0..* MeasureReport.group
evaluatedResource 0..* Reference
`,
  Media: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
basedOn 0..* Reference(ServiceRequest,CarePlan)
partOf 0..* Reference
status 1..1 code {event-status}
type 0..1 CodeableConcept
modality 0..1 CodeableConcept
view 0..1 CodeableConcept
subject 0..1 Reference(Patient,Practitioner,PractitionerRole,Group,Device,Specimen,Location)
encounter 0..1 Reference(Encounter)
created[x] 0..1 dateTime|Period
issued 0..1 instant
operator 0..1 Reference(Practitioner,PractitionerRole,Organization,CareTeam,Patient,Device,RelatedPerson)
reasonCode 0..* CodeableConcept
bodySite 0..1 CodeableConcept
deviceName 0..1 string
device 0..1 Reference(Device,DeviceMetric,Device)
height 0..1 positiveInt
width 0..1 positiveInt
frames 0..1 positiveInt
duration 0..1 decimal
content 1..1 Attachment
note 0..* Annotation
`,
  Medication: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
code 0..1 CodeableConcept
status 0..1 code {medication-status}
manufacturer 0..1 Reference(Organization)
form 0..1 CodeableConcept
amount 0..1 Ratio
ingredient 0..* Medication.ingredient
batch 0..1 Medication.batch
`,
  MedicationAdministration: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
instantiates 0..* uri
partOf 0..* Reference(MedicationAdministration,Procedure)
status 1..1 code {medication-admin-status}
statusReason 0..* CodeableConcept
category 0..1 CodeableConcept
medication[x] 1..1 CodeableConcept|Reference(Medication)
subject 1..1 Reference(Patient,Group)
context 0..1 Reference(Encounter,EpisodeOfCare)
supportingInformation 0..* Reference
effective[x] 1..1 dateTime|Period
performer 0..* MedicationAdministration.performer
reasonCode 0..* CodeableConcept
reasonReference 0..* Reference(Condition,Observation,DiagnosticReport)
request 0..1 Reference(MedicationRequest)
device 0..* Reference(Device)
note 0..* Annotation
dosage 0..1 MedicationAdministration.dosage
eventHistory 0..* Reference(Provenance)
`,
  MedicationDispense: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
partOf 0..* Reference(Procedure)
status 1..1 code {medicationdispense-status}
statusReason[x] 0..1 CodeableConcept|Reference(DetectedIssue)
category 0..1 CodeableConcept
medication[x] 1..1 CodeableConcept|Reference(Medication)
subject 0..1 Reference(Patient,Group)
context 0..1 Reference(Encounter,EpisodeOfCare)
supportingInformation 0..* Reference
performer 0..* MedicationDispense.performer
location 0..1 Reference(Location)
authorizingPrescription 0..* Reference(MedicationRequest)
type 0..1 CodeableConcept
quantity 0..1 Quantity
daysSupply 0..1 Quantity
whenPrepared 0..1 dateTime
whenHandedOver 0..1 dateTime
destination 0..1 Reference(Location)
receiver 0..* Reference(Patient,Practitioner)
note 0..* Annotation
dosageInstruction 0..* Dosage
substitution 0..1 MedicationDispense.substitution
detectedIssue 0..* Reference(DetectedIssue)
eventHistory 0..* Reference(Provenance)
`,
  MedicationKnowledge: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
code 0..1 CodeableConcept
status 0..1 code {medicationknowledge-status}
manufacturer 0..1 Reference(Organization)
doseForm 0..1 CodeableConcept
amount 0..1 Quantity
synonym 0..* string
relatedMedicationKnowledge 0..* MedicationKnowledge.relatedMedicationKnowledge
associatedMedication 0..* Reference(Medication)
productType 0..* CodeableConcept
monograph 0..* MedicationKnowledge.monograph
ingredient 0..* MedicationKnowledge.ingredient
preparationInstruction 0..1 markdown
intendedRoute 0..* CodeableConcept
cost 0..* MedicationKnowledge.cost
monitoringProgram 0..* MedicationKnowledge.monitoringProgram
administrationGuidelines 0..* MedicationKnowledge.administrationGuidelines
medicineClassification 0..* MedicationKnowledge.medicineClassification
packaging 0..1 MedicationKnowledge.packaging
drugCharacteristic 0..* MedicationKnowledge.drugCharacteristic
contraindication 0..* Reference(DetectedIssue)
regulatory 0..* MedicationKnowledge.regulatory
kinetics 0..* MedicationKnowledge.kinetics
`,
  MedicationRequest: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {medicationrequest-status}
statusReason 0..1 CodeableConcept
intent 1..1 code {medicationrequest-intent}
category 0..* CodeableConcept
priority 0..1 code {request-priority}
doNotPerform 0..1 boolean
reported[x] 0..1 boolean|Reference(Patient,Practitioner,PractitionerRole,RelatedPerson,Organization)
medication[x] 1..1 CodeableConcept|Reference(Medication)
subject 1..1 Reference(Patient,Group)
encounter 0..1 Reference(Encounter)
supportingInformation 0..* Reference
authoredOn 0..1 dateTime
requester 0..1 Reference(Practitioner,PractitionerRole,Organization,Patient,RelatedPerson,Device)
performer 0..1 Reference(Practitioner,PractitionerRole,Organization,Patient,Device,RelatedPerson,CareTeam)
performerType 0..1 CodeableConcept
recorder 0..1 Reference(Practitioner,PractitionerRole)
reasonCode 0..* CodeableConcept
reasonReference 0..* Reference(Condition,Observation)
instantiatesCanonical 0..* canonical
instantiatesUri 0..* uri
basedOn 0..* Reference(CarePlan,MedicationRequest,ServiceRequest,ImmunizationRecommendation)
groupIdentifier 0..1 Identifier
courseOfTherapyType 0..1 CodeableConcept
insurance 0..* Reference(Coverage,ClaimResponse)
note 0..* Annotation
dosageInstruction 0..* Dosage
dispenseRequest 0..1 MedicationRequest.dispenseRequest
substitution 0..1 MedicationRequest.substitution
priorPrescription 0..1 Reference(MedicationRequest)
detectedIssue 0..* Reference(DetectedIssue)
eventHistory 0..* Reference(Provenance)
`,
  MedicationStatement: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
basedOn 0..* Reference(MedicationRequest,CarePlan,ServiceRequest)
partOf 0..* Reference(MedicationAdministration,MedicationDispense,MedicationStatement,Procedure,Observation)
status 1..1 code {medication-statement-status}
statusReason 0..* CodeableConcept
category 0..1 CodeableConcept
medication[x] 1..1 CodeableConcept|Reference(Medication)
subject 1..1 Reference(Patient,Group)
context 0..1 Reference(Encounter,EpisodeOfCare)
effective[x] 0..1 dateTime|Period
dateAsserted 0..1 dateTime
informationSource 0..1 Reference(Patient,Practitioner,PractitionerRole,RelatedPerson,Organization)
derivedFrom 0..* Reference
reasonCode 0..* CodeableConcept
reasonReference 0..* Reference(Condition,Observation,DiagnosticReport)
note 0..* Annotation
dosage 0..* Dosage
`,
  MedicinalProduct: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
type 0..1 CodeableConcept
domain 0..1 Coding
combinedPharmaceuticalDoseForm 0..1 CodeableConcept
legalStatusOfSupply 0..1 CodeableConcept
additionalMonitoringIndicator 0..1 CodeableConcept
specialMeasures 0..* string
paediatricUseIndicator 0..1 CodeableConcept
productClassification 0..* CodeableConcept
marketingStatus 0..* MarketingStatus
pharmaceuticalProduct 0..* Reference(MedicinalProductPharmaceutical)
packagedMedicinalProduct 0..* Reference(MedicinalProductPackaged)
attachedDocument 0..* Reference(DocumentReference)
masterFile 0..* Reference(DocumentReference)
contact 0..* Reference(Organization,PractitionerRole)
clinicalTrial 0..* Reference(ResearchStudy)
name 1..* MedicinalProduct.name
crossReference 0..* Identifier
manufacturingBusinessOperation 0..* MedicinalProduct.manufacturingBusinessOperation
specialDesignation 0..* MedicinalProduct.specialDesignation
`,
  MedicinalProductAuthorization: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
subject 0..1 Reference(MedicinalProduct,MedicinalProductPackaged)
country 0..* CodeableConcept
jurisdiction 0..* CodeableConcept
status 0..1 CodeableConcept
statusDate 0..1 dateTime
restoreDate 0..1 dateTime
validityPeriod 0..1 Period
dataExclusivityPeriod 0..1 Period
dateOfFirstAuthorization 0..1 dateTime
internationalBirthDate 0..1 dateTime
legalBasis 0..1 CodeableConcept
jurisdictionalAuthorization 0..* MedicinalProductAuthorization.jurisdictionalAuthorization
holder 0..1 Reference(Organization)
regulator 0..1 Reference(Organization)
procedure 0..1 MedicinalProductAuthorization.procedure
`,
  MedicinalProductContraindication: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
subject 0..* Reference(MedicinalProduct,Medication)
disease 0..1 CodeableConcept
diseaseStatus 0..1 CodeableConcept
comorbidity 0..* CodeableConcept
therapeuticIndication 0..* Reference(MedicinalProductIndication)
otherTherapy 0..* MedicinalProductContraindication.otherTherapy
population 0..* Population
`,
  MedicinalProductIndication: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
subject 0..* Reference(MedicinalProduct,Medication)
diseaseSymptomProcedure 0..1 CodeableConcept
diseaseStatus 0..1 CodeableConcept
comorbidity 0..* CodeableConcept
intendedEffect 0..1 CodeableConcept
duration 0..1 Quantity
otherTherapy 0..* MedicinalProductIndication.otherTherapy
undesirableEffect 0..* Reference(MedicinalProductUndesirableEffect)
population 0..* Population
`,
  MedicinalProductIngredient: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..1 Identifier
role 1..1 CodeableConcept
allergenicIndicator 0..1 boolean
manufacturer 0..* Reference(Organization)
specifiedSubstance 0..* MedicinalProductIngredient.specifiedSubstance
substance 0..1 MedicinalProductIngredient.substance
`,
  MedicinalProductInteraction: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
subject 0..* Reference(MedicinalProduct,Medication,Substance)
description 0..1 string
interactant 0..* MedicinalProductInteraction.interactant
type 0..1 CodeableConcept
effect 0..1 CodeableConcept
incidence 0..1 CodeableConcept
management 0..1 CodeableConcept
`,
  MedicinalProductManufactured: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
manufacturedDoseForm 1..1 CodeableConcept
unitOfPresentation 0..1 CodeableConcept
quantity 1..1 Quantity
manufacturer 0..* Reference(Organization)
ingredient 0..* Reference(MedicinalProductIngredient)
physicalCharacteristics 0..1 ProdCharacteristic
otherCharacteristics 0..* CodeableConcept
`,
  MedicinalProductPackaged: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
subject 0..* Reference(MedicinalProduct)
description 0..1 string
legalStatusOfSupply 0..1 CodeableConcept
marketingStatus 0..* MarketingStatus
marketingAuthorization 0..1 Reference(MedicinalProductAuthorization)
manufacturer 0..* Reference(Organization)
batchIdentifier 0..* MedicinalProductPackaged.batchIdentifier
packageItem 1..* MedicinalProductPackaged.packageItem
`,
  MedicinalProductPharmaceutical: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
administrableDoseForm 1..1 CodeableConcept
unitOfPresentation 0..1 CodeableConcept
ingredient 0..* Reference(MedicinalProductIngredient)
device 0..* Reference(DeviceDefinition)
characteristics 0..* MedicinalProductPharmaceutical.characteristics
routeOfAdministration 1..* MedicinalProductPharmaceutical.routeOfAdministration
`,
  MedicinalProductUndesirableEffect: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
subject 0..* Reference(MedicinalProduct,Medication)
symptomConditionEffect 0..1 CodeableConcept
classification 0..1 CodeableConcept
frequencyOfOccurrence 0..1 CodeableConcept
population 0..* Population
`,
  MessageDefinition: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 0..1 uri
identifier 0..* Identifier
version 0..1 string
name 0..1 string
title 0..1 string
replaces 0..* canonical
status 1..1 code {publication-status}
experimental 0..1 boolean
date 1..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
purpose 0..1 markdown
copyright 0..1 markdown
base 0..1 canonical
parent 0..* canonical
event[x] 1..1 Coding|uri
category 0..1 code {message-significance-category}
focus 0..* MessageDefinition.focus
responseRequired 0..1 code {messageheader-response-request}
allowedResponse 0..* MessageDefinition.allowedResponse
graph 0..* canonical
`,
  MessageHeader: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
event[x] 1..1 Coding|uri
destination 0..* MessageHeader.destination
sender 0..1 Reference(Practitioner,PractitionerRole,Organization)
enterer 0..1 Reference(Practitioner,PractitionerRole)
author 0..1 Reference(Practitioner,PractitionerRole)
source 1..1 MessageHeader.source
responsible 0..1 Reference(Practitioner,PractitionerRole,Organization)
reason 0..1 CodeableConcept
response 0..1 MessageHeader.response
focus 0..* Reference
definition 0..1 canonical
`,
  MolecularSequence: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
type 0..1 code {sequence-type}
coordinateSystem 1..1 integer
patient 0..1 Reference(Patient)
specimen 0..1 Reference(Specimen)
device 0..1 Reference(Device)
performer 0..1 Reference(Organization)
quantity 0..1 Quantity
referenceSeq 0..1 MolecularSequence.referenceSeq
variant 0..* MolecularSequence.variant
observedSeq 0..1 string
quality 0..* MolecularSequence.quality
readCoverage 0..1 integer
repository 0..* MolecularSequence.repository
pointer 0..* Reference(MolecularSequence)
structureVariant 0..* MolecularSequence.structureVariant
`,
  NamingSystem: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
name 1..1 string
status 1..1 code {publication-status}
kind 1..1 code {namingsystem-type}
date 1..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
responsible 0..1 string
type 0..1 CodeableConcept
description 0..1 markdown
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
usage 0..1 string
uniqueId 1..* NamingSystem.uniqueId
`,
  NutritionOrder: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
instantiatesCanonical 0..* canonical
instantiatesUri 0..* uri
instantiates 0..* uri
status 1..1 code {request-status}
intent 1..1 code {request-intent}
patient 1..1 Reference(Patient)
encounter 0..1 Reference(Encounter)
dateTime 1..1 dateTime
orderer 0..1 Reference(Practitioner,PractitionerRole)
allergyIntolerance 0..* Reference(AllergyIntolerance)
foodPreferenceModifier 0..* CodeableConcept
excludeFoodModifier 0..* CodeableConcept
oralDiet 0..1 NutritionOrder.oralDiet
supplement 0..* NutritionOrder.supplement
enteralFormula 0..1 NutritionOrder.enteralFormula
note 0..* Annotation
`,
  Observation: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
basedOn 0..* Reference(CarePlan,DeviceRequest,ImmunizationRecommendation,MedicationRequest,NutritionOrder,ServiceRequest)
partOf 0..* Reference(MedicationAdministration,MedicationDispense,MedicationStatement,Procedure,Immunization,ImagingStudy)
status 1..1 code {observation-status}
category 0..* CodeableConcept
code 1..1 CodeableConcept
subject 0..1 Reference(Patient,Group,Device,Location)
focus 0..* Reference
encounter 0..1 Reference(Encounter)
effective[x] 0..1 dateTime|Period|Timing|instant
issued 0..1 instant
performer 0..* Reference(Practitioner,PractitionerRole,Organization,CareTeam,Patient,RelatedPerson)
value[x] 0..1 Quantity|CodeableConcept|string|boolean|integer|Range|Ratio|SampledData|time|dateTime|Period
dataAbsentReason 0..1 CodeableConcept
interpretation 0..* CodeableConcept
note 0..* Annotation
bodySite 0..1 CodeableConcept
method 0..1 CodeableConcept
specimen 0..1 Reference(Specimen)
device 0..1 Reference(Device,DeviceMetric)
referenceRange 0..* Observation.referenceRange
hasMember 0..* Reference(Observation,QuestionnaireResponse,MolecularSequence)
derivedFrom 0..* Reference(DocumentReference,ImagingStudy,Media,QuestionnaireResponse,Observation,MolecularSequence)
component 0..* Observation.component
`,
  ObservationDefinition: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
category 0..* CodeableConcept
code 1..1 CodeableConcept
identifier 0..* Identifier
permittedDataType 0..* code {permitted-data-type}
multipleResultsAllowed 0..1 boolean
method 0..1 CodeableConcept
preferredReportName 0..1 string
quantitativeDetails 0..1 ObservationDefinition.quantitativeDetails
qualifiedInterval 0..* ObservationDefinition.qualifiedInterval
validCodedValueSet 0..1 Reference(ValueSet)
normalCodedValueSet 0..1 Reference(ValueSet)
abnormalCodedValueSet 0..1 Reference(ValueSet)
criticalCodedValueSet 0..1 Reference(ValueSet)
`,
  OperationDefinition: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 0..1 uri
version 0..1 string
name 1..1 string
title 0..1 string
status 1..1 code {publication-status}
kind 1..1 code {operation-kind}
experimental 0..1 boolean
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
purpose 0..1 markdown
affectsState 0..1 boolean
code 1..1 code
comment 0..1 markdown
base 0..1 canonical
resource 0..* code {resource-types}
system 1..1 boolean
type 1..1 boolean
instance 1..1 boolean
inputProfile 0..1 canonical
outputProfile 0..1 canonical
parameter 0..* OperationDefinition.parameter
overload 0..* OperationDefinition.overload
`,
  OperationOutcome: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
issue 1..* OperationOutcome.issue
`,
  Organization: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
active 0..1 boolean
type 0..* CodeableConcept
name 0..1 string
alias 0..* string
telecom 0..* ContactPoint
address 0..* Address
partOf 0..1 Reference(Organization)
contact 0..* Organization.contact
endpoint 0..* Reference(Endpoint)
`,
  OrganizationAffiliation: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
active 0..1 boolean
period 0..1 Period
organization 0..1 Reference(Organization)
participatingOrganization 0..1 Reference(Organization)
network 0..* Reference(Organization)
code 0..* CodeableConcept
specialty 0..* CodeableConcept
location 0..* Reference(Location)
healthcareService 0..* Reference(HealthcareService)
telecom 0..* ContactPoint
endpoint 0..* Reference(Endpoint)
`,
  Parameters: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
parameter 0..* Parameters.parameter
`,
  Patient: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
active 0..1 boolean
name 0..* HumanName
telecom 0..* ContactPoint
gender 0..1 code {administrative-gender}
birthDate 0..1 date
deceased[x] 0..1 boolean|dateTime
address 0..* Address
maritalStatus 0..1 CodeableConcept
multipleBirth[x] 0..1 boolean|integer
photo 0..* Attachment
contact 0..* Patient.contact
communication 0..* Patient.communication
generalPractitioner 0..* Reference(Organization,Practitioner,PractitionerRole)
managingOrganization 0..1 Reference(Organization)
link 0..* Patient.link
`,
  PaymentNotice: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {fm-status}
request 0..1 Reference
response 0..1 Reference
created 1..1 dateTime
provider 0..1 Reference(Practitioner,PractitionerRole,Organization)
payment 1..1 Reference(PaymentReconciliation)
paymentDate 0..1 date
payee 0..1 Reference(Practitioner,PractitionerRole,Organization)
recipient 1..1 Reference(Organization)
amount 1..1 Money
paymentStatus 0..1 CodeableConcept
`,
  PaymentReconciliation: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {fm-status}
period 0..1 Period
created 1..1 dateTime
paymentIssuer 0..1 Reference(Organization)
request 0..1 Reference(Task)
requestor 0..1 Reference(Practitioner,PractitionerRole,Organization)
outcome 0..1 code {remittance-outcome}
disposition 0..1 string
paymentDate 1..1 date
paymentAmount 1..1 Money
paymentIdentifier 0..1 Identifier
detail 0..* PaymentReconciliation.detail
formCode 0..1 CodeableConcept
processNote 0..* PaymentReconciliation.processNote
`,
  Person: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
name 0..* HumanName
telecom 0..* ContactPoint
gender 0..1 code {administrative-gender}
birthDate 0..1 date
address 0..* Address
photo 0..1 Attachment
managingOrganization 0..1 Reference(Organization)
active 0..1 boolean
link 0..* Person.link
`,
  PlanDefinition: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 0..1 uri
identifier 0..* Identifier
version 0..1 string
name 0..1 string
title 0..1 string
subtitle 0..1 string
type 0..1 CodeableConcept
status 1..1 code {publication-status}
experimental 0..1 boolean
subject[x] 0..1 CodeableConcept|Reference(Group)
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
purpose 0..1 markdown
usage 0..1 string
copyright 0..1 markdown
approvalDate 0..1 date
lastReviewDate 0..1 date
effectivePeriod 0..1 Period
topic 0..* CodeableConcept
author 0..* ContactDetail
editor 0..* ContactDetail
reviewer 0..* ContactDetail
endorser 0..* ContactDetail
relatedArtifact 0..* RelatedArtifact
library 0..* canonical
goal 0..* PlanDefinition.goal
action 0..* PlanDefinition.action
`,
  Practitioner: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
active 0..1 boolean
name 0..* HumanName
telecom 0..* ContactPoint
address 0..* Address
gender 0..1 code {administrative-gender}
birthDate 0..1 date
photo 0..* Attachment
qualification 0..* Practitioner.qualification
communication 0..* CodeableConcept
`,
  PractitionerRole: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
active 0..1 boolean
period 0..1 Period
practitioner 0..1 Reference(Practitioner)
organization 0..1 Reference(Organization)
code 0..* CodeableConcept
specialty 0..* CodeableConcept
location 0..* Reference(Location)
healthcareService 0..* Reference(HealthcareService)
telecom 0..* ContactPoint
availableTime 0..* PractitionerRole.availableTime
notAvailable 0..* PractitionerRole.notAvailable
availabilityExceptions 0..1 string
endpoint 0..* Reference(Endpoint)
`,
  Procedure: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
instantiatesCanonical 0..* canonical
instantiatesUri 0..* uri
basedOn 0..* Reference(CarePlan,ServiceRequest)
partOf 0..* Reference(Procedure,Observation,MedicationAdministration)
status 1..1 code {event-status}
statusReason 0..1 CodeableConcept
category 0..1 CodeableConcept
code 0..1 CodeableConcept
subject 1..1 Reference(Patient,Group)
encounter 0..1 Reference(Encounter)
performed[x] 0..1 dateTime|Period|string|Age|Range
recorder 0..1 Reference(Patient,RelatedPerson,Practitioner,PractitionerRole)
asserter 0..1 Reference(Patient,RelatedPerson,Practitioner,PractitionerRole)
performer 0..* Procedure.performer
location 0..1 Reference(Location)
reasonCode 0..* CodeableConcept
reasonReference 0..* Reference(Condition,Observation,Procedure,DiagnosticReport,DocumentReference)
bodySite 0..* CodeableConcept
outcome 0..1 CodeableConcept
report 0..* Reference(DiagnosticReport,DocumentReference,Composition)
complication 0..* CodeableConcept
complicationDetail 0..* Reference(Condition)
followUp 0..* CodeableConcept
note 0..* Annotation
focalDevice 0..* Procedure.focalDevice
usedReference 0..* Reference(Device,Medication,Substance)
usedCode 0..* CodeableConcept
`,
  Provenance: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
target 1..* Reference
occurred[x] 0..1 Period|dateTime
recorded 1..1 instant
policy 0..* uri
location 0..1 Reference(Location)
reason 0..* CodeableConcept
activity 0..1 CodeableConcept
agent 1..* Provenance.agent
entity 0..* Provenance.entity
signature 0..* Signature
`,
  Questionnaire: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 0..1 uri
identifier 0..* Identifier
version 0..1 string
name 0..1 string
title 0..1 string
derivedFrom 0..* canonical
status 1..1 code {publication-status}
experimental 0..1 boolean
subjectType 0..* code {resource-types}
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
purpose 0..1 markdown
copyright 0..1 markdown
approvalDate 0..1 date
lastReviewDate 0..1 date
effectivePeriod 0..1 Period
code 0..* Coding
item 0..* Questionnaire.item
`,
  QuestionnaireResponse: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..1 Identifier
basedOn 0..* Reference(CarePlan,ServiceRequest)
partOf 0..* Reference(Observation,Procedure)
questionnaire 0..1 canonical
status 1..1 code {questionnaire-answers-status}
subject 0..1 Reference
encounter 0..1 Reference(Encounter)
authored 0..1 dateTime
author 0..1 Reference(Device,Practitioner,PractitionerRole,Patient,RelatedPerson,Organization)
source 0..1 Reference(Patient,Practitioner,PractitionerRole,RelatedPerson)
item 0..* QuestionnaireResponse.item
`,
  RelatedPerson: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
active 0..1 boolean
patient 1..1 Reference(Patient)
relationship 0..* CodeableConcept
name 0..* HumanName
telecom 0..* ContactPoint
gender 0..1 code {administrative-gender}
birthDate 0..1 date
address 0..* Address
photo 0..* Attachment
period 0..1 Period
communication 0..* RelatedPerson.communication
`,
  RequestGroup: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
instantiatesCanonical 0..* canonical
instantiatesUri 0..* uri
basedOn 0..* Reference
replaces 0..* Reference
groupIdentifier 0..1 Identifier
status 1..1 code {request-status}
intent 1..1 code {request-intent}
priority 0..1 code {request-priority}
code 0..1 CodeableConcept
subject 0..1 Reference(Patient,Group)
encounter 0..1 Reference(Encounter)
authoredOn 0..1 dateTime
author 0..1 Reference(Device,Practitioner,PractitionerRole)
reasonCode 0..* CodeableConcept
reasonReference 0..* Reference(Condition,Observation,DiagnosticReport,DocumentReference)
note 0..* Annotation
action 0..* RequestGroup.action
`,
  ResearchDefinition: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 0..1 uri
identifier 0..* Identifier
version 0..1 string
name 0..1 string
title 0..1 string
shortTitle 0..1 string
subtitle 0..1 string
status 1..1 code {publication-status}
experimental 0..1 boolean
subject[x] 0..1 CodeableConcept|Reference(Group)
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
comment 0..* string
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
purpose 0..1 markdown
usage 0..1 string
copyright 0..1 markdown
approvalDate 0..1 date
lastReviewDate 0..1 date
effectivePeriod 0..1 Period
topic 0..* CodeableConcept
author 0..* ContactDetail
editor 0..* ContactDetail
reviewer 0..* ContactDetail
endorser 0..* ContactDetail
relatedArtifact 0..* RelatedArtifact
library 0..* canonical
population 1..1 Reference(ResearchElementDefinition)
exposure 0..1 Reference(ResearchElementDefinition)
exposureAlternative 0..1 Reference(ResearchElementDefinition)
outcome 0..1 Reference(ResearchElementDefinition)
`,
  ResearchElementDefinition: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 0..1 uri
identifier 0..* Identifier
version 0..1 string
name 0..1 string
title 0..1 string
shortTitle 0..1 string
subtitle 0..1 string
status 1..1 code {publication-status}
experimental 0..1 boolean
subject[x] 0..1 CodeableConcept|Reference(Group)
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
comment 0..* string
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
purpose 0..1 markdown
usage 0..1 string
copyright 0..1 markdown
approvalDate 0..1 date
lastReviewDate 0..1 date
effectivePeriod 0..1 Period
topic 0..* CodeableConcept
author 0..* ContactDetail
editor 0..* ContactDetail
reviewer 0..* ContactDetail
endorser 0..* ContactDetail
relatedArtifact 0..* RelatedArtifact
library 0..* canonical
type 1..1 code {research-element-type}
variableType 0..1 code {variable-type}
characteristic 1..* ResearchElementDefinition.characteristic
`,
  ResearchStudy: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
title 0..1 string
protocol 0..* Reference(PlanDefinition)
partOf 0..* Reference(ResearchStudy)
status 1..1 code {research-study-status}
primaryPurposeType 0..1 CodeableConcept
phase 0..1 CodeableConcept
category 0..* CodeableConcept
focus 0..* CodeableConcept
condition 0..* CodeableConcept
contact 0..* ContactDetail
relatedArtifact 0..* RelatedArtifact
keyword 0..* CodeableConcept
location 0..* CodeableConcept
description 0..1 markdown
enrollment 0..* Reference(Group)
period 0..1 Period
sponsor 0..1 Reference(Organization)
principalInvestigator 0..1 Reference(Practitioner,PractitionerRole)
site 0..* Reference(Location)
reasonStopped 0..1 CodeableConcept
note 0..* Annotation
arm 0..* ResearchStudy.arm
objective 0..* ResearchStudy.objective
`,
  ResearchSubject: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {research-subject-status}
period 0..1 Period
study 1..1 Reference(ResearchStudy)
individual 1..1 Reference(Patient)
assignedArm 0..1 string
actualArm 0..1 string
consent 0..1 Reference(Consent)
`,
  RiskAssessment: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
basedOn 0..1 Reference
parent 0..1 Reference
status 1..1 code {observation-status}
method 0..1 CodeableConcept
code 0..1 CodeableConcept
subject 1..1 Reference(Patient,Group)
encounter 0..1 Reference(Encounter)
occurrence[x] 0..1 dateTime|Period
condition 0..1 Reference(Condition)
performer 0..1 Reference(Practitioner,PractitionerRole,Device)
reasonCode 0..* CodeableConcept
reasonReference 0..* Reference(Condition,Observation,DiagnosticReport,DocumentReference)
basis 0..* Reference
prediction 0..* RiskAssessment.prediction
mitigation 0..1 string
note 0..* Annotation
`,
  RiskEvidenceSynthesis: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 0..1 uri
identifier 0..* Identifier
version 0..1 string
name 0..1 string
title 0..1 string
status 1..1 code {publication-status}
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
note 0..* Annotation
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
copyright 0..1 markdown
approvalDate 0..1 date
lastReviewDate 0..1 date
effectivePeriod 0..1 Period
topic 0..* CodeableConcept
author 0..* ContactDetail
editor 0..* ContactDetail
reviewer 0..* ContactDetail
endorser 0..* ContactDetail
relatedArtifact 0..* RelatedArtifact
synthesisType 0..1 CodeableConcept
studyType 0..1 CodeableConcept
population 1..1 Reference(EvidenceVariable)
exposure 0..1 Reference(EvidenceVariable)
outcome 1..1 Reference(EvidenceVariable)
sampleSize 0..1 RiskEvidenceSynthesis.sampleSize
riskEstimate 0..1 RiskEvidenceSynthesis.riskEstimate
certainty 0..* RiskEvidenceSynthesis.certainty
`,
  Schedule: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
active 0..1 boolean
serviceCategory 0..* CodeableConcept
serviceType 0..* CodeableConcept
specialty 0..* CodeableConcept
actor 1..* Reference(Patient,Practitioner,PractitionerRole,RelatedPerson,Device,HealthcareService,Location)
planningHorizon 0..1 Period
comment 0..1 string
`,
  SearchParameter: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 1..1 uri
version 0..1 string
name 1..1 string
derivedFrom 0..1 canonical
status 1..1 code {publication-status}
experimental 0..1 boolean
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 1..1 markdown
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
purpose 0..1 markdown
code 1..1 code
base 1..* code {resource-types}
type 1..1 code {search-param-type}
expression 0..1 string
xpath 0..1 string
xpathUsage 0..1 code {search-xpath-usage}
target 0..* code {resource-types}
multipleOr 0..1 boolean
multipleAnd 0..1 boolean
comparator 0..* code {search-comparator}
modifier 0..* code {search-modifier-code}
chain 0..* string
component 0..* SearchParameter.component
`,
  ServiceRequest: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
instantiatesCanonical 0..* canonical
instantiatesUri 0..* uri
basedOn 0..* Reference(CarePlan,ServiceRequest,MedicationRequest)
replaces 0..* Reference(ServiceRequest)
requisition 0..1 Identifier
status 1..1 code {request-status}
intent 1..1 code {request-intent}
category 0..* CodeableConcept
priority 0..1 code {request-priority}
doNotPerform 0..1 boolean
code 0..1 CodeableConcept
orderDetail 0..* CodeableConcept
quantity[x] 0..1 Quantity|Ratio|Range
subject 1..1 Reference(Patient,Group,Location,Device)
encounter 0..1 Reference(Encounter)
occurrence[x] 0..1 dateTime|Period|Timing
asNeeded[x] 0..1 boolean|CodeableConcept
authoredOn 0..1 dateTime
requester 0..1 Reference(Practitioner,PractitionerRole,Organization,Patient,RelatedPerson,Device)
performerType 0..1 CodeableConcept
performer 0..* Reference(Practitioner,PractitionerRole,Organization,CareTeam,HealthcareService,Patient,Device,RelatedPerson)
locationCode 0..* CodeableConcept
locationReference 0..* Reference(Location)
reasonCode 0..* CodeableConcept
reasonReference 0..* Reference(Condition,Observation,DiagnosticReport,DocumentReference)
insurance 0..* Reference(Coverage,ClaimResponse)
supportingInfo 0..* Reference
specimen 0..* Reference(Specimen)
bodySite 0..* CodeableConcept
note 0..* Annotation
patientInstruction 0..1 string
relevantHistory 0..* Reference(Provenance)
`,
  Slot: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
serviceCategory 0..* CodeableConcept
serviceType 0..* CodeableConcept
specialty 0..* CodeableConcept
appointmentType 0..1 CodeableConcept
schedule 1..1 Reference(Schedule)
status 1..1 code {slotstatus}
start 1..1 instant
end 1..1 instant
overbooked 0..1 boolean
comment 0..1 string
`,
  Specimen: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
accessionIdentifier 0..1 Identifier
status 0..1 code {specimen-status}
type 0..1 CodeableConcept
subject 0..1 Reference(Patient,Group,Device,Substance,Location)
receivedTime 0..1 dateTime
parent 0..* Reference(Specimen)
request 0..* Reference(ServiceRequest)
collection 0..1 Specimen.collection
processing 0..* Specimen.processing
container 0..* Specimen.container
condition 0..* CodeableConcept
note 0..* Annotation
`,
  SpecimenDefinition: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..1 Identifier
typeCollected 0..1 CodeableConcept
patientPreparation 0..* CodeableConcept
timeAspect 0..1 string
collection 0..* CodeableConcept
typeTested 0..* SpecimenDefinition.typeTested
`,
  StructureDefinition: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 1..1 uri
identifier 0..* Identifier
version 0..1 string
name 1..1 string
title 0..1 string
status 1..1 code {publication-status}
experimental 0..1 boolean
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
purpose 0..1 markdown
copyright 0..1 markdown
keyword 0..* Coding
fhirVersion 0..1 code {FHIR-version}
mapping 0..* StructureDefinition.mapping
kind 1..1 code {structure-definition-kind}
abstract 1..1 boolean
context 0..* StructureDefinition.context
contextInvariant 0..* string
type 1..1 uri
baseDefinition 0..1 canonical
derivation 0..1 code {type-derivation-rule}
snapshot 0..1 StructureDefinition.snapshot
differential 0..1 StructureDefinition.differential
`,
  StructureMap: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 1..1 uri
identifier 0..* Identifier
version 0..1 string
name 1..1 string
title 0..1 string
status 1..1 code {publication-status}
experimental 0..1 boolean
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
purpose 0..1 markdown
copyright 0..1 markdown
structure 0..* StructureMap.structure
import 0..* canonical
group 1..* StructureMap.group
`,
  Subscription: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
status 1..1 code {subscription-status}
contact 0..* ContactPoint
end 0..1 instant
reason 1..1 string
criteria 1..1 string
error 0..1 string
channel 1..1 Subscription.channel
`,
  Substance: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 0..1 code {substance-status}
category 0..* CodeableConcept
code 1..1 CodeableConcept
description 0..1 string
instance 0..* Substance.instance
ingredient 0..* Substance.ingredient
`,
  SubstanceNucleicAcid: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
sequenceType 0..1 CodeableConcept
numberOfSubunits 0..1 integer
areaOfHybridisation 0..1 string
oligoNucleotideType 0..1 CodeableConcept
subunit 0..* SubstanceNucleicAcid.subunit
`,
  SubstancePolymer: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
class 0..1 CodeableConcept
geometry 0..1 CodeableConcept
copolymerConnectivity 0..* CodeableConcept
modification 0..* string
monomerSet 0..* SubstancePolymer.monomerSet
repeat 0..* SubstancePolymer.repeat
`,
  SubstanceProtein: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
sequenceType 0..1 CodeableConcept
numberOfSubunits 0..1 integer
disulfideLinkage 0..* string
subunit 0..* SubstanceProtein.subunit
`,
  SubstanceReferenceInformation: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
comment 0..1 string
gene 0..* SubstanceReferenceInformation.gene
geneElement 0..* SubstanceReferenceInformation.geneElement
classification 0..* SubstanceReferenceInformation.classification
target 0..* SubstanceReferenceInformation.target
`,
  SubstanceSourceMaterial: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
sourceMaterialClass 0..1 CodeableConcept
sourceMaterialType 0..1 CodeableConcept
sourceMaterialState 0..1 CodeableConcept
organismId 0..1 Identifier
organismName 0..1 string
parentSubstanceId 0..* Identifier
parentSubstanceName 0..* string
countryOfOrigin 0..* CodeableConcept
geographicalLocation 0..* string
developmentStage 0..1 CodeableConcept
fractionDescription 0..* SubstanceSourceMaterial.fractionDescription
organism 0..1 SubstanceSourceMaterial.organism
partDescription 0..* SubstanceSourceMaterial.partDescription
`,
  SubstanceSpecification: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..1 Identifier
type 0..1 CodeableConcept
status 0..1 CodeableConcept
domain 0..1 CodeableConcept
description 0..1 string
source 0..* Reference(DocumentReference)
comment 0..1 string
moiety 0..* SubstanceSpecification.moiety
property 0..* SubstanceSpecification.property
referenceInformation 0..1 Reference(SubstanceReferenceInformation)
structure 0..1 SubstanceSpecification.structure
code 0..* SubstanceSpecification.code
name 0..* SubstanceSpecification.name
relationship 0..* SubstanceSpecification.relationship
nucleicAcid 0..1 Reference(SubstanceNucleicAcid)
polymer 0..1 Reference(SubstancePolymer)
protein 0..1 Reference(SubstanceProtein)
sourceMaterial 0..1 Reference(SubstanceSourceMaterial)
`,
  SupplyDelivery: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
basedOn 0..* Reference(SupplyRequest)
partOf 0..* Reference(SupplyDelivery,Contract)
status 0..1 code {supplydelivery-status}
patient 0..1 Reference(Patient)
type 0..1 CodeableConcept {supplydelivery-type}
suppliedItem 0..1 SupplyDelivery.suppliedItem
occurrence[x] 0..1 dateTime|Period|Timing
supplier 0..1 Reference(Practitioner,PractitionerRole,Organization)
destination 0..1 Reference(Location)
receiver 0..* Reference(Practitioner,PractitionerRole)
`,
  SupplyRequest: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 0..1 code {supplyrequest-status}
category 0..1 CodeableConcept
priority 0..1 code {request-priority}
item[x] 1..1 CodeableConcept|Reference(Medication,Substance,Device)
quantity 1..1 Quantity
parameter 0..* SupplyRequest.parameter
occurrence[x] 0..1 dateTime|Period|Timing
authoredOn 0..1 dateTime
requester 0..1 Reference(Practitioner,PractitionerRole,Organization,Patient,RelatedPerson,Device)
supplier 0..* Reference(Organization,HealthcareService)
reasonCode 0..* CodeableConcept
reasonReference 0..* Reference(Condition,Observation,DiagnosticReport,DocumentReference)
deliverFrom 0..1 Reference(Organization,Location)
deliverTo 0..1 Reference(Organization,Location,Patient)
`,
  Task: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
instantiatesCanonical 0..1 canonical
instantiatesUri 0..1 uri
basedOn 0..* Reference
groupIdentifier 0..1 Identifier
partOf 0..* Reference(Task)
status 1..1 code {task-status}
statusReason 0..1 CodeableConcept
businessStatus 0..1 CodeableConcept
intent 1..1 code {task-intent}
priority 0..1 code {request-priority}
code 0..1 CodeableConcept
description 0..1 string
focus 0..1 Reference
for 0..1 Reference
encounter 0..1 Reference(Encounter)
executionPeriod 0..1 Period
authoredOn 0..1 dateTime
lastModified 0..1 dateTime
requester 0..1 Reference(Device,Organization,Patient,Practitioner,PractitionerRole,RelatedPerson)
performerType 0..* CodeableConcept
owner 0..1 Reference(Practitioner,PractitionerRole,Organization,CareTeam,HealthcareService,Patient,Device,RelatedPerson)
location 0..1 Reference(Location)
reasonCode 0..1 CodeableConcept
reasonReference 0..1 Reference
insurance 0..* Reference(Coverage,ClaimResponse)
note 0..* Annotation
relevantHistory 0..* Reference(Provenance)
restriction 0..1 Task.restriction
input 0..* Task.input
output 0..* Task.output
`,
  TerminologyCapabilities: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 0..1 uri
version 0..1 string
name 0..1 string
title 0..1 string
status 1..1 code {publication-status}
experimental 0..1 boolean
date 1..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
purpose 0..1 markdown
copyright 0..1 markdown
kind 1..1 code {capability-statement-kind}
software 0..1 TerminologyCapabilities.software
implementation 0..1 TerminologyCapabilities.implementation
lockedDate 0..1 boolean
codeSystem 0..* TerminologyCapabilities.codeSystem
expansion 0..1 TerminologyCapabilities.expansion
codeSearch 0..1 code {code-search-support}
validateCode 0..1 TerminologyCapabilities.validateCode
translation 0..1 TerminologyCapabilities.translation
closure 0..1 TerminologyCapabilities.closure
`,
  TestReport: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..1 Identifier
name 0..1 string
status 1..1 code {report-status-codes}
testScript 1..1 Reference(TestScript)
result 1..1 code {report-result-codes}
score 0..1 decimal
tester 0..1 string
issued 0..1 dateTime
participant 0..* TestReport.participant
setup 0..1 TestReport.setup
test 0..* TestReport.test
teardown 0..1 TestReport.teardown
`,
  TestScript: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 1..1 uri
identifier 0..1 Identifier
version 0..1 string
name 1..1 string
title 0..1 string
status 1..1 code {publication-status}
experimental 0..1 boolean
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
purpose 0..1 markdown
copyright 0..1 markdown
origin 0..* TestScript.origin
destination 0..* TestScript.destination
metadata 0..1 TestScript.metadata
fixture 0..* TestScript.fixture
profile 0..* Reference
variable 0..* TestScript.variable
setup 0..1 TestScript.setup
test 0..* TestScript.test
teardown 0..1 TestScript.teardown
`,
  ValueSet: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
url 0..1 uri
identifier 0..* Identifier
version 0..1 string
name 0..1 string
title 0..1 string
status 1..1 code {publication-status}
experimental 0..1 boolean
date 0..1 dateTime
publisher 0..1 string
contact 0..* ContactDetail
description 0..1 markdown
useContext 0..* UsageContext
jurisdiction 0..* CodeableConcept
immutable 0..1 boolean
purpose 0..1 markdown
copyright 0..1 markdown
compose 0..1 ValueSet.compose
expansion 0..1 ValueSet.expansion
`,
  VerificationResult: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
target 0..* Reference
targetLocation 0..* string
need 0..1 CodeableConcept
status 1..1 code {verificationresult-status}
statusDate 0..1 dateTime
validationType 0..1 CodeableConcept
validationProcess 0..* CodeableConcept
frequency 0..1 Timing
lastPerformed 0..1 dateTime
nextScheduled 0..1 date
failureAction 0..1 CodeableConcept
primarySource 0..* VerificationResult.primarySource
attestation 0..1 VerificationResult.attestation
validator 0..* VerificationResult.validator
`,
  VisionPrescription: `
id 0..1 id
meta 0..1 Meta
implicitRules 0..1 uri
language 0..1 code {all-languages}
text 0..1 Narrative
contained 0..* Resource
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
status 1..1 code {fm-status}
created 1..1 dateTime
patient 1..1 Reference(Patient)
encounter 0..1 Reference(Encounter)
dateWritten 1..1 dateTime
prescriber 1..1 Reference(Practitioner,PractitionerRole)
lensSpecification 1..* VisionPrescription.lensSpecification
`,
}

/** Elements of each complex data type. */
export const DATA_TYPES: Readonly<Record<string, string>> = {
  Element: `
id 0..1 string
extension 0..* Extension
`,
  Address: `
id 0..1 string
extension 0..* Extension
use 0..1 code {address-use}
type 0..1 code {address-type}
text 0..1 string
line 0..* string
city 0..1 string
district 0..1 string
state 0..1 string
postalCode 0..1 string
country 0..1 string
period 0..1 Period
`,
  Age: `
id 0..1 string
extension 0..* Extension
value 0..1 decimal
comparator 0..1 code {quantity-comparator}
unit 0..1 string
system 0..1 uri
code 0..1 code
`,
  Annotation: `
id 0..1 string
extension 0..* Extension
author[x] 0..1 Reference(Practitioner,Patient,RelatedPerson,Organization)|string
time 0..1 dateTime
text 1..1 markdown
`,
  Attachment: `
id 0..1 string
extension 0..* Extension
contentType 0..1 code {mimetypes}
language 0..1 code {all-languages}
data 0..1 base64Binary
url 0..1 url
size 0..1 unsignedInt
hash 0..1 base64Binary
title 0..1 string
creation 0..1 dateTime
`,
  CodeableConcept: `
id 0..1 string
extension 0..* Extension
coding 0..* Coding
text 0..1 string
`,
  Coding: `
id 0..1 string
extension 0..* Extension
system 0..1 uri
version 0..1 string
code 0..1 code
display 0..1 string
userSelected 0..1 boolean
`,
  ContactDetail: `
id 0..1 string
extension 0..* Extension
name 0..1 string
telecom 0..* ContactPoint
`,
  ContactPoint: `
id 0..1 string
extension 0..* Extension
system 0..1 code {contact-point-system}
value 0..1 string
use 0..1 code {contact-point-use}
rank 0..1 positiveInt
period 0..1 Period
`,
  Contributor: `
id 0..1 string
extension 0..* Extension
type 1..1 code {contributor-type}
name 1..1 string
contact 0..* ContactDetail
`,
  Count: `
id 0..1 string
extension 0..* Extension
value 0..1 decimal
comparator 0..1 code {quantity-comparator}
unit 0..1 string
system 0..1 uri
code 0..1 code
`,
  DataRequirement: `
id 0..1 string
extension 0..* Extension
type 1..1 code {all-types}
profile 0..* canonical
subject[x] 0..1 CodeableConcept|Reference(Group)
mustSupport 0..* string
codeFilter 0..* DataRequirement.codeFilter
dateFilter 0..* DataRequirement.dateFilter
limit 0..1 positiveInt
sort 0..* DataRequirement.sort
`,
  Distance: `
id 0..1 string
extension 0..* Extension
value 0..1 decimal
comparator 0..1 code {quantity-comparator}
unit 0..1 string
system 0..1 uri
code 0..1 code
`,
  Dosage: `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
sequence 0..1 integer
text 0..1 string
additionalInstruction 0..* CodeableConcept
patientInstruction 0..1 string
timing 0..1 Timing
asNeeded[x] 0..1 boolean|CodeableConcept
site 0..1 CodeableConcept
route 0..1 CodeableConcept
method 0..1 CodeableConcept
doseAndRate 0..* Dosage.doseAndRate
maxDosePerPeriod 0..1 Ratio
maxDosePerAdministration 0..1 Quantity
maxDosePerLifetime 0..1 Quantity
`,
  Duration: `
id 0..1 string
extension 0..* Extension
value 0..1 decimal
comparator 0..1 code {quantity-comparator}
unit 0..1 string
system 0..1 uri
code 0..1 code
`,
  ElementDefinition: `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
path 1..1 string
representation 0..* code {property-representation}
sliceName 0..1 string
sliceIsConstraining 0..1 boolean
label 0..1 string
code 0..* Coding
slicing 0..1 ElementDefinition.slicing
short 0..1 string
definition 0..1 markdown
comment 0..1 markdown
requirements 0..1 markdown
alias 0..* string
min 0..1 unsignedInt
max 0..1 string
base 0..1 ElementDefinition.base
contentReference 0..1 uri
type 0..* ElementDefinition.type
defaultValue[x] 0..1 base64Binary|boolean|canonical|code|date|dateTime|decimal|id|instant|integer|markdown|oid|positiveInt|string|time|unsignedInt|uri|url|uuid|Address|Age|Annotation|Attachment|CodeableConcept|Coding|ContactPoint|Count|Distance|Duration|HumanName|Identifier|Money|Period|Quantity|Range|Ratio|Reference|SampledData|Signature|Timing|ContactDetail|Contributor|DataRequirement|Expression|ParameterDefinition|RelatedArtifact|TriggerDefinition|UsageContext|Dosage|Meta
meaningWhenMissing 0..1 markdown
orderMeaning 0..1 string
fixed[x] 0..1 base64Binary|boolean|canonical|code|date|dateTime|decimal|id|instant|integer|markdown|oid|positiveInt|string|time|unsignedInt|uri|url|uuid|Address|Age|Annotation|Attachment|CodeableConcept|Coding|ContactPoint|Count|Distance|Duration|HumanName|Identifier|Money|Period|Quantity|Range|Ratio|Reference|SampledData|Signature|Timing|ContactDetail|Contributor|DataRequirement|Expression|ParameterDefinition|RelatedArtifact|TriggerDefinition|UsageContext|Dosage|Meta
pattern[x] 0..1 base64Binary|boolean|canonical|code|date|dateTime|decimal|id|instant|integer|markdown|oid|positiveInt|string|time|unsignedInt|uri|url|uuid|Address|Age|Annotation|Attachment|CodeableConcept|Coding|ContactPoint|Count|Distance|Duration|HumanName|Identifier|Money|Period|Quantity|Range|Ratio|Reference|SampledData|Signature|Timing|ContactDetail|Contributor|DataRequirement|Expression|ParameterDefinition|RelatedArtifact|TriggerDefinition|UsageContext|Dosage|Meta
example 0..* ElementDefinition.example
minValue[x] 0..1 date|dateTime|instant|time|decimal|integer|positiveInt|unsignedInt|Quantity
maxValue[x] 0..1 date|dateTime|instant|time|decimal|integer|positiveInt|unsignedInt|Quantity
maxLength 0..1 integer
condition 0..* id
constraint 0..* ElementDefinition.constraint
mustSupport 0..1 boolean
isModifier 0..1 boolean
isModifierReason 0..1 string
isSummary 0..1 boolean
binding 0..1 ElementDefinition.binding
mapping 0..* ElementDefinition.mapping
`,
  Expression: `
id 0..1 string
extension 0..* Extension
description 0..1 string
name 0..1 id
language 1..1 code
expression 0..1 string
reference 0..1 uri
`,
  Extension: `
id 0..1 string
extension 0..* Extension
url 1..1 uri
value[x] 0..1 base64Binary|boolean|canonical|code|date|dateTime|decimal|id|instant|integer|markdown|oid|positiveInt|string|time|unsignedInt|uri|url|uuid|Address|Age|Annotation|Attachment|CodeableConcept|Coding|ContactPoint|Count|Distance|Duration|HumanName|Identifier|Money|Period|Quantity|Range|Ratio|Reference|SampledData|Signature|Timing|ContactDetail|Contributor|DataRequirement|Expression|ParameterDefinition|RelatedArtifact|TriggerDefinition|UsageContext|Dosage|Meta
`,
  HumanName: `
id 0..1 string
extension 0..* Extension
use 0..1 code {name-use}
text 0..1 string
family 0..1 string
given 0..* string
prefix 0..* string
suffix 0..* string
period 0..1 Period
`,
  Identifier: `
id 0..1 string
extension 0..* Extension
use 0..1 code {identifier-use}
type 0..1 CodeableConcept
system 0..1 uri
value 0..1 string
period 0..1 Period
assigner 0..1 Reference(Organization)
`,
  MarketingStatus: `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
country 1..1 CodeableConcept
jurisdiction 0..1 CodeableConcept
status 1..1 CodeableConcept
dateRange 1..1 Period
restoreDate 0..1 dateTime
`,
  Meta: `
id 0..1 string
extension 0..* Extension
versionId 0..1 id
lastUpdated 0..1 instant
source 0..1 uri
profile 0..* canonical
security 0..* Coding
tag 0..* Coding
`,
  Money: `
id 0..1 string
extension 0..* Extension
value 0..1 decimal
currency 0..1 code {currencies}
`,
  Narrative: `
id 0..1 string
extension 0..* Extension
status 1..1 code {narrative-status}
div 1..1 xhtml
`,
  ParameterDefinition: `
id 0..1 string
extension 0..* Extension
name 0..1 code
use 1..1 code {operation-parameter-use}
min 0..1 integer
max 0..1 string
documentation 0..1 string
type 1..1 code {all-types}
profile 0..1 canonical
`,
  Period: `
id 0..1 string
extension 0..* Extension
start 0..1 dateTime
end 0..1 dateTime
`,
  Population: `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
age[x] 0..1 Range|CodeableConcept
gender 0..1 CodeableConcept
race 0..1 CodeableConcept
physiologicalCondition 0..1 CodeableConcept
`,
  ProdCharacteristic: `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
height 0..1 Quantity
width 0..1 Quantity
depth 0..1 Quantity
weight 0..1 Quantity
nominalVolume 0..1 Quantity
externalDiameter 0..1 Quantity
shape 0..1 string
color 0..* string
imprint 0..* string
image 0..* Attachment
scoring 0..1 CodeableConcept
`,
  ProductShelfLife: `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..1 Identifier
type 1..1 CodeableConcept
period 1..1 Quantity
specialPrecautionsForStorage 0..* CodeableConcept
`,
  Quantity: `
id 0..1 string
extension 0..* Extension
value 0..1 decimal
comparator 0..1 code {quantity-comparator}
unit 0..1 string
system 0..1 uri
code 0..1 code
`,
  Range: `
id 0..1 string
extension 0..* Extension
low 0..1 Quantity
high 0..1 Quantity
`,
  Ratio: `
id 0..1 string
extension 0..* Extension
numerator 0..1 Quantity
denominator 0..1 Quantity
`,
  Reference: `
id 0..1 string
extension 0..* Extension
reference 0..1 string
type 0..1 uri
identifier 0..1 Identifier
display 0..1 string
`,
  RelatedArtifact: `
id 0..1 string
extension 0..* Extension
type 1..1 code {related-artifact-type}
label 0..1 string
display 0..1 string
citation 0..1 markdown
url 0..1 url
document 0..1 Attachment
resource 0..1 canonical
`,
  SampledData: `
id 0..1 string
extension 0..* Extension
origin 1..1 Quantity
period 1..1 decimal
factor 0..1 decimal
lowerLimit 0..1 decimal
upperLimit 0..1 decimal
dimensions 1..1 positiveInt
data 0..1 string
`,
  Signature: `
id 0..1 string
extension 0..* Extension
type 1..* Coding
when 1..1 instant
who 1..1 Reference(Practitioner,PractitionerRole,RelatedPerson,Patient,Device,Organization)
onBehalfOf 0..1 Reference(Practitioner,PractitionerRole,RelatedPerson,Patient,Device,Organization)
targetFormat 0..1 code {mimetypes}
sigFormat 0..1 code {mimetypes}
data 0..1 base64Binary
`,
  SubstanceAmount: `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
amount[x] 0..1 Quantity|Range|string
amountType 0..1 CodeableConcept
amountText 0..1 string
referenceRange 0..1 SubstanceAmount.referenceRange
`,
  Timing: `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
event 0..* dateTime
repeat 0..1 Timing.repeat
code 0..1 CodeableConcept
`,
  TriggerDefinition: `
id 0..1 string
extension 0..* Extension
type 1..1 code {trigger-type}
name 0..1 string
timing[x] 0..1 Timing|Reference(Schedule)|date|dateTime
data 0..* DataRequirement
condition 0..1 Expression
`,
  UsageContext: `
id 0..1 string
extension 0..* Extension
code 1..1 Coding
value[x] 1..1 CodeableConcept|Quantity|Range|Reference(PlanDefinition,ResearchStudy,InsurancePlan,HealthcareService,Group,Location,Organization)
`,
}

/** Elements of each nested part, by its path. */
export const PARTS: Readonly<Record<string, string>> = {
  'DataRequirement.codeFilter': `
id 0..1 string
extension 0..* Extension
path 0..1 string
searchParam 0..1 string
valueSet 0..1 canonical
code 0..* Coding
`,
  'DataRequirement.dateFilter': `
id 0..1 string
extension 0..* Extension
path 0..1 string
searchParam 0..1 string
value[x] 0..1 dateTime|Period|Duration
`,
  'DataRequirement.sort': `
id 0..1 string
extension 0..* Extension
path 1..1 string
direction 1..1 code {sort-direction}
`,
  'Dosage.doseAndRate': `
id 0..1 string
extension 0..* Extension
type 0..1 CodeableConcept
dose[x] 0..1 Range|Quantity
rate[x] 0..1 Ratio|Range|Quantity
`,
  'ElementDefinition.slicing': `
id 0..1 string
extension 0..* Extension
discriminator 0..* ElementDefinition.slicing.discriminator
description 0..1 string
ordered 0..1 boolean
rules 1..1 code {resource-slicing-rules}
`,
  'ElementDefinition.slicing.discriminator': `
id 0..1 string
extension 0..* Extension
type 1..1 code {discriminator-type}
path 1..1 string
`,
  'ElementDefinition.base': `
id 0..1 string
extension 0..* Extension
path 1..1 string
min 1..1 unsignedInt
max 1..1 string
`,
  'ElementDefinition.type': `
id 0..1 string
extension 0..* Extension
code 1..1 uri
profile 0..* canonical
targetProfile 0..* canonical
aggregation 0..* code {resource-aggregation-mode}
versioning 0..1 code {reference-version-rules}
`,
  'ElementDefinition.example': `
id 0..1 string
extension 0..* Extension
label 1..1 string
value[x] 1..1 base64Binary|boolean|canonical|code|date|dateTime|decimal|id|instant|integer|markdown|oid|positiveInt|string|time|unsignedInt|uri|url|uuid|Address|Age|Annotation|Attachment|CodeableConcept|Coding|ContactPoint|Count|Distance|Duration|HumanName|Identifier|Money|Period|Quantity|Range|Ratio|Reference|SampledData|Signature|Timing|ContactDetail|Contributor|DataRequirement|Expression|ParameterDefinition|RelatedArtifact|TriggerDefinition|UsageContext|Dosage|Meta
`,
  'ElementDefinition.constraint': `
id 0..1 string
extension 0..* Extension
key 1..1 id
requirements 0..1 string
severity 1..1 code {constraint-severity}
human 1..1 string
expression 0..1 string
xpath 0..1 string
source 0..1 canonical
`,
  'ElementDefinition.binding': `
id 0..1 string
extension 0..* Extension
strength 1..1 code {binding-strength}
description 0..1 string
valueSet 0..1 canonical
`,
  'ElementDefinition.mapping': `
id 0..1 string
extension 0..* Extension
identity 1..1 id
language 0..1 code {mimetypes}
map 1..1 string
comment 0..1 string
`,
  'SubstanceAmount.referenceRange': `
id 0..1 string
extension 0..* Extension
lowLimit 0..1 Quantity
highLimit 0..1 Quantity
`,
  'Timing.repeat': `
id 0..1 string
extension 0..* Extension
bounds[x] 0..1 Duration|Range|Period
count 0..1 positiveInt
countMax 0..1 positiveInt
duration 0..1 decimal
durationMax 0..1 decimal
durationUnit 0..1 code {units-of-time}
frequency 0..1 positiveInt
frequencyMax 0..1 positiveInt
period 0..1 decimal
periodMax 0..1 decimal
periodUnit 0..1 code {units-of-time}
dayOfWeek 0..* code {days-of-week}
timeOfDay 0..* time
when 0..* code {event-timing}
offset 0..1 unsignedInt
`,
  'Account.coverage': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
coverage 1..1 Reference(Coverage)
priority 0..1 positiveInt
`,
  'Account.guarantor': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
party 1..1 Reference(Patient,RelatedPerson,Organization)
onHold 0..1 boolean
period 0..1 Period
`,
  'ActivityDefinition.participant': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 code {action-participant-type}
role 0..1 CodeableConcept
`,
  'ActivityDefinition.dynamicValue': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
path 1..1 string
expression 1..1 Expression
`,
  'AdverseEvent.suspectEntity': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
instance 1..1 Reference(Immunization,Procedure,Substance,Medication,MedicationAdministration,MedicationStatement,Device)
causality 0..* AdverseEvent.suspectEntity.causality
`,
  'AdverseEvent.suspectEntity.causality': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
assessment 0..1 CodeableConcept
productRelatedness 0..1 string
author 0..1 Reference(Practitioner,PractitionerRole)
method 0..1 CodeableConcept
`,
  'AllergyIntolerance.reaction': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
substance 0..1 CodeableConcept
manifestation 1..* CodeableConcept
description 0..1 string
onset 0..1 dateTime
severity 0..1 code {reaction-event-severity}
exposureRoute 0..1 CodeableConcept
note 0..* Annotation
`,
  'Appointment.participant': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..* CodeableConcept
actor 0..1 Reference(Patient,Practitioner,PractitionerRole,RelatedPerson,Device,HealthcareService,Location)
required 0..1 code {participantrequired}
status 1..1 code {participationstatus}
period 0..1 Period
`,
  'AuditEvent.agent': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..1 CodeableConcept
role 0..* CodeableConcept
who 0..1 Reference(PractitionerRole,Practitioner,Organization,Device,Patient,RelatedPerson)
altId 0..1 string
name 0..1 string
requestor 1..1 boolean
location 0..1 Reference(Location)
policy 0..* uri
media 0..1 Coding
network 0..1 AuditEvent.agent.network
purposeOfUse 0..* CodeableConcept
`,
  'AuditEvent.agent.network': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
address 0..1 string
type 0..1 code {network-type}
`,
  'AuditEvent.source': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
site 0..1 string
observer 1..1 Reference(PractitionerRole,Practitioner,Organization,Device,Patient,RelatedPerson)
type 0..* Coding
`,
  'AuditEvent.entity': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
what 0..1 Reference
type 0..1 Coding
role 0..1 Coding
lifecycle 0..1 Coding
securityLabel 0..* Coding
name 0..1 string
description 0..1 string
query 0..1 base64Binary
detail 0..* AuditEvent.entity.detail
`,
  'AuditEvent.entity.detail': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 string
value[x] 1..1 string|base64Binary
`,
  'BiologicallyDerivedProduct.collection': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
collector 0..1 Reference(Practitioner,PractitionerRole)
source 0..1 Reference(Patient,Organization)
collected[x] 0..1 dateTime|Period
`,
  'BiologicallyDerivedProduct.processing': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
description 0..1 string
procedure 0..1 CodeableConcept
additive 0..1 Reference(Substance)
time[x] 0..1 dateTime|Period
`,
  'BiologicallyDerivedProduct.manipulation': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
description 0..1 string
time[x] 0..1 dateTime|Period
`,
  'BiologicallyDerivedProduct.storage': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
description 0..1 string
temperature 0..1 decimal
scale 0..1 code {product-storage-scale}
duration 0..1 Period
`,
  'Bundle.link': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
relation 1..1 string
url 1..1 uri
`,
  'Bundle.entry': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
link 0..* Bundle.link
fullUrl 0..1 uri
resource 0..1 Resource
search 0..1 Bundle.entry.search
request 0..1 Bundle.entry.request
response 0..1 Bundle.entry.response
`,
  'Bundle.entry.search': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
mode 0..1 code {search-entry-mode}
score 0..1 decimal
`,
  'Bundle.entry.request': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
method 1..1 code {http-verb}
url 1..1 uri
ifNoneMatch 0..1 string
ifModifiedSince 0..1 instant
ifMatch 0..1 string
ifNoneExist 0..1 string
`,
  'Bundle.entry.response': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
status 1..1 string
location 0..1 uri
etag 0..1 string
lastModified 0..1 instant
outcome 0..1 Resource
`,
  'CapabilityStatement.software': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 1..1 string
version 0..1 string
releaseDate 0..1 dateTime
`,
  'CapabilityStatement.implementation': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
description 1..1 string
url 0..1 url
custodian 0..1 Reference(Organization)
`,
  'CapabilityStatement.rest': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
mode 1..1 code {restful-capability-mode}
documentation 0..1 markdown
security 0..1 CapabilityStatement.rest.security
resource 0..* CapabilityStatement.rest.resource
interaction 0..* CapabilityStatement.rest.interaction
searchParam 0..* CapabilityStatement.rest.resource.searchParam
operation 0..* CapabilityStatement.rest.resource.operation
compartment 0..* canonical
`,
  'CapabilityStatement.rest.security': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
cors 0..1 boolean
service 0..* CodeableConcept
description 0..1 markdown
`,
  'CapabilityStatement.rest.resource': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 code {resource-types}
profile 0..1 canonical
supportedProfile 0..* canonical
documentation 0..1 markdown
interaction 0..* CapabilityStatement.rest.resource.interaction
versioning 0..1 code {versioning-policy}
readHistory 0..1 boolean
updateCreate 0..1 boolean
conditionalCreate 0..1 boolean
conditionalRead 0..1 code {conditional-read-status}
conditionalUpdate 0..1 boolean
conditionalDelete 0..1 code {conditional-delete-status}
referencePolicy 0..* code {reference-handling-policy}
searchInclude 0..* string
searchRevInclude 0..* string
searchParam 0..* CapabilityStatement.rest.resource.searchParam
operation 0..* CapabilityStatement.rest.resource.operation
`,
  'CapabilityStatement.rest.resource.interaction': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 code {type-restful-interaction}
documentation 0..1 markdown
`,
  'CapabilityStatement.rest.resource.searchParam': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 1..1 string
definition 0..1 canonical
type 1..1 code {search-param-type}
documentation 0..1 markdown
`,
  'CapabilityStatement.rest.resource.operation': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 1..1 string
definition 1..1 canonical
documentation 0..1 markdown
`,
  'CapabilityStatement.rest.interaction': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 code {system-restful-interaction}
documentation 0..1 markdown
`,
  'CapabilityStatement.messaging': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
endpoint 0..* CapabilityStatement.messaging.endpoint
reliableCache 0..1 unsignedInt
documentation 0..1 markdown
supportedMessage 0..* CapabilityStatement.messaging.supportedMessage
`,
  'CapabilityStatement.messaging.endpoint': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
protocol 1..1 Coding
address 1..1 url
`,
  'CapabilityStatement.messaging.supportedMessage': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
mode 1..1 code {event-capability-mode}
definition 1..1 canonical
`,
  'CapabilityStatement.document': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
mode 1..1 code {document-mode}
documentation 0..1 markdown
profile 1..1 canonical
`,
  'CarePlan.activity': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
outcomeCodeableConcept 0..* CodeableConcept
outcomeReference 0..* Reference
progress 0..* Annotation
reference 0..1 Reference(Appointment,CommunicationRequest,DeviceRequest,MedicationRequest,NutritionOrder,Task,ServiceRequest,VisionPrescription,RequestGroup)
detail 0..1 CarePlan.activity.detail
`,
  'CarePlan.activity.detail': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
kind 0..1 code {care-plan-activity-kind}
instantiatesCanonical 0..* canonical
instantiatesUri 0..* uri
code 0..1 CodeableConcept
reasonCode 0..* CodeableConcept
reasonReference 0..* Reference(Condition,Observation,DiagnosticReport,DocumentReference)
goal 0..* Reference(Goal)
status 1..1 code {care-plan-activity-status}
statusReason 0..1 CodeableConcept
doNotPerform 0..1 boolean
scheduled[x] 0..1 Timing|Period|string
location 0..1 Reference(Location)
performer 0..* Reference(Practitioner,PractitionerRole,Organization,RelatedPerson,Patient,CareTeam,HealthcareService,Device)
product[x] 0..1 CodeableConcept|Reference(Medication,Substance)
dailyAmount 0..1 Quantity
quantity 0..1 Quantity
description 0..1 string
`,
  'CareTeam.participant': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
role 0..* CodeableConcept
member 0..1 Reference(Practitioner,PractitionerRole,RelatedPerson,Patient,Organization,CareTeam)
onBehalfOf 0..1 Reference(Organization)
period 0..1 Period
`,
  'CatalogEntry.relatedEntry': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
relationtype 1..1 code {relation-type}
item 1..1 Reference(CatalogEntry)
`,
  'ChargeItem.performer': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
function 0..1 CodeableConcept
actor 1..1 Reference(Practitioner,PractitionerRole,Organization,CareTeam,Patient,Device,RelatedPerson)
`,
  'ChargeItemDefinition.applicability': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
description 0..1 string
language 0..1 string
expression 0..1 string
`,
  'ChargeItemDefinition.propertyGroup': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
applicability 0..* ChargeItemDefinition.applicability
priceComponent 0..* ChargeItemDefinition.propertyGroup.priceComponent
`,
  'ChargeItemDefinition.propertyGroup.priceComponent': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 code {invoice-priceComponentType}
code 0..1 CodeableConcept
factor 0..1 decimal
amount 0..1 Money
`,
  'Claim.related': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
claim 0..1 Reference(Claim)
relationship 0..1 CodeableConcept
reference 0..1 Identifier
`,
  'Claim.payee': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 CodeableConcept
party 0..1 Reference(Practitioner,PractitionerRole,Organization,Patient,RelatedPerson)
`,
  'Claim.careTeam': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
sequence 1..1 positiveInt
provider 1..1 Reference(Practitioner,PractitionerRole,Organization)
responsible 0..1 boolean
role 0..1 CodeableConcept
qualification 0..1 CodeableConcept
`,
  'Claim.supportingInfo': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
sequence 1..1 positiveInt
category 1..1 CodeableConcept
code 0..1 CodeableConcept
timing[x] 0..1 date|Period
value[x] 0..1 boolean|string|Quantity|Attachment|Reference
reason 0..1 CodeableConcept
`,
  'Claim.diagnosis': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
sequence 1..1 positiveInt
diagnosis[x] 1..1 CodeableConcept|Reference(Condition)
type 0..* CodeableConcept
onAdmission 0..1 CodeableConcept
packageCode 0..1 CodeableConcept
`,
  'Claim.procedure': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
sequence 1..1 positiveInt
type 0..* CodeableConcept
date 0..1 dateTime
procedure[x] 1..1 CodeableConcept|Reference(Procedure)
udi 0..* Reference(Device)
`,
  'Claim.insurance': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
sequence 1..1 positiveInt
focal 1..1 boolean
identifier 0..1 Identifier
coverage 1..1 Reference(Coverage)
businessArrangement 0..1 string
preAuthRef 0..* string
claimResponse 0..1 Reference(ClaimResponse)
`,
  'Claim.accident': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
date 1..1 date
type 0..1 CodeableConcept
location[x] 0..1 Address|Reference(Location)
`,
  'Claim.item': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
sequence 1..1 positiveInt
careTeamSequence 0..* positiveInt
diagnosisSequence 0..* positiveInt
procedureSequence 0..* positiveInt
informationSequence 0..* positiveInt
revenue 0..1 CodeableConcept
category 0..1 CodeableConcept
productOrService 1..1 CodeableConcept
modifier 0..* CodeableConcept
programCode 0..* CodeableConcept
serviced[x] 0..1 date|Period
location[x] 0..1 CodeableConcept|Address|Reference(Location)
quantity 0..1 Quantity
unitPrice 0..1 Money
factor 0..1 decimal
net 0..1 Money
udi 0..* Reference(Device)
bodySite 0..1 CodeableConcept
subSite 0..* CodeableConcept
encounter 0..* Reference(Encounter)
detail 0..* Claim.item.detail
`,
  'Claim.item.detail': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
sequence 1..1 positiveInt
revenue 0..1 CodeableConcept
category 0..1 CodeableConcept
productOrService 1..1 CodeableConcept
modifier 0..* CodeableConcept
programCode 0..* CodeableConcept
quantity 0..1 Quantity
unitPrice 0..1 Money
factor 0..1 decimal
net 0..1 Money
udi 0..* Reference(Device)
subDetail 0..* Claim.item.detail.subDetail
`,
  'Claim.item.detail.subDetail': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
sequence 1..1 positiveInt
revenue 0..1 CodeableConcept
category 0..1 CodeableConcept
productOrService 1..1 CodeableConcept
modifier 0..* CodeableConcept
programCode 0..* CodeableConcept
quantity 0..1 Quantity
unitPrice 0..1 Money
factor 0..1 decimal
net 0..1 Money
udi 0..* Reference(Device)
`,
  'ClaimResponse.item': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
itemSequence 1..1 positiveInt
noteNumber 0..* positiveInt
adjudication 1..* ClaimResponse.item.adjudication
detail 0..* ClaimResponse.item.detail
`,
  'ClaimResponse.item.adjudication': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
category 1..1 CodeableConcept
reason 0..1 CodeableConcept
amount 0..1 Money
value 0..1 decimal
`,
  'ClaimResponse.item.detail': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
detailSequence 1..1 positiveInt
noteNumber 0..* positiveInt
adjudication 1..* ClaimResponse.item.adjudication
subDetail 0..* ClaimResponse.item.detail.subDetail
`,
  'ClaimResponse.item.detail.subDetail': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
subDetailSequence 1..1 positiveInt
noteNumber 0..* positiveInt
adjudication 0..* ClaimResponse.item.adjudication
`,
  'ClaimResponse.addItem': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
itemSequence 0..* positiveInt
detailSequence 0..* positiveInt
subdetailSequence 0..* positiveInt
provider 0..* Reference(Practitioner,PractitionerRole,Organization)
productOrService 1..1 CodeableConcept
modifier 0..* CodeableConcept
programCode 0..* CodeableConcept
serviced[x] 0..1 date|Period
location[x] 0..1 CodeableConcept|Address|Reference(Location)
quantity 0..1 Quantity
unitPrice 0..1 Money
factor 0..1 decimal
net 0..1 Money
bodySite 0..1 CodeableConcept
subSite 0..* CodeableConcept
noteNumber 0..* positiveInt
adjudication 1..* ClaimResponse.item.adjudication
detail 0..* ClaimResponse.addItem.detail
`,
  'ClaimResponse.addItem.detail': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
productOrService 1..1 CodeableConcept
modifier 0..* CodeableConcept
quantity 0..1 Quantity
unitPrice 0..1 Money
factor 0..1 decimal
net 0..1 Money
noteNumber 0..* positiveInt
adjudication 1..* ClaimResponse.item.adjudication
subDetail 0..* ClaimResponse.addItem.detail.subDetail
`,
  'ClaimResponse.addItem.detail.subDetail': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
productOrService 1..1 CodeableConcept
modifier 0..* CodeableConcept
quantity 0..1 Quantity
unitPrice 0..1 Money
factor 0..1 decimal
net 0..1 Money
noteNumber 0..* positiveInt
adjudication 1..* ClaimResponse.item.adjudication
`,
  'ClaimResponse.total': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
category 1..1 CodeableConcept
amount 1..1 Money
`,
  'ClaimResponse.payment': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 CodeableConcept
adjustment 0..1 Money
adjustmentReason 0..1 CodeableConcept
date 0..1 date
amount 1..1 Money
identifier 0..1 Identifier
`,
  'ClaimResponse.processNote': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
number 0..1 positiveInt
type 0..1 code {note-type}
text 1..1 string
language 0..1 CodeableConcept
`,
  'ClaimResponse.insurance': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
sequence 1..1 positiveInt
focal 1..1 boolean
coverage 1..1 Reference(Coverage)
businessArrangement 0..1 string
claimResponse 0..1 Reference(ClaimResponse)
`,
  'ClaimResponse.error': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
itemSequence 0..1 positiveInt
detailSequence 0..1 positiveInt
subDetailSequence 0..1 positiveInt
code 1..1 CodeableConcept
`,
  'ClinicalImpression.investigation': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 CodeableConcept
item 0..* Reference(Observation,QuestionnaireResponse,FamilyMemberHistory,DiagnosticReport,RiskAssessment,ImagingStudy,Media)
`,
  'ClinicalImpression.finding': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
itemCodeableConcept 0..1 CodeableConcept
itemReference 0..1 Reference(Condition,Observation,Media)
basis 0..1 string
`,
  'CodeSystem.filter': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 code
description 0..1 string
operator 1..* code {filter-operator}
value 1..1 string
`,
  'CodeSystem.property': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 code
uri 0..1 uri
description 0..1 string
type 1..1 code {concept-property-type}
`,
  'CodeSystem.concept': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 code
display 0..1 string
definition 0..1 string
designation 0..* CodeSystem.concept.designation
property 0..* CodeSystem.concept.property
concept 0..* CodeSystem.concept
`,
  'CodeSystem.concept.designation': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
language 0..1 code {all-languages}
use 0..1 Coding
value 1..1 string
`,
  'CodeSystem.concept.property': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 code
value[x] 1..1 code|Coding|string|integer|boolean|dateTime|decimal
`,
  'Communication.payload': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
content[x] 1..1 string|Attachment|Reference
`,
  'CommunicationRequest.payload': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
content[x] 1..1 string|Attachment|Reference
`,
  'CompartmentDefinition.resource': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 code {resource-types}
param 0..* string
documentation 0..1 string
`,
  'Composition.attester': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
mode 1..1 code {composition-attestation-mode}
time 0..1 dateTime
party 0..1 Reference(Patient,RelatedPerson,Practitioner,PractitionerRole,Organization)
`,
  'Composition.relatesTo': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 code {document-relationship-type}
target[x] 1..1 Identifier|Reference(Composition)
`,
  'Composition.event': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 0..* CodeableConcept
period 0..1 Period
detail 0..* Reference
`,
  'Composition.section': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
title 0..1 string
code 0..1 CodeableConcept
author 0..* Reference(Practitioner,PractitionerRole,Device,Patient,RelatedPerson,Organization)
focus 0..1 Reference
text 0..1 Narrative
mode 0..1 code {list-mode}
orderedBy 0..1 CodeableConcept
entry 0..* Reference
emptyReason 0..1 CodeableConcept
section 0..* Composition.section
`,
  'ConceptMap.group': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
source 0..1 uri
sourceVersion 0..1 string
target 0..1 uri
targetVersion 0..1 string
element 1..* ConceptMap.group.element
unmapped 0..1 ConceptMap.group.unmapped
`,
  'ConceptMap.group.element': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 0..1 code
display 0..1 string
target 0..* ConceptMap.group.element.target
`,
  'ConceptMap.group.element.target': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 0..1 code
display 0..1 string
equivalence 1..1 code {concept-map-equivalence}
comment 0..1 string
dependsOn 0..* ConceptMap.group.element.target.dependsOn
product 0..* ConceptMap.group.element.target.dependsOn
`,
  'ConceptMap.group.element.target.dependsOn': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
property 1..1 uri
system 0..1 canonical
value 1..1 string
display 0..1 string
`,
  'ConceptMap.group.unmapped': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
mode 1..1 code {conceptmap-unmapped-mode}
code 0..1 code
display 0..1 string
url 0..1 canonical
`,
  'Condition.stage': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
summary 0..1 CodeableConcept
assessment 0..* Reference(ClinicalImpression,DiagnosticReport,Observation)
type 0..1 CodeableConcept
`,
  'Condition.evidence': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 0..* CodeableConcept
detail 0..* Reference
`,
  'Consent.policy': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
authority 0..1 uri
uri 0..1 uri
`,
  'Consent.verification': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
verified 1..1 boolean
verifiedWith 0..1 Reference(Patient,RelatedPerson)
verificationDate 0..1 dateTime
`,
  'Consent.provision': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..1 code {consent-provision-type}
period 0..1 Period
actor 0..* Consent.provision.actor
action 0..* CodeableConcept
securityLabel 0..* Coding
purpose 0..* Coding
class 0..* Coding
code 0..* CodeableConcept
dataPeriod 0..1 Period
data 0..* Consent.provision.data
provision 0..* Consent.provision
`,
  'Consent.provision.actor': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
role 1..1 CodeableConcept
reference 1..1 Reference(Device,Group,CareTeam,Organization,Patient,Practitioner,RelatedPerson,PractitionerRole)
`,
  'Consent.provision.data': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
meaning 1..1 code {consent-data-meaning}
reference 1..1 Reference
`,
  'Contract.contentDefinition': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 CodeableConcept
subType 0..1 CodeableConcept
publisher 0..1 Reference(Practitioner,PractitionerRole,Organization)
publicationDate 0..1 dateTime
publicationStatus 1..1 code {contract-publicationstatus}
copyright 0..1 markdown
`,
  'Contract.term': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..1 Identifier
issued 0..1 dateTime
applies 0..1 Period
topic[x] 0..1 CodeableConcept|Reference
type 0..1 CodeableConcept
subType 0..1 CodeableConcept
text 0..1 string
securityLabel 0..* Contract.term.securityLabel
offer 1..1 Contract.term.offer
asset 0..* Contract.term.asset
action 0..* Contract.term.action
group 0..* Contract.term
`,
  'Contract.term.securityLabel': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
number 0..* unsignedInt
classification 1..1 Coding
category 0..* Coding
control 0..* Coding
`,
  'Contract.term.offer': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
party 0..* Contract.term.offer.party
topic 0..1 Reference
type 0..1 CodeableConcept
decision 0..1 CodeableConcept
decisionMode 0..* CodeableConcept
answer 0..* Contract.term.offer.answer
text 0..1 string
linkId 0..* string
securityLabelNumber 0..* unsignedInt
`,
  'Contract.term.offer.party': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
reference 1..* Reference(Patient,RelatedPerson,Practitioner,PractitionerRole,Device,Group,Organization)
role 1..1 CodeableConcept
`,
  'Contract.term.offer.answer': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
value[x] 1..1 boolean|decimal|integer|date|dateTime|time|string|uri|Attachment|Coding|Quantity|Reference
`,
  'Contract.term.asset': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
scope 0..1 CodeableConcept
type 0..* CodeableConcept
typeReference 0..* Reference
subtype 0..* CodeableConcept
relationship 0..1 Coding
context 0..* Contract.term.asset.context
condition 0..1 string
periodType 0..* CodeableConcept
period 0..* Period
usePeriod 0..* Period
text 0..1 string
linkId 0..* string
answer 0..* Contract.term.offer.answer
securityLabelNumber 0..* unsignedInt
valuedItem 0..* Contract.term.asset.valuedItem
`,
  'Contract.term.asset.context': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
reference 0..1 Reference
code 0..* CodeableConcept
text 0..1 string
`,
  'Contract.term.asset.valuedItem': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
entity[x] 0..1 CodeableConcept|Reference
identifier 0..1 Identifier
effectiveTime 0..1 dateTime
quantity 0..1 Quantity
unitPrice 0..1 Money
factor 0..1 decimal
points 0..1 decimal
net 0..1 Money
payment 0..1 string
paymentDate 0..1 dateTime
responsible 0..1 Reference(Organization,Patient,Practitioner,PractitionerRole,RelatedPerson)
recipient 0..1 Reference(Organization,Patient,Practitioner,PractitionerRole,RelatedPerson)
linkId 0..* string
securityLabelNumber 0..* unsignedInt
`,
  'Contract.term.action': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
doNotPerform 0..1 boolean
type 1..1 CodeableConcept
subject 0..* Contract.term.action.subject
intent 1..1 CodeableConcept
linkId 0..* string
status 1..1 CodeableConcept
context 0..1 Reference(Encounter,EpisodeOfCare)
contextLinkId 0..* string
occurrence[x] 0..1 dateTime|Period|Timing
requester 0..* Reference(Patient,RelatedPerson,Practitioner,PractitionerRole,Device,Group,Organization)
requesterLinkId 0..* string
performerType 0..* CodeableConcept
performerRole 0..1 CodeableConcept
performer 0..1 Reference(RelatedPerson,Patient,Practitioner,PractitionerRole,CareTeam,Device,Substance,Organization,Location)
performerLinkId 0..* string
reasonCode 0..* CodeableConcept
reasonReference 0..* Reference(Condition,Observation,DiagnosticReport,DocumentReference,Questionnaire,QuestionnaireResponse)
reason 0..* string
reasonLinkId 0..* string
note 0..* Annotation
securityLabelNumber 0..* unsignedInt
`,
  'Contract.term.action.subject': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
reference 1..* Reference(Patient,RelatedPerson,Practitioner,PractitionerRole,Device,Group,Organization)
role 0..1 CodeableConcept
`,
  'Contract.signer': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 Coding
party 1..1 Reference(Organization,Patient,Practitioner,PractitionerRole,RelatedPerson)
signature 1..* Signature
`,
  'Contract.friendly': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
content[x] 1..1 Attachment|Reference(Composition,DocumentReference,QuestionnaireResponse)
`,
  'Contract.legal': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
content[x] 1..1 Attachment|Reference(Composition,DocumentReference,QuestionnaireResponse)
`,
  'Contract.rule': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
content[x] 1..1 Attachment|Reference(DocumentReference)
`,
  'Coverage.class': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 CodeableConcept
value 1..1 string
name 0..1 string
`,
  'Coverage.costToBeneficiary': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..1 CodeableConcept
value[x] 1..1 Quantity|Money
exception 0..* Coverage.costToBeneficiary.exception
`,
  'Coverage.costToBeneficiary.exception': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 CodeableConcept
period 0..1 Period
`,
  'CoverageEligibilityRequest.supportingInfo': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
sequence 1..1 positiveInt
information 1..1 Reference
appliesToAll 0..1 boolean
`,
  'CoverageEligibilityRequest.insurance': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
focal 0..1 boolean
coverage 1..1 Reference(Coverage)
businessArrangement 0..1 string
`,
  'CoverageEligibilityRequest.item': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
supportingInfoSequence 0..* positiveInt
category 0..1 CodeableConcept
productOrService 0..1 CodeableConcept
modifier 0..* CodeableConcept
provider 0..1 Reference(Practitioner,PractitionerRole)
quantity 0..1 Quantity
unitPrice 0..1 Money
facility 0..1 Reference(Location,Organization)
diagnosis 0..* CoverageEligibilityRequest.item.diagnosis
detail 0..* Reference
`,
  'CoverageEligibilityRequest.item.diagnosis': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
diagnosis[x] 0..1 CodeableConcept|Reference(Condition)
`,
  'CoverageEligibilityResponse.insurance': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
coverage 1..1 Reference(Coverage)
inforce 0..1 boolean
benefitPeriod 0..1 Period
item 0..* CoverageEligibilityResponse.insurance.item
`,
  'CoverageEligibilityResponse.insurance.item': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
category 0..1 CodeableConcept
productOrService 0..1 CodeableConcept
modifier 0..* CodeableConcept
provider 0..1 Reference(Practitioner,PractitionerRole)
excluded 0..1 boolean
name 0..1 string
description 0..1 string
network 0..1 CodeableConcept
unit 0..1 CodeableConcept
term 0..1 CodeableConcept
benefit 0..* CoverageEligibilityResponse.insurance.item.benefit
authorizationRequired 0..1 boolean
authorizationSupporting 0..* CodeableConcept
authorizationUrl 0..1 uri
`,
  'CoverageEligibilityResponse.insurance.item.benefit': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 CodeableConcept
allowed[x] 0..1 unsignedInt|string|Money
used[x] 0..1 unsignedInt|string|Money
`,
  'CoverageEligibilityResponse.error': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 CodeableConcept
`,
  'DetectedIssue.evidence': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 0..* CodeableConcept
detail 0..* Reference
`,
  'DetectedIssue.mitigation': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
action 1..1 CodeableConcept
date 0..1 dateTime
author 0..1 Reference(Practitioner,PractitionerRole)
`,
  'Device.udiCarrier': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
deviceIdentifier 0..1 string
issuer 0..1 uri
jurisdiction 0..1 uri
carrierAIDC 0..1 base64Binary
carrierHRF 0..1 string
entryType 0..1 code {udi-entry-type}
`,
  'Device.deviceName': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 1..1 string
type 1..1 code {device-nametype}
`,
  'Device.specialization': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
systemType 1..1 CodeableConcept
version 0..1 string
`,
  'Device.version': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..1 CodeableConcept
component 0..1 Identifier
value 1..1 string
`,
  'Device.property': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 CodeableConcept
valueQuantity 0..* Quantity
valueCode 0..* CodeableConcept
`,
  'DeviceDefinition.udiDeviceIdentifier': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
deviceIdentifier 1..1 string
issuer 1..1 uri
jurisdiction 1..1 uri
`,
  'DeviceDefinition.deviceName': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 1..1 string
type 1..1 code {device-nametype}
`,
  'DeviceDefinition.specialization': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
systemType 1..1 string
version 0..1 string
`,
  'DeviceDefinition.capability': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 CodeableConcept
description 0..* CodeableConcept
`,
  'DeviceDefinition.property': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 CodeableConcept
valueQuantity 0..* Quantity
valueCode 0..* CodeableConcept
`,
  'DeviceDefinition.material': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
substance 1..1 CodeableConcept
alternate 0..1 boolean
allergenicIndicator 0..1 boolean
`,
  'DeviceMetric.calibration': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..1 code {metric-calibration-type}
state 0..1 code {metric-calibration-state}
time 0..1 instant
`,
  'DeviceRequest.parameter': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 0..1 CodeableConcept
value[x] 0..1 CodeableConcept|Quantity|Range|boolean
`,
  'DiagnosticReport.media': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
comment 0..1 string
link 1..1 Reference(Media)
`,
  'DocumentManifest.related': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..1 Identifier
ref 0..1 Reference
`,
  'DocumentReference.relatesTo': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 code {document-relationship-type}
target 1..1 Reference(DocumentReference)
`,
  'DocumentReference.content': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
attachment 1..1 Attachment
format 0..1 Coding
`,
  'DocumentReference.context': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
encounter 0..* Reference(Encounter,EpisodeOfCare)
event 0..* CodeableConcept
period 0..1 Period
facilityType 0..1 CodeableConcept
practiceSetting 0..1 CodeableConcept
sourcePatientInfo 0..1 Reference(Patient)
related 0..* Reference
`,
  'EffectEvidenceSynthesis.sampleSize': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
description 0..1 string
numberOfStudies 0..1 integer
numberOfParticipants 0..1 integer
`,
  'EffectEvidenceSynthesis.resultsByExposure': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
description 0..1 string
exposureState 0..1 code {exposure-state}
variantState 0..1 CodeableConcept
riskEvidenceSynthesis 1..1 Reference(RiskEvidenceSynthesis)
`,
  'EffectEvidenceSynthesis.effectEstimate': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
description 0..1 string
type 0..1 CodeableConcept
variantState 0..1 CodeableConcept
value 0..1 decimal
unitOfMeasure 0..1 CodeableConcept
precisionEstimate 0..* EffectEvidenceSynthesis.effectEstimate.precisionEstimate
`,
  'EffectEvidenceSynthesis.effectEstimate.precisionEstimate': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..1 CodeableConcept
level 0..1 decimal
from 0..1 decimal
to 0..1 decimal
`,
  'EffectEvidenceSynthesis.certainty': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
rating 0..* CodeableConcept
note 0..* Annotation
certaintySubcomponent 0..* EffectEvidenceSynthesis.certainty.certaintySubcomponent
`,
  'EffectEvidenceSynthesis.certainty.certaintySubcomponent': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..1 CodeableConcept
rating 0..* CodeableConcept
note 0..* Annotation
`,
  'Encounter.statusHistory': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
status 1..1 code {encounter-status}
period 1..1 Period
`,
  'Encounter.classHistory': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
class 1..1 Coding
period 1..1 Period
`,
  'Encounter.participant': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..* CodeableConcept
period 0..1 Period
individual 0..1 Reference(Practitioner,PractitionerRole,RelatedPerson)
`,
  'Encounter.diagnosis': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
condition 1..1 Reference(Condition,Procedure)
use 0..1 CodeableConcept
rank 0..1 positiveInt
`,
  'Encounter.hospitalization': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
preAdmissionIdentifier 0..1 Identifier
origin 0..1 Reference(Location,Organization)
admitSource 0..1 CodeableConcept
reAdmission 0..1 CodeableConcept
dietPreference 0..* CodeableConcept
specialCourtesy 0..* CodeableConcept
specialArrangement 0..* CodeableConcept
destination 0..1 Reference(Location,Organization)
dischargeDisposition 0..1 CodeableConcept
`,
  'Encounter.location': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
location 1..1 Reference(Location)
status 0..1 code {encounter-location-status}
physicalType 0..1 CodeableConcept
period 0..1 Period
`,
  'EpisodeOfCare.statusHistory': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
status 1..1 code {episode-of-care-status}
period 1..1 Period
`,
  'EpisodeOfCare.diagnosis': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
condition 1..1 Reference(Condition)
role 0..1 CodeableConcept
rank 0..1 positiveInt
`,
  'EvidenceVariable.characteristic': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
description 0..1 string
definition[x] 1..1 Reference(Group)|canonical|CodeableConcept|Expression|DataRequirement|TriggerDefinition
usageContext 0..* UsageContext
exclude 0..1 boolean
participantEffective[x] 0..1 dateTime|Period|Duration|Timing
timeFromStart 0..1 Duration
groupMeasure 0..1 code {group-measure}
`,
  'ExampleScenario.actor': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
actorId 1..1 string
type 1..1 code {examplescenario-actor-type}
name 0..1 string
description 0..1 markdown
`,
  'ExampleScenario.instance': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
resourceId 1..1 string
resourceType 1..1 code {resource-types}
name 0..1 string
description 0..1 markdown
version 0..* ExampleScenario.instance.version
containedInstance 0..* ExampleScenario.instance.containedInstance
`,
  'ExampleScenario.instance.version': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
versionId 1..1 string
description 1..1 markdown
`,
  'ExampleScenario.instance.containedInstance': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
resourceId 1..1 string
versionId 0..1 string
`,
  'ExampleScenario.process': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
title 1..1 string
description 0..1 markdown
preConditions 0..1 markdown
postConditions 0..1 markdown
step 0..* ExampleScenario.process.step
`,
  'ExampleScenario.process.step': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
process 0..* ExampleScenario.process
pause 0..1 boolean
operation 0..1 ExampleScenario.process.step.operation
alternative 0..* ExampleScenario.process.step.alternative
`,
  'ExampleScenario.process.step.operation': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
number 1..1 string
type 0..1 string
name 0..1 string
initiator 0..1 string
receiver 0..1 string
description 0..1 markdown
initiatorActive 0..1 boolean
receiverActive 0..1 boolean
request 0..1 ExampleScenario.instance.containedInstance
response 0..1 ExampleScenario.instance.containedInstance
`,
  'ExampleScenario.process.step.alternative': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
title 1..1 string
description 0..1 markdown
step 0..* ExampleScenario.process.step
`,
  'ExplanationOfBenefit.related': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
claim 0..1 Reference(Claim)
relationship 0..1 CodeableConcept
reference 0..1 Identifier
`,
  'ExplanationOfBenefit.payee': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..1 CodeableConcept
party 0..1 Reference(Practitioner,PractitionerRole,Organization,Patient,RelatedPerson)
`,
  'ExplanationOfBenefit.careTeam': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
sequence 1..1 positiveInt
provider 1..1 Reference(Practitioner,PractitionerRole,Organization)
responsible 0..1 boolean
role 0..1 CodeableConcept
qualification 0..1 CodeableConcept
`,
  'ExplanationOfBenefit.supportingInfo': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
sequence 1..1 positiveInt
category 1..1 CodeableConcept
code 0..1 CodeableConcept
timing[x] 0..1 date|Period
value[x] 0..1 boolean|string|Quantity|Attachment|Reference
reason 0..1 Coding
`,
  'ExplanationOfBenefit.diagnosis': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
sequence 1..1 positiveInt
diagnosis[x] 1..1 CodeableConcept|Reference(Condition)
type 0..* CodeableConcept
onAdmission 0..1 CodeableConcept
packageCode 0..1 CodeableConcept
`,
  'ExplanationOfBenefit.procedure': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
sequence 1..1 positiveInt
type 0..* CodeableConcept
date 0..1 dateTime
procedure[x] 1..1 CodeableConcept|Reference(Procedure)
udi 0..* Reference(Device)
`,
  'ExplanationOfBenefit.insurance': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
focal 1..1 boolean
coverage 1..1 Reference(Coverage)
preAuthRef 0..* string
`,
  'ExplanationOfBenefit.accident': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
date 0..1 date
type 0..1 CodeableConcept
location[x] 0..1 Address|Reference(Location)
`,
  'ExplanationOfBenefit.item': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
sequence 1..1 positiveInt
careTeamSequence 0..* positiveInt
diagnosisSequence 0..* positiveInt
procedureSequence 0..* positiveInt
informationSequence 0..* positiveInt
revenue 0..1 CodeableConcept
category 0..1 CodeableConcept
productOrService 1..1 CodeableConcept
modifier 0..* CodeableConcept
programCode 0..* CodeableConcept
serviced[x] 0..1 date|Period
location[x] 0..1 CodeableConcept|Address|Reference(Location)
quantity 0..1 Quantity
unitPrice 0..1 Money
factor 0..1 decimal
net 0..1 Money
udi 0..* Reference(Device)
bodySite 0..1 CodeableConcept
subSite 0..* CodeableConcept
encounter 0..* Reference(Encounter)
noteNumber 0..* positiveInt
adjudication 0..* ExplanationOfBenefit.item.adjudication
detail 0..* ExplanationOfBenefit.item.detail
`,
  'ExplanationOfBenefit.item.adjudication': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
category 1..1 CodeableConcept
reason 0..1 CodeableConcept
amount 0..1 Money
value 0..1 decimal
`,
  'ExplanationOfBenefit.item.detail': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
sequence 1..1 positiveInt
revenue 0..1 CodeableConcept
category 0..1 CodeableConcept
productOrService 1..1 CodeableConcept
modifier 0..* CodeableConcept
programCode 0..* CodeableConcept
quantity 0..1 Quantity
unitPrice 0..1 Money
factor 0..1 decimal
net 0..1 Money
udi 0..* Reference(Device)
noteNumber 0..* positiveInt
adjudication 0..* ExplanationOfBenefit.item.adjudication
subDetail 0..* ExplanationOfBenefit.item.detail.subDetail
`,
  'ExplanationOfBenefit.item.detail.subDetail': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
sequence 1..1 positiveInt
revenue 0..1 CodeableConcept
category 0..1 CodeableConcept
productOrService 1..1 CodeableConcept
modifier 0..* CodeableConcept
programCode 0..* CodeableConcept
quantity 0..1 Quantity
unitPrice 0..1 Money
factor 0..1 decimal
net 0..1 Money
udi 0..* Reference(Device)
noteNumber 0..* positiveInt
adjudication 0..* ExplanationOfBenefit.item.adjudication
`,
  'ExplanationOfBenefit.addItem': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
itemSequence 0..* positiveInt
detailSequence 0..* positiveInt
subDetailSequence 0..* positiveInt
provider 0..* Reference(Practitioner,PractitionerRole,Organization)
productOrService 1..1 CodeableConcept
modifier 0..* CodeableConcept
programCode 0..* CodeableConcept
serviced[x] 0..1 date|Period
location[x] 0..1 CodeableConcept|Address|Reference(Location)
quantity 0..1 Quantity
unitPrice 0..1 Money
factor 0..1 decimal
net 0..1 Money
bodySite 0..1 CodeableConcept
subSite 0..* CodeableConcept
noteNumber 0..* positiveInt
adjudication 0..* ExplanationOfBenefit.item.adjudication
detail 0..* ExplanationOfBenefit.addItem.detail
`,
  'ExplanationOfBenefit.addItem.detail': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
productOrService 1..1 CodeableConcept
modifier 0..* CodeableConcept
quantity 0..1 Quantity
unitPrice 0..1 Money
factor 0..1 decimal
net 0..1 Money
noteNumber 0..* positiveInt
adjudication 0..* ExplanationOfBenefit.item.adjudication
subDetail 0..* ExplanationOfBenefit.addItem.detail.subDetail
`,
  'ExplanationOfBenefit.addItem.detail.subDetail': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
productOrService 1..1 CodeableConcept
modifier 0..* CodeableConcept
quantity 0..1 Quantity
unitPrice 0..1 Money
factor 0..1 decimal
net 0..1 Money
noteNumber 0..* positiveInt
adjudication 0..* ExplanationOfBenefit.item.adjudication
`,
  'ExplanationOfBenefit.total': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
category 1..1 CodeableConcept
amount 1..1 Money
`,
  'ExplanationOfBenefit.payment': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..1 CodeableConcept
adjustment 0..1 Money
adjustmentReason 0..1 CodeableConcept
date 0..1 date
amount 0..1 Money
identifier 0..1 Identifier
`,
  'ExplanationOfBenefit.processNote': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
number 0..1 positiveInt
type 0..1 code {note-type}
text 0..1 string
language 0..1 CodeableConcept
`,
  'ExplanationOfBenefit.benefitBalance': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
category 1..1 CodeableConcept
excluded 0..1 boolean
name 0..1 string
description 0..1 string
network 0..1 CodeableConcept
unit 0..1 CodeableConcept
term 0..1 CodeableConcept
financial 0..* ExplanationOfBenefit.benefitBalance.financial
`,
  'ExplanationOfBenefit.benefitBalance.financial': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 CodeableConcept
allowed[x] 0..1 unsignedInt|string|Money
used[x] 0..1 unsignedInt|Money
`,
  'FamilyMemberHistory.condition': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 CodeableConcept
outcome 0..1 CodeableConcept
contributedToDeath 0..1 boolean
onset[x] 0..1 Age|Range|Period|string
note 0..* Annotation
`,
  'Goal.target': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
measure 0..1 CodeableConcept
detail[x] 0..1 Quantity|Range|CodeableConcept|string|boolean|integer|Ratio
due[x] 0..1 date|Duration
`,
  'GraphDefinition.link': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
path 0..1 string
sliceName 0..1 string
min 0..1 integer
max 0..1 string
description 0..1 string
target 0..* GraphDefinition.link.target
`,
  'GraphDefinition.link.target': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 code {resource-types}
params 0..1 string
profile 0..1 canonical
compartment 0..* GraphDefinition.link.target.compartment
link 0..* GraphDefinition.link
`,
  'GraphDefinition.link.target.compartment': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
use 1..1 code {graph-compartment-use}
code 1..1 code {compartment-type}
rule 1..1 code {graph-compartment-rule}
expression 0..1 string
description 0..1 string
`,
  'Group.characteristic': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 CodeableConcept
value[x] 1..1 CodeableConcept|boolean|Quantity|Range|Reference
exclude 1..1 boolean
period 0..1 Period
`,
  'Group.member': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
entity 1..1 Reference(Patient,Practitioner,PractitionerRole,Device,Medication,Substance,Group)
period 0..1 Period
inactive 0..1 boolean
`,
  'HealthcareService.eligibility': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 0..1 CodeableConcept
comment 0..1 markdown
`,
  'HealthcareService.availableTime': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
daysOfWeek 0..* code {days-of-week}
allDay 0..1 boolean
availableStartTime 0..1 time
availableEndTime 0..1 time
`,
  'HealthcareService.notAvailable': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
description 1..1 string
during 0..1 Period
`,
  'ImagingStudy.series': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
uid 1..1 id
number 0..1 unsignedInt
modality 1..1 Coding
description 0..1 string
numberOfInstances 0..1 unsignedInt
endpoint 0..* Reference(Endpoint)
bodySite 0..1 Coding
laterality 0..1 Coding
specimen 0..* Reference(Specimen)
started 0..1 dateTime
performer 0..* ImagingStudy.series.performer
instance 0..* ImagingStudy.series.instance
`,
  'ImagingStudy.series.performer': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
function 0..1 CodeableConcept
actor 1..1 Reference(Practitioner,PractitionerRole,Organization,CareTeam,Patient,Device,RelatedPerson)
`,
  'ImagingStudy.series.instance': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
uid 1..1 id
sopClass 1..1 Coding
number 0..1 unsignedInt
title 0..1 string
`,
  'Immunization.performer': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
function 0..1 CodeableConcept
actor 1..1 Reference(Practitioner,PractitionerRole,Organization)
`,
  'Immunization.education': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
documentType 0..1 string
reference 0..1 uri
publicationDate 0..1 dateTime
presentationDate 0..1 dateTime
`,
  'Immunization.reaction': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
date 0..1 dateTime
detail 0..1 Reference(Observation)
reported 0..1 boolean
`,
  'Immunization.protocolApplied': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
series 0..1 string
authority 0..1 Reference(Organization)
targetDisease 0..* CodeableConcept
doseNumber[x] 1..1 positiveInt|string
seriesDoses[x] 0..1 positiveInt|string
`,
  'ImmunizationRecommendation.recommendation': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
vaccineCode 0..* CodeableConcept
targetDisease 0..1 CodeableConcept
contraindicatedVaccineCode 0..* CodeableConcept
forecastStatus 1..1 CodeableConcept
forecastReason 0..* CodeableConcept
dateCriterion 0..* ImmunizationRecommendation.recommendation.dateCriterion
description 0..1 string
series 0..1 string
doseNumber[x] 0..1 positiveInt|string
seriesDoses[x] 0..1 positiveInt|string
supportingImmunization 0..* Reference(Immunization,ImmunizationEvaluation)
supportingPatientInformation 0..* Reference
`,
  'ImmunizationRecommendation.recommendation.dateCriterion': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 CodeableConcept
value 1..1 dateTime
`,
  'ImplementationGuide.dependsOn': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
uri 1..1 canonical
packageId 0..1 id
version 0..1 string
`,
  'ImplementationGuide.global': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 code {resource-types}
profile 1..1 canonical
`,
  'ImplementationGuide.definition': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
grouping 0..* ImplementationGuide.definition.grouping
resource 1..* ImplementationGuide.definition.resource
page 0..1 ImplementationGuide.definition.page
parameter 0..* ImplementationGuide.definition.parameter
template 0..* ImplementationGuide.definition.template
`,
  'ImplementationGuide.definition.grouping': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 1..1 string
description 0..1 string
`,
  'ImplementationGuide.definition.resource': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
reference 1..1 Reference
fhirVersion 0..* code {FHIR-version}
name 0..1 string
description 0..1 string
example[x] 0..1 boolean|canonical
groupingId 0..1 id
`,
  'ImplementationGuide.definition.page': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name[x] 1..1 url|Reference(Binary)
title 1..1 string
generation 1..1 code {guide-page-generation}
page 0..* ImplementationGuide.definition.page
`,
  'ImplementationGuide.definition.parameter': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 code {guide-parameter-code}
value 1..1 string
`,
  'ImplementationGuide.definition.template': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 code
source 1..1 string
scope 0..1 string
`,
  'ImplementationGuide.manifest': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
rendering 0..1 url
resource 1..* ImplementationGuide.manifest.resource
page 0..* ImplementationGuide.manifest.page
image 0..* string
other 0..* string
`,
  'ImplementationGuide.manifest.resource': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
reference 1..1 Reference
example[x] 0..1 boolean|canonical
relativePath 0..1 url
`,
  'ImplementationGuide.manifest.page': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 1..1 string
title 0..1 string
anchor 0..* string
`,
  'InsurancePlan.contact': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
purpose 0..1 CodeableConcept
name 0..1 HumanName
telecom 0..* ContactPoint
address 0..1 Address
`,
  'InsurancePlan.coverage': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 CodeableConcept
network 0..* Reference(Organization)
benefit 1..* InsurancePlan.coverage.benefit
`,
  'InsurancePlan.coverage.benefit': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 CodeableConcept
requirement 0..1 string
limit 0..* InsurancePlan.coverage.benefit.limit
`,
  'InsurancePlan.coverage.benefit.limit': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
value 0..1 Quantity
code 0..1 CodeableConcept
`,
  'InsurancePlan.plan': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
type 0..1 CodeableConcept
coverageArea 0..* Reference(Location)
network 0..* Reference(Organization)
generalCost 0..* InsurancePlan.plan.generalCost
specificCost 0..* InsurancePlan.plan.specificCost
`,
  'InsurancePlan.plan.generalCost': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..1 CodeableConcept
groupSize 0..1 positiveInt
cost 0..1 Money
comment 0..1 string
`,
  'InsurancePlan.plan.specificCost': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
category 1..1 CodeableConcept
benefit 0..* InsurancePlan.plan.specificCost.benefit
`,
  'InsurancePlan.plan.specificCost.benefit': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 CodeableConcept
cost 0..* InsurancePlan.plan.specificCost.benefit.cost
`,
  'InsurancePlan.plan.specificCost.benefit.cost': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 CodeableConcept
applicability 0..1 CodeableConcept {insuranceplan-applicability}
qualifiers 0..* CodeableConcept
value 0..1 Quantity
`,
  'Invoice.participant': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
role 0..1 CodeableConcept
actor 1..1 Reference(Practitioner,Organization,Patient,PractitionerRole,Device,RelatedPerson)
`,
  'Invoice.lineItem': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
sequence 0..1 positiveInt
chargeItem[x] 1..1 Reference(ChargeItem)|CodeableConcept
priceComponent 0..* Invoice.lineItem.priceComponent
`,
  'Invoice.lineItem.priceComponent': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 code {invoice-priceComponentType}
code 0..1 CodeableConcept
factor 0..1 decimal
amount 0..1 Money
`,
  'Linkage.item': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 code {linkage-type}
resource 1..1 Reference
`,
  'List.entry': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
flag 0..1 CodeableConcept
deleted 0..1 boolean
date 0..1 dateTime
item 1..1 Reference
`,
  'Location.position': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
longitude 1..1 decimal
latitude 1..1 decimal
altitude 0..1 decimal
`,
  'Location.hoursOfOperation': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
daysOfWeek 0..* code {days-of-week}
allDay 0..1 boolean
openingTime 0..1 time
closingTime 0..1 time
`,
  'Measure.group': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 0..1 CodeableConcept
description 0..1 string
population 0..* Measure.group.population
stratifier 0..* Measure.group.stratifier
`,
  'Measure.group.population': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 0..1 CodeableConcept
description 0..1 string
criteria 1..1 Expression
`,
  'Measure.group.stratifier': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 0..1 CodeableConcept
description 0..1 string
criteria 0..1 Expression
component 0..* Measure.group.stratifier.component
`,
  'Measure.group.stratifier.component': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 0..1 CodeableConcept
description 0..1 string
criteria 1..1 Expression
`,
  'Measure.supplementalData': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 0..1 CodeableConcept
usage 0..* CodeableConcept
description 0..1 string
criteria 1..1 Expression
`,
  'MeasureReport.group': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 0..1 CodeableConcept
population 0..* MeasureReport.group.population
measureScore 0..1 Quantity
stratifier 0..* MeasureReport.group.stratifier
`,
  'MeasureReport.group.population': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 0..1 CodeableConcept
count 0..1 integer
subjectResults 0..1 Reference(List)
`,
  'MeasureReport.group.stratifier': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 0..* CodeableConcept
stratum 0..* MeasureReport.group.stratifier.stratum
`,
  'MeasureReport.group.stratifier.stratum': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
value 0..1 CodeableConcept
component 0..* MeasureReport.group.stratifier.stratum.component
population 0..* MeasureReport.group.stratifier.stratum.population
measureScore 0..1 Quantity
`,
  'MeasureReport.group.stratifier.stratum.component': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 CodeableConcept
value 1..1 CodeableConcept
`,
  'MeasureReport.group.stratifier.stratum.population': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 0..1 CodeableConcept
count 0..1 integer
subjectResults 0..1 Reference(List)
`,
  'Medication.ingredient': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
item[x] 1..1 CodeableConcept|Reference(Substance,Medication)
isActive 0..1 boolean
strength 0..1 Ratio
`,
  'Medication.batch': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
lotNumber 0..1 string
expirationDate 0..1 dateTime
`,
  'MedicationAdministration.performer': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
function 0..1 CodeableConcept
actor 1..1 Reference(Practitioner,PractitionerRole,Patient,RelatedPerson,Device)
`,
  'MedicationAdministration.dosage': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
text 0..1 string
site 0..1 CodeableConcept
route 0..1 CodeableConcept
method 0..1 CodeableConcept
dose 0..1 Quantity
rate[x] 0..1 Ratio|Quantity
`,
  'MedicationDispense.performer': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
function 0..1 CodeableConcept
actor 1..1 Reference(Practitioner,PractitionerRole,Organization,Patient,Device,RelatedPerson)
`,
  'MedicationDispense.substitution': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
wasSubstituted 1..1 boolean
type 0..1 CodeableConcept
reason 0..* CodeableConcept
responsibleParty 0..* Reference(Practitioner,PractitionerRole)
`,
  'MedicationKnowledge.relatedMedicationKnowledge': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 CodeableConcept
reference 1..* Reference(MedicationKnowledge)
`,
  'MedicationKnowledge.monograph': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..1 CodeableConcept
source 0..1 Reference(DocumentReference,Media)
`,
  'MedicationKnowledge.ingredient': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
item[x] 1..1 CodeableConcept|Reference(Substance)
isActive 0..1 boolean
strength 0..1 Ratio
`,
  'MedicationKnowledge.cost': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 CodeableConcept
source 0..1 string
cost 1..1 Money
`,
  'MedicationKnowledge.monitoringProgram': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..1 CodeableConcept
name 0..1 string
`,
  'MedicationKnowledge.administrationGuidelines': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
dosage 0..* MedicationKnowledge.administrationGuidelines.dosage
indication[x] 0..1 CodeableConcept|Reference(ObservationDefinition)
patientCharacteristics 0..* MedicationKnowledge.administrationGuidelines.patientCharacteristics
`,
  'MedicationKnowledge.administrationGuidelines.dosage': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 CodeableConcept
dosage 1..* Dosage
`,
  'MedicationKnowledge.administrationGuidelines.patientCharacteristics': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
characteristic[x] 1..1 CodeableConcept|Quantity
value 0..* string
`,
  'MedicationKnowledge.medicineClassification': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 CodeableConcept
classification 0..* CodeableConcept
`,
  'MedicationKnowledge.packaging': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..1 CodeableConcept
quantity 0..1 Quantity
`,
  'MedicationKnowledge.drugCharacteristic': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..1 CodeableConcept
value[x] 0..1 CodeableConcept|string|Quantity|base64Binary
`,
  'MedicationKnowledge.regulatory': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
regulatoryAuthority 1..1 Reference(Organization)
substitution 0..* MedicationKnowledge.regulatory.substitution
schedule 0..* MedicationKnowledge.regulatory.schedule
maxDispense 0..1 MedicationKnowledge.regulatory.maxDispense
`,
  'MedicationKnowledge.regulatory.substitution': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 CodeableConcept
allowed 1..1 boolean
`,
  'MedicationKnowledge.regulatory.schedule': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
schedule 1..1 CodeableConcept
`,
  'MedicationKnowledge.regulatory.maxDispense': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
quantity 1..1 Quantity
period 0..1 Duration
`,
  'MedicationKnowledge.kinetics': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
areaUnderCurve 0..* Quantity
lethalDose50 0..* Quantity
halfLifePeriod 0..1 Duration
`,
  'MedicationRequest.dispenseRequest': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
initialFill 0..1 MedicationRequest.dispenseRequest.initialFill
dispenseInterval 0..1 Duration
validityPeriod 0..1 Period
numberOfRepeatsAllowed 0..1 unsignedInt
quantity 0..1 Quantity
expectedSupplyDuration 0..1 Duration
performer 0..1 Reference(Organization)
`,
  'MedicationRequest.dispenseRequest.initialFill': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
quantity 0..1 Quantity
duration 0..1 Duration
`,
  'MedicationRequest.substitution': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
allowed[x] 1..1 boolean|CodeableConcept
reason 0..1 CodeableConcept
`,
  'MedicinalProduct.name': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
productName 1..1 string
namePart 0..* MedicinalProduct.name.namePart
countryLanguage 0..* MedicinalProduct.name.countryLanguage
`,
  'MedicinalProduct.name.namePart': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
part 1..1 string
type 1..1 Coding
`,
  'MedicinalProduct.name.countryLanguage': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
country 1..1 CodeableConcept
jurisdiction 0..1 CodeableConcept
language 1..1 CodeableConcept
`,
  'MedicinalProduct.manufacturingBusinessOperation': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
operationType 0..1 CodeableConcept
authorisationReferenceNumber 0..1 Identifier
effectiveDate 0..1 dateTime
confidentialityIndicator 0..1 CodeableConcept
manufacturer 0..* Reference(Organization)
regulator 0..1 Reference(Organization)
`,
  'MedicinalProduct.specialDesignation': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
type 0..1 CodeableConcept
intendedUse 0..1 CodeableConcept
indication[x] 0..1 CodeableConcept|Reference(MedicinalProductIndication)
status 0..1 CodeableConcept
date 0..1 dateTime
species 0..1 CodeableConcept
`,
  'MedicinalProductAuthorization.jurisdictionalAuthorization': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
country 0..1 CodeableConcept
jurisdiction 0..* CodeableConcept
legalStatusOfSupply 0..1 CodeableConcept
validityPeriod 0..1 Period
`,
  'MedicinalProductAuthorization.procedure': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..1 Identifier
type 1..1 CodeableConcept
date[x] 0..1 Period|dateTime
application 0..* MedicinalProductAuthorization.procedure
`,
  'MedicinalProductContraindication.otherTherapy': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
therapyRelationshipType 1..1 CodeableConcept
medication[x] 1..1 CodeableConcept|Reference(MedicinalProduct,Medication,Substance,SubstanceSpecification)
`,
  'MedicinalProductIndication.otherTherapy': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
therapyRelationshipType 1..1 CodeableConcept
medication[x] 1..1 CodeableConcept|Reference(MedicinalProduct,Medication,Substance,SubstanceSpecification)
`,
  'MedicinalProductIngredient.specifiedSubstance': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 CodeableConcept
group 1..1 CodeableConcept
confidentiality 0..1 CodeableConcept
strength 0..* MedicinalProductIngredient.specifiedSubstance.strength
`,
  'MedicinalProductIngredient.specifiedSubstance.strength': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
presentation 1..1 Ratio
presentationLowLimit 0..1 Ratio
concentration 0..1 Ratio
concentrationLowLimit 0..1 Ratio
measurementPoint 0..1 string
country 0..* CodeableConcept
referenceStrength 0..* MedicinalProductIngredient.specifiedSubstance.strength.referenceStrength
`,
  'MedicinalProductIngredient.specifiedSubstance.strength.referenceStrength': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
substance 0..1 CodeableConcept
strength 1..1 Ratio
strengthLowLimit 0..1 Ratio
measurementPoint 0..1 string
country 0..* CodeableConcept
`,
  'MedicinalProductIngredient.substance': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 CodeableConcept
strength 0..* MedicinalProductIngredient.specifiedSubstance.strength
`,
  'MedicinalProductInteraction.interactant': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
item[x] 1..1 Reference(MedicinalProduct,Medication,Substance,ObservationDefinition)|CodeableConcept
`,
  'MedicinalProductPackaged.batchIdentifier': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
outerPackaging 1..1 Identifier
immediatePackaging 0..1 Identifier
`,
  'MedicinalProductPackaged.packageItem': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
type 1..1 CodeableConcept
quantity 1..1 Quantity
material 0..* CodeableConcept
alternateMaterial 0..* CodeableConcept
device 0..* Reference(DeviceDefinition)
manufacturedItem 0..* Reference(MedicinalProductManufactured)
packageItem 0..* MedicinalProductPackaged.packageItem
physicalCharacteristics 0..1 ProdCharacteristic
otherCharacteristics 0..* CodeableConcept
shelfLifeStorage 0..* ProductShelfLife
manufacturer 0..* Reference(Organization)
`,
  'MedicinalProductPharmaceutical.characteristics': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 CodeableConcept
status 0..1 CodeableConcept
`,
  'MedicinalProductPharmaceutical.routeOfAdministration': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 CodeableConcept
firstDose 0..1 Quantity
maxSingleDose 0..1 Quantity
maxDosePerDay 0..1 Quantity
maxDosePerTreatmentPeriod 0..1 Ratio
maxTreatmentPeriod 0..1 Duration
targetSpecies 0..* MedicinalProductPharmaceutical.routeOfAdministration.targetSpecies
`,
  'MedicinalProductPharmaceutical.routeOfAdministration.targetSpecies': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 CodeableConcept
withdrawalPeriod 0..* MedicinalProductPharmaceutical.routeOfAdministration.targetSpecies.withdrawalPeriod
`,
  'MedicinalProductPharmaceutical.routeOfAdministration.targetSpecies.withdrawalPeriod': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
tissue 1..1 CodeableConcept
value 1..1 Quantity
supportingInformation 0..1 string
`,
  'MessageDefinition.focus': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 code {resource-types}
profile 0..1 canonical
min 1..1 unsignedInt
max 0..1 string
`,
  'MessageDefinition.allowedResponse': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
message 1..1 canonical
situation 0..1 markdown
`,
  'MessageHeader.destination': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 0..1 string
target 0..1 Reference(Device)
endpoint 1..1 url
receiver 0..1 Reference(Practitioner,PractitionerRole,Organization)
`,
  'MessageHeader.source': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 0..1 string
software 0..1 string
version 0..1 string
contact 0..1 ContactPoint
endpoint 1..1 url
`,
  'MessageHeader.response': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
identifier 1..1 id
code 1..1 code {response-code}
details 0..1 Reference(OperationOutcome)
`,
  'MolecularSequence.referenceSeq': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
chromosome 0..1 CodeableConcept
genomeBuild 0..1 string
orientation 0..1 code {orientation-type}
referenceSeqId 0..1 CodeableConcept
referenceSeqPointer 0..1 Reference(MolecularSequence)
referenceSeqString 0..1 string
strand 0..1 code {strand-type}
windowStart 0..1 integer
windowEnd 0..1 integer
`,
  'MolecularSequence.variant': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
start 0..1 integer
end 0..1 integer
observedAllele 0..1 string
referenceAllele 0..1 string
cigar 0..1 string
variantPointer 0..1 Reference(Observation)
`,
  'MolecularSequence.quality': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 code {quality-type}
standardSequence 0..1 CodeableConcept
start 0..1 integer
end 0..1 integer
score 0..1 Quantity
method 0..1 CodeableConcept
truthTP 0..1 decimal
queryTP 0..1 decimal
truthFN 0..1 decimal
queryFP 0..1 decimal
gtFP 0..1 decimal
precision 0..1 decimal
recall 0..1 decimal
fScore 0..1 decimal
roc 0..1 MolecularSequence.quality.roc
`,
  'MolecularSequence.quality.roc': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
score 0..* integer
numTP 0..* integer
numFP 0..* integer
numFN 0..* integer
precision 0..* decimal
sensitivity 0..* decimal
fMeasure 0..* decimal
`,
  'MolecularSequence.repository': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 code {repository-type}
url 0..1 uri
name 0..1 string
datasetId 0..1 string
variantsetId 0..1 string
readsetId 0..1 string
`,
  'MolecularSequence.structureVariant': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
variantType 0..1 CodeableConcept
exact 0..1 boolean
length 0..1 integer
outer 0..1 MolecularSequence.structureVariant.outer
inner 0..1 MolecularSequence.structureVariant.inner
`,
  'MolecularSequence.structureVariant.outer': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
start 0..1 integer
end 0..1 integer
`,
  'MolecularSequence.structureVariant.inner': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
start 0..1 integer
end 0..1 integer
`,
  'NamingSystem.uniqueId': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 code {namingsystem-identifier-type}
value 1..1 string
preferred 0..1 boolean
comment 0..1 string
period 0..1 Period
`,
  'NutritionOrder.oralDiet': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..* CodeableConcept
schedule 0..* Timing
nutrient 0..* NutritionOrder.oralDiet.nutrient
texture 0..* NutritionOrder.oralDiet.texture
fluidConsistencyType 0..* CodeableConcept
instruction 0..1 string
`,
  'NutritionOrder.oralDiet.nutrient': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
modifier 0..1 CodeableConcept
amount 0..1 Quantity
`,
  'NutritionOrder.oralDiet.texture': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
modifier 0..1 CodeableConcept
foodType 0..1 CodeableConcept
`,
  'NutritionOrder.supplement': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..1 CodeableConcept
productName 0..1 string
schedule 0..* Timing
quantity 0..1 Quantity
instruction 0..1 string
`,
  'NutritionOrder.enteralFormula': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
baseFormulaType 0..1 CodeableConcept
baseFormulaProductName 0..1 string
additiveType 0..1 CodeableConcept
additiveProductName 0..1 string
caloricDensity 0..1 Quantity
routeofAdministration 0..1 CodeableConcept
administration 0..* NutritionOrder.enteralFormula.administration
maxVolumeToDeliver 0..1 Quantity
administrationInstruction 0..1 string
`,
  'NutritionOrder.enteralFormula.administration': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
schedule 0..1 Timing
quantity 0..1 Quantity
rate[x] 0..1 Quantity|Ratio
`,
  'Observation.referenceRange': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
low 0..1 Quantity
high 0..1 Quantity
type 0..1 CodeableConcept
appliesTo 0..* CodeableConcept
age 0..1 Range
text 0..1 string
`,
  'Observation.component': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 CodeableConcept
value[x] 0..1 Quantity|CodeableConcept|string|boolean|integer|Range|Ratio|SampledData|time|dateTime|Period
dataAbsentReason 0..1 CodeableConcept
interpretation 0..* CodeableConcept
referenceRange 0..* Observation.referenceRange
`,
  'ObservationDefinition.quantitativeDetails': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
customaryUnit 0..1 CodeableConcept
unit 0..1 CodeableConcept
conversionFactor 0..1 decimal
decimalPrecision 0..1 integer
`,
  'ObservationDefinition.qualifiedInterval': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
category 0..1 code {observation-range-category}
range 0..1 Range
context 0..1 CodeableConcept
appliesTo 0..* CodeableConcept
gender 0..1 code {administrative-gender}
age 0..1 Range
gestationalAge 0..1 Range
condition 0..1 string
`,
  'OperationDefinition.parameter': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 1..1 code
use 1..1 code {operation-parameter-use}
min 1..1 integer
max 1..1 string
documentation 0..1 string
type 0..1 code {all-types}
targetProfile 0..* canonical
searchType 0..1 code {search-param-type}
binding 0..1 OperationDefinition.parameter.binding
referencedFrom 0..* OperationDefinition.parameter.referencedFrom
part 0..* OperationDefinition.parameter
`,
  'OperationDefinition.parameter.binding': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
strength 1..1 code {binding-strength}
valueSet 1..1 canonical
`,
  'OperationDefinition.parameter.referencedFrom': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
source 1..1 string
sourceId 0..1 string
`,
  'OperationDefinition.overload': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
parameterName 0..* string
comment 0..1 string
`,
  'OperationOutcome.issue': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
severity 1..1 code {issue-severity}
code 1..1 code {issue-type}
details 0..1 CodeableConcept
diagnostics 0..1 string
location 0..* string
expression 0..* string
`,
  'Organization.contact': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
purpose 0..1 CodeableConcept
name 0..1 HumanName
telecom 0..* ContactPoint
address 0..1 Address
`,
  'Parameters.parameter': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 1..1 string
value[x] 0..1 base64Binary|boolean|canonical|code|date|dateTime|decimal|id|instant|integer|markdown|oid|positiveInt|string|time|unsignedInt|uri|url|uuid|Address|Age|Annotation|Attachment|CodeableConcept|Coding|ContactPoint|Count|Distance|Duration|HumanName|Identifier|Money|Period|Quantity|Range|Ratio|Reference|SampledData|Signature|Timing|ContactDetail|Contributor|DataRequirement|Expression|ParameterDefinition|RelatedArtifact|TriggerDefinition|UsageContext|Dosage|Meta
resource 0..1 Resource
part 0..* Parameters.parameter
`,
  'Patient.contact': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
relationship 0..* CodeableConcept
name 0..1 HumanName
telecom 0..* ContactPoint
address 0..1 Address
gender 0..1 code {administrative-gender}
organization 0..1 Reference(Organization)
period 0..1 Period
`,
  'Patient.communication': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
language 1..1 CodeableConcept
preferred 0..1 boolean
`,
  'Patient.link': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
other 1..1 Reference(Patient,RelatedPerson)
type 1..1 code {link-type}
`,
  'PaymentReconciliation.detail': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..1 Identifier
predecessor 0..1 Identifier
type 1..1 CodeableConcept
request 0..1 Reference
submitter 0..1 Reference(Practitioner,PractitionerRole,Organization)
response 0..1 Reference
date 0..1 date
responsible 0..1 Reference(PractitionerRole)
payee 0..1 Reference(Practitioner,PractitionerRole,Organization)
amount 0..1 Money
`,
  'PaymentReconciliation.processNote': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..1 code {note-type}
text 0..1 string
`,
  'Person.link': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
target 1..1 Reference(Patient,Practitioner,RelatedPerson,Person)
assurance 0..1 code {identity-assuranceLevel}
`,
  'PlanDefinition.goal': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
category 0..1 CodeableConcept
description 1..1 CodeableConcept
priority 0..1 CodeableConcept
start 0..1 CodeableConcept
addresses 0..* CodeableConcept
documentation 0..* RelatedArtifact
target 0..* PlanDefinition.goal.target
`,
  'PlanDefinition.goal.target': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
measure 0..1 CodeableConcept
detail[x] 0..1 Quantity|Range|CodeableConcept
due 0..1 Duration
`,
  'PlanDefinition.action': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
prefix 0..1 string
title 0..1 string
description 0..1 string
textEquivalent 0..1 string
priority 0..1 code {request-priority}
code 0..* CodeableConcept
reason 0..* CodeableConcept
documentation 0..* RelatedArtifact
goalId 0..* id
subject[x] 0..1 CodeableConcept|Reference(Group)
trigger 0..* TriggerDefinition
condition 0..* PlanDefinition.action.condition
input 0..* DataRequirement
output 0..* DataRequirement
relatedAction 0..* PlanDefinition.action.relatedAction
timing[x] 0..1 dateTime|Age|Period|Duration|Range|Timing
participant 0..* PlanDefinition.action.participant
type 0..1 CodeableConcept
groupingBehavior 0..1 code {action-grouping-behavior}
selectionBehavior 0..1 code {action-selection-behavior}
requiredBehavior 0..1 code {action-required-behavior}
precheckBehavior 0..1 code {action-precheck-behavior}
cardinalityBehavior 0..1 code {action-cardinality-behavior}
definition[x] 0..1 canonical|uri
transform 0..1 canonical
dynamicValue 0..* PlanDefinition.action.dynamicValue
action 0..* PlanDefinition.action
`,
  'PlanDefinition.action.condition': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
kind 1..1 code {action-condition-kind}
expression 0..1 Expression
`,
  'PlanDefinition.action.relatedAction': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
actionId 1..1 id
relationship 1..1 code {action-relationship-type}
offset[x] 0..1 Duration|Range
`,
  'PlanDefinition.action.participant': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 code {action-participant-type}
role 0..1 CodeableConcept
`,
  'PlanDefinition.action.dynamicValue': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
path 0..1 string
expression 0..1 Expression
`,
  'Practitioner.qualification': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
code 1..1 CodeableConcept
period 0..1 Period
issuer 0..1 Reference(Organization)
`,
  'PractitionerRole.availableTime': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
daysOfWeek 0..* code {days-of-week}
allDay 0..1 boolean
availableStartTime 0..1 time
availableEndTime 0..1 time
`,
  'PractitionerRole.notAvailable': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
description 1..1 string
during 0..1 Period
`,
  'Procedure.performer': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
function 0..1 CodeableConcept
actor 1..1 Reference(Practitioner,PractitionerRole,Organization,Patient,RelatedPerson,Device)
onBehalfOf 0..1 Reference(Organization)
`,
  'Procedure.focalDevice': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
action 0..1 CodeableConcept
manipulated 1..1 Reference(Device)
`,
  'Provenance.agent': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..1 CodeableConcept
role 0..* CodeableConcept
who 1..1 Reference(Practitioner,PractitionerRole,RelatedPerson,Patient,Device,Organization)
onBehalfOf 0..1 Reference(Practitioner,PractitionerRole,RelatedPerson,Patient,Device,Organization)
`,
  'Provenance.entity': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
role 1..1 code {provenance-entity-role}
what 1..1 Reference
agent 0..* Provenance.agent
`,
  'Questionnaire.item': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
linkId 1..1 string
definition 0..1 uri
code 0..* Coding
prefix 0..1 string
text 0..1 string
type 1..1 code {item-type}
enableWhen 0..* Questionnaire.item.enableWhen
enableBehavior 0..1 code {questionnaire-enable-behavior}
required 0..1 boolean
repeats 0..1 boolean
readOnly 0..1 boolean
maxLength 0..1 integer
answerValueSet 0..1 canonical
answerOption 0..* Questionnaire.item.answerOption
initial 0..* Questionnaire.item.initial
item 0..* Questionnaire.item
`,
  'Questionnaire.item.enableWhen': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
question 1..1 string
operator 1..1 code {questionnaire-enable-operator}
answer[x] 1..1 boolean|decimal|integer|date|dateTime|time|string|Coding|Quantity|Reference
`,
  'Questionnaire.item.answerOption': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
value[x] 1..1 integer|date|time|string|Coding|Reference
initialSelected 0..1 boolean
`,
  'Questionnaire.item.initial': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
value[x] 1..1 boolean|decimal|integer|date|dateTime|time|string|uri|Attachment|Coding|Quantity|Reference
`,
  'QuestionnaireResponse.item': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
linkId 1..1 string
definition 0..1 uri
text 0..1 string
answer 0..* QuestionnaireResponse.item.answer
item 0..* QuestionnaireResponse.item
`,
  'QuestionnaireResponse.item.answer': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
value[x] 0..1 boolean|decimal|integer|date|dateTime|time|string|uri|Attachment|Coding|Quantity|Reference
item 0..* QuestionnaireResponse.item
`,
  'RelatedPerson.communication': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
language 1..1 CodeableConcept
preferred 0..1 boolean
`,
  'RequestGroup.action': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
prefix 0..1 string
title 0..1 string
description 0..1 string
textEquivalent 0..1 string
priority 0..1 code {request-priority}
code 0..* CodeableConcept
documentation 0..* RelatedArtifact
condition 0..* RequestGroup.action.condition
relatedAction 0..* RequestGroup.action.relatedAction
timing[x] 0..1 dateTime|Age|Period|Duration|Range|Timing
participant 0..* Reference(Patient,Practitioner,PractitionerRole,RelatedPerson,Device)
type 0..1 CodeableConcept
groupingBehavior 0..1 code {action-grouping-behavior}
selectionBehavior 0..1 code {action-selection-behavior}
requiredBehavior 0..1 code {action-required-behavior}
precheckBehavior 0..1 code {action-precheck-behavior}
cardinalityBehavior 0..1 code {action-cardinality-behavior}
resource 0..1 Reference
action 0..* RequestGroup.action
`,
  'RequestGroup.action.condition': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
kind 1..1 code {action-condition-kind}
expression 0..1 Expression
`,
  'RequestGroup.action.relatedAction': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
actionId 1..1 id
relationship 1..1 code {action-relationship-type}
offset[x] 0..1 Duration|Range
`,
  'ResearchElementDefinition.characteristic': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
definition[x] 1..1 CodeableConcept|canonical|Expression|DataRequirement
usageContext 0..* UsageContext
exclude 0..1 boolean
unitOfMeasure 0..1 CodeableConcept
studyEffectiveDescription 0..1 string
studyEffective[x] 0..1 dateTime|Period|Duration|Timing
studyEffectiveTimeFromStart 0..1 Duration
studyEffectiveGroupMeasure 0..1 code {group-measure}
participantEffectiveDescription 0..1 string
participantEffective[x] 0..1 dateTime|Period|Duration|Timing
participantEffectiveTimeFromStart 0..1 Duration
participantEffectiveGroupMeasure 0..1 code {group-measure}
`,
  'ResearchStudy.arm': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 1..1 string
type 0..1 CodeableConcept
description 0..1 string
`,
  'ResearchStudy.objective': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 0..1 string
type 0..1 CodeableConcept
`,
  'RiskAssessment.prediction': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
outcome 0..1 CodeableConcept
probability[x] 0..1 decimal|Range
qualitativeRisk 0..1 CodeableConcept
relativeRisk 0..1 decimal
when[x] 0..1 Period|Range
rationale 0..1 string
`,
  'RiskEvidenceSynthesis.sampleSize': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
description 0..1 string
numberOfStudies 0..1 integer
numberOfParticipants 0..1 integer
`,
  'RiskEvidenceSynthesis.riskEstimate': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
description 0..1 string
type 0..1 CodeableConcept
value 0..1 decimal
unitOfMeasure 0..1 CodeableConcept
denominatorCount 0..1 integer
numeratorCount 0..1 integer
precisionEstimate 0..* RiskEvidenceSynthesis.riskEstimate.precisionEstimate
`,
  'RiskEvidenceSynthesis.riskEstimate.precisionEstimate': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..1 CodeableConcept
level 0..1 decimal
from 0..1 decimal
to 0..1 decimal
`,
  'RiskEvidenceSynthesis.certainty': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
rating 0..* CodeableConcept
note 0..* Annotation
certaintySubcomponent 0..* RiskEvidenceSynthesis.certainty.certaintySubcomponent
`,
  'RiskEvidenceSynthesis.certainty.certaintySubcomponent': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..1 CodeableConcept
rating 0..* CodeableConcept
note 0..* Annotation
`,
  'SearchParameter.component': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
definition 1..1 canonical
expression 1..1 string
`,
  'Specimen.collection': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
collector 0..1 Reference(Practitioner,PractitionerRole)
collected[x] 0..1 dateTime|Period
duration 0..1 Duration
quantity 0..1 Quantity
method 0..1 CodeableConcept
bodySite 0..1 CodeableConcept
fastingStatus[x] 0..1 CodeableConcept|Duration
`,
  'Specimen.processing': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
description 0..1 string
procedure 0..1 CodeableConcept
additive 0..* Reference(Substance)
time[x] 0..1 dateTime|Period
`,
  'Specimen.container': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..* Identifier
description 0..1 string
type 0..1 CodeableConcept
capacity 0..1 Quantity
specimenQuantity 0..1 Quantity
additive[x] 0..1 CodeableConcept|Reference(Substance)
`,
  'SpecimenDefinition.typeTested': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
isDerived 0..1 boolean
type 0..1 CodeableConcept
preference 1..1 code {specimen-contained-preference}
container 0..1 SpecimenDefinition.typeTested.container
requirement 0..1 string
retentionTime 0..1 Duration
rejectionCriterion 0..* CodeableConcept
handling 0..* SpecimenDefinition.typeTested.handling
`,
  'SpecimenDefinition.typeTested.container': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
material 0..1 CodeableConcept
type 0..1 CodeableConcept
cap 0..1 CodeableConcept
description 0..1 string
capacity 0..1 Quantity
minimumVolume[x] 0..1 Quantity|string
additive 0..* SpecimenDefinition.typeTested.container.additive
preparation 0..1 string
`,
  'SpecimenDefinition.typeTested.container.additive': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
additive[x] 1..1 CodeableConcept|Reference(Substance)
`,
  'SpecimenDefinition.typeTested.handling': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
temperatureQualifier 0..1 CodeableConcept
temperatureRange 0..1 Range
maxDuration 0..1 Duration
instruction 0..1 string
`,
  'StructureDefinition.mapping': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
identity 1..1 id
uri 0..1 uri
name 0..1 string
comment 0..1 string
`,
  'StructureDefinition.context': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 code {extension-context-type}
expression 1..1 string
`,
  'StructureDefinition.snapshot': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
element 1..* ElementDefinition
`,
  'StructureDefinition.differential': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
element 1..* ElementDefinition
`,
  'StructureMap.structure': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
url 1..1 canonical
mode 1..1 code {map-model-mode}
alias 0..1 string
documentation 0..1 string
`,
  'StructureMap.group': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 1..1 id
extends 0..1 id
typeMode 1..1 code {map-group-type-mode}
documentation 0..1 string
input 1..* StructureMap.group.input
rule 1..* StructureMap.group.rule
`,
  'StructureMap.group.input': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 1..1 id
type 0..1 string
mode 1..1 code {map-input-mode}
documentation 0..1 string
`,
  'StructureMap.group.rule': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 1..1 id
source 1..* StructureMap.group.rule.source
target 0..* StructureMap.group.rule.target
rule 0..* StructureMap.group.rule
dependent 0..* StructureMap.group.rule.dependent
documentation 0..1 string
`,
  'StructureMap.group.rule.source': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
context 1..1 id
min 0..1 integer
max 0..1 string
type 0..1 string
defaultValue[x] 0..1 base64Binary|boolean|canonical|code|date|dateTime|decimal|id|instant|integer|markdown|oid|positiveInt|string|time|unsignedInt|uri|url|uuid|Address|Age|Annotation|Attachment|CodeableConcept|Coding|ContactPoint|Count|Distance|Duration|HumanName|Identifier|Money|Period|Quantity|Range|Ratio|Reference|SampledData|Signature|Timing|ContactDetail|Contributor|DataRequirement|Expression|ParameterDefinition|RelatedArtifact|TriggerDefinition|UsageContext|Dosage|Meta
element 0..1 string
listMode 0..1 code {map-source-list-mode}
variable 0..1 id
condition 0..1 string
check 0..1 string
logMessage 0..1 string
`,
  'StructureMap.group.rule.target': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
context 0..1 id
contextType 0..1 code {map-context-type}
element 0..1 string
variable 0..1 id
listMode 0..* code {map-target-list-mode}
listRuleId 0..1 id
transform 0..1 code {map-transform}
parameter 0..* StructureMap.group.rule.target.parameter
`,
  'StructureMap.group.rule.target.parameter': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
value[x] 1..1 id|string|boolean|integer|decimal
`,
  'StructureMap.group.rule.dependent': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 1..1 id
variable 1..* string
`,
  'Subscription.channel': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 code {subscription-channel-type}
endpoint 0..1 url
payload 0..1 code {mimetypes}
header 0..* string
`,
  'Substance.instance': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..1 Identifier
expiry 0..1 dateTime
quantity 0..1 Quantity
`,
  'Substance.ingredient': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
quantity 0..1 Ratio
substance[x] 1..1 CodeableConcept|Reference(Substance)
`,
  'SubstanceNucleicAcid.subunit': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
subunit 0..1 integer
sequence 0..1 string
length 0..1 integer
sequenceAttachment 0..1 Attachment
fivePrime 0..1 CodeableConcept
threePrime 0..1 CodeableConcept
linkage 0..* SubstanceNucleicAcid.subunit.linkage
sugar 0..* SubstanceNucleicAcid.subunit.sugar
`,
  'SubstanceNucleicAcid.subunit.linkage': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
connectivity 0..1 string
identifier 0..1 Identifier
name 0..1 string
residueSite 0..1 string
`,
  'SubstanceNucleicAcid.subunit.sugar': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..1 Identifier
name 0..1 string
residueSite 0..1 string
`,
  'SubstancePolymer.monomerSet': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
ratioType 0..1 CodeableConcept
startingMaterial 0..* SubstancePolymer.monomerSet.startingMaterial
`,
  'SubstancePolymer.monomerSet.startingMaterial': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
material 0..1 CodeableConcept
type 0..1 CodeableConcept
isDefining 0..1 boolean
amount 0..1 SubstanceAmount
`,
  'SubstancePolymer.repeat': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
numberOfUnits 0..1 integer
averageMolecularFormula 0..1 string
repeatUnitAmountType 0..1 CodeableConcept
repeatUnit 0..* SubstancePolymer.repeat.repeatUnit
`,
  'SubstancePolymer.repeat.repeatUnit': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
orientationOfPolymerisation 0..1 CodeableConcept
repeatUnit 0..1 string
amount 0..1 SubstanceAmount
degreeOfPolymerisation 0..* SubstancePolymer.repeat.repeatUnit.degreeOfPolymerisation
structuralRepresentation 0..* SubstancePolymer.repeat.repeatUnit.structuralRepresentation
`,
  'SubstancePolymer.repeat.repeatUnit.degreeOfPolymerisation': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
degree 0..1 CodeableConcept
amount 0..1 SubstanceAmount
`,
  'SubstancePolymer.repeat.repeatUnit.structuralRepresentation': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..1 CodeableConcept
representation 0..1 string
attachment 0..1 Attachment
`,
  'SubstanceProtein.subunit': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
subunit 0..1 integer
sequence 0..1 string
length 0..1 integer
sequenceAttachment 0..1 Attachment
nTerminalModificationId 0..1 Identifier
nTerminalModification 0..1 string
cTerminalModificationId 0..1 Identifier
cTerminalModification 0..1 string
`,
  'SubstanceReferenceInformation.gene': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
geneSequenceOrigin 0..1 CodeableConcept
gene 0..1 CodeableConcept
source 0..* Reference(DocumentReference)
`,
  'SubstanceReferenceInformation.geneElement': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..1 CodeableConcept
element 0..1 Identifier
source 0..* Reference(DocumentReference)
`,
  'SubstanceReferenceInformation.classification': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
domain 0..1 CodeableConcept
classification 0..1 CodeableConcept
subtype 0..* CodeableConcept
source 0..* Reference(DocumentReference)
`,
  'SubstanceReferenceInformation.target': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
target 0..1 Identifier
type 0..1 CodeableConcept
interaction 0..1 CodeableConcept
organism 0..1 CodeableConcept
organismType 0..1 CodeableConcept
amount[x] 0..1 Quantity|Range|string
amountType 0..1 CodeableConcept
source 0..* Reference(DocumentReference)
`,
  'SubstanceSourceMaterial.fractionDescription': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
fraction 0..1 string
materialType 0..1 CodeableConcept
`,
  'SubstanceSourceMaterial.organism': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
family 0..1 CodeableConcept
genus 0..1 CodeableConcept
species 0..1 CodeableConcept
intraspecificType 0..1 CodeableConcept
intraspecificDescription 0..1 string
author 0..* SubstanceSourceMaterial.organism.author
hybrid 0..1 SubstanceSourceMaterial.organism.hybrid
organismGeneral 0..1 SubstanceSourceMaterial.organism.organismGeneral
`,
  'SubstanceSourceMaterial.organism.author': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
authorType 0..1 CodeableConcept
authorDescription 0..1 string
`,
  'SubstanceSourceMaterial.organism.hybrid': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
maternalOrganismId 0..1 string
maternalOrganismName 0..1 string
paternalOrganismId 0..1 string
paternalOrganismName 0..1 string
hybridType 0..1 CodeableConcept
`,
  'SubstanceSourceMaterial.organism.organismGeneral': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
kingdom 0..1 CodeableConcept
phylum 0..1 CodeableConcept
class 0..1 CodeableConcept
order 0..1 CodeableConcept
`,
  'SubstanceSourceMaterial.partDescription': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
part 0..1 CodeableConcept
partLocation 0..1 CodeableConcept
`,
  'SubstanceSpecification.moiety': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
role 0..1 CodeableConcept
identifier 0..1 Identifier
name 0..1 string
stereochemistry 0..1 CodeableConcept
opticalActivity 0..1 CodeableConcept
molecularFormula 0..1 string
amount[x] 0..1 Quantity|string
`,
  'SubstanceSpecification.property': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
category 0..1 CodeableConcept
code 0..1 CodeableConcept
parameters 0..1 string
definingSubstance[x] 0..1 Reference(SubstanceSpecification,Substance)|CodeableConcept
amount[x] 0..1 Quantity|string
`,
  'SubstanceSpecification.structure': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
stereochemistry 0..1 CodeableConcept
opticalActivity 0..1 CodeableConcept
molecularFormula 0..1 string
molecularFormulaByMoiety 0..1 string
isotope 0..* SubstanceSpecification.structure.isotope
molecularWeight 0..1 SubstanceSpecification.structure.isotope.molecularWeight
source 0..* Reference(DocumentReference)
representation 0..* SubstanceSpecification.structure.representation
`,
  'SubstanceSpecification.structure.isotope': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..1 Identifier
name 0..1 CodeableConcept
substitution 0..1 CodeableConcept
halfLife 0..1 Quantity
molecularWeight 0..1 SubstanceSpecification.structure.isotope.molecularWeight
`,
  'SubstanceSpecification.structure.isotope.molecularWeight': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
method 0..1 CodeableConcept
type 0..1 CodeableConcept
amount 0..1 Quantity
`,
  'SubstanceSpecification.structure.representation': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..1 CodeableConcept
representation 0..1 string
attachment 0..1 Attachment
`,
  'SubstanceSpecification.code': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 0..1 CodeableConcept
status 0..1 CodeableConcept
statusDate 0..1 dateTime
comment 0..1 string
source 0..* Reference(DocumentReference)
`,
  'SubstanceSpecification.name': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 1..1 string
type 0..1 CodeableConcept
status 0..1 CodeableConcept
preferred 0..1 boolean
language 0..* CodeableConcept
domain 0..* CodeableConcept
jurisdiction 0..* CodeableConcept
synonym 0..* SubstanceSpecification.name
translation 0..* SubstanceSpecification.name
official 0..* SubstanceSpecification.name.official
source 0..* Reference(DocumentReference)
`,
  'SubstanceSpecification.name.official': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
authority 0..1 CodeableConcept
status 0..1 CodeableConcept
date 0..1 dateTime
`,
  'SubstanceSpecification.relationship': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
substance[x] 0..1 Reference(SubstanceSpecification)|CodeableConcept
relationship 0..1 CodeableConcept
isDefining 0..1 boolean
amount[x] 0..1 Quantity|Range|Ratio|string
amountRatioLowLimit 0..1 Ratio
amountType 0..1 CodeableConcept
source 0..* Reference(DocumentReference)
`,
  'SupplyDelivery.suppliedItem': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
quantity 0..1 Quantity
item[x] 0..1 CodeableConcept|Reference(Medication,Substance,Device)
`,
  'SupplyRequest.parameter': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 0..1 CodeableConcept
value[x] 0..1 CodeableConcept|Quantity|Range|boolean
`,
  'Task.restriction': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
repetitions 0..1 positiveInt
period 0..1 Period
recipient 0..* Reference(Patient,Practitioner,PractitionerRole,RelatedPerson,Group,Organization)
`,
  'Task.input': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 CodeableConcept
value[x] 1..1 base64Binary|boolean|canonical|code|date|dateTime|decimal|id|instant|integer|markdown|oid|positiveInt|string|time|unsignedInt|uri|url|uuid|Address|Age|Annotation|Attachment|CodeableConcept|Coding|ContactPoint|Count|Distance|Duration|HumanName|Identifier|Money|Period|Quantity|Range|Ratio|Reference|SampledData|Signature|Timing|ContactDetail|Contributor|DataRequirement|Expression|ParameterDefinition|RelatedArtifact|TriggerDefinition|UsageContext|Dosage|Meta
`,
  'Task.output': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 CodeableConcept
value[x] 1..1 base64Binary|boolean|canonical|code|date|dateTime|decimal|id|instant|integer|markdown|oid|positiveInt|string|time|unsignedInt|uri|url|uuid|Address|Age|Annotation|Attachment|CodeableConcept|Coding|ContactPoint|Count|Distance|Duration|HumanName|Identifier|Money|Period|Quantity|Range|Ratio|Reference|SampledData|Signature|Timing|ContactDetail|Contributor|DataRequirement|Expression|ParameterDefinition|RelatedArtifact|TriggerDefinition|UsageContext|Dosage|Meta
`,
  'TerminologyCapabilities.software': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 1..1 string
version 0..1 string
`,
  'TerminologyCapabilities.implementation': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
description 1..1 string
url 0..1 url
`,
  'TerminologyCapabilities.codeSystem': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
uri 0..1 canonical
version 0..* TerminologyCapabilities.codeSystem.version
subsumption 0..1 boolean
`,
  'TerminologyCapabilities.codeSystem.version': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 0..1 string
isDefault 0..1 boolean
compositional 0..1 boolean
language 0..* code
filter 0..* TerminologyCapabilities.codeSystem.version.filter
property 0..* code
`,
  'TerminologyCapabilities.codeSystem.version.filter': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 code
op 1..* code
`,
  'TerminologyCapabilities.expansion': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
hierarchical 0..1 boolean
paging 0..1 boolean
incomplete 0..1 boolean
parameter 0..* TerminologyCapabilities.expansion.parameter
textFilter 0..1 markdown
`,
  'TerminologyCapabilities.expansion.parameter': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 1..1 code
documentation 0..1 string
`,
  'TerminologyCapabilities.validateCode': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
translations 1..1 boolean
`,
  'TerminologyCapabilities.translation': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
needsMap 1..1 boolean
`,
  'TerminologyCapabilities.closure': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
translation 0..1 boolean
`,
  'TestReport.participant': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 1..1 code {report-participant-type}
uri 1..1 uri
display 0..1 string
`,
  'TestReport.setup': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
action 1..* TestReport.setup.action
`,
  'TestReport.setup.action': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
operation 0..1 TestReport.setup.action.operation
assert 0..1 TestReport.setup.action.assert
`,
  'TestReport.setup.action.operation': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
result 1..1 code {report-action-result-codes}
message 0..1 markdown
detail 0..1 uri
`,
  'TestReport.setup.action.assert': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
result 1..1 code {report-action-result-codes}
message 0..1 markdown
detail 0..1 string
`,
  'TestReport.test': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 0..1 string
description 0..1 string
action 1..* TestReport.test.action
`,
  'TestReport.test.action': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
operation 0..1 TestReport.setup.action.operation
assert 0..1 TestReport.setup.action.assert
`,
  'TestReport.teardown': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
action 1..* TestReport.teardown.action
`,
  'TestReport.teardown.action': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
operation 1..1 TestReport.setup.action.operation
`,
  'TestScript.origin': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
index 1..1 integer
profile 1..1 Coding
`,
  'TestScript.destination': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
index 1..1 integer
profile 1..1 Coding
`,
  'TestScript.metadata': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
link 0..* TestScript.metadata.link
capability 1..* TestScript.metadata.capability
`,
  'TestScript.metadata.link': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
url 1..1 uri
description 0..1 string
`,
  'TestScript.metadata.capability': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
required 1..1 boolean
validated 1..1 boolean
description 0..1 string
origin 0..* integer
destination 0..1 integer
link 0..* uri
capabilities 1..1 canonical
`,
  'TestScript.fixture': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
autocreate 1..1 boolean
autodelete 1..1 boolean
resource 0..1 Reference
`,
  'TestScript.variable': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 1..1 string
defaultValue 0..1 string
description 0..1 string
expression 0..1 string
headerField 0..1 string
hint 0..1 string
path 0..1 string
sourceId 0..1 id
`,
  'TestScript.setup': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
action 1..* TestScript.setup.action
`,
  'TestScript.setup.action': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
operation 0..1 TestScript.setup.action.operation
assert 0..1 TestScript.setup.action.assert
`,
  'TestScript.setup.action.operation': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
type 0..1 Coding
resource 0..1 code {defined-types}
label 0..1 string
description 0..1 string
accept 0..1 code
contentType 0..1 code
destination 0..1 integer
encodeRequestUrl 1..1 boolean
method 0..1 code {http-operations}
origin 0..1 integer
params 0..1 string
requestHeader 0..* TestScript.setup.action.operation.requestHeader
requestId 0..1 id
responseId 0..1 id
sourceId 0..1 id
targetId 0..1 id
url 0..1 string
`,
  'TestScript.setup.action.operation.requestHeader': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
field 1..1 string
value 1..1 string
`,
  'TestScript.setup.action.assert': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
label 0..1 string
description 0..1 string
direction 0..1 code {assert-direction-codes}
compareToSourceId 0..1 string
compareToSourceExpression 0..1 string
compareToSourcePath 0..1 string
contentType 0..1 code
expression 0..1 string
headerField 0..1 string
minimumId 0..1 string
navigationLinks 0..1 boolean
operator 0..1 code {assert-operator-codes}
path 0..1 string
requestMethod 0..1 code {http-operations}
requestURL 0..1 string
resource 0..1 code {defined-types}
response 0..1 code {assert-response-code-types}
responseCode 0..1 string
sourceId 0..1 id
validateProfileId 0..1 id
value 0..1 string
warningOnly 1..1 boolean
`,
  'TestScript.test': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 0..1 string
description 0..1 string
action 1..* TestScript.test.action
`,
  'TestScript.test.action': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
operation 0..1 TestScript.setup.action.operation
assert 0..1 TestScript.setup.action.assert
`,
  'TestScript.teardown': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
action 1..* TestScript.teardown.action
`,
  'TestScript.teardown.action': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
operation 1..1 TestScript.setup.action.operation
`,
  'ValueSet.compose': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
lockedDate 0..1 date
inactive 0..1 boolean
include 1..* ValueSet.compose.include
exclude 0..* ValueSet.compose.include
`,
  'ValueSet.compose.include': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
system 0..1 uri
version 0..1 string
concept 0..* ValueSet.compose.include.concept
filter 0..* ValueSet.compose.include.filter
valueSet 0..* canonical
`,
  'ValueSet.compose.include.concept': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
code 1..1 code
display 0..1 string
designation 0..* ValueSet.compose.include.concept.designation
`,
  'ValueSet.compose.include.concept.designation': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
language 0..1 code {all-languages}
use 0..1 Coding
value 1..1 string
`,
  'ValueSet.compose.include.filter': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
property 1..1 code
op 1..1 code {filter-operator}
value 1..1 string
`,
  'ValueSet.expansion': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
identifier 0..1 uri
timestamp 1..1 dateTime
total 0..1 integer
offset 0..1 integer
parameter 0..* ValueSet.expansion.parameter
contains 0..* ValueSet.expansion.contains
`,
  'ValueSet.expansion.parameter': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
name 1..1 string
value[x] 0..1 string|boolean|integer|decimal|uri|code|dateTime
`,
  'ValueSet.expansion.contains': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
system 0..1 uri
abstract 0..1 boolean
inactive 0..1 boolean
version 0..1 string
code 0..1 code
display 0..1 string
designation 0..* ValueSet.compose.include.concept.designation
contains 0..* ValueSet.expansion.contains
`,
  'VerificationResult.primarySource': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
who 0..1 Reference(Organization,Practitioner,PractitionerRole)
type 0..* CodeableConcept
communicationMethod 0..* CodeableConcept
validationStatus 0..1 CodeableConcept
validationDate 0..1 dateTime
canPushUpdates 0..1 CodeableConcept
pushTypeAvailable 0..* CodeableConcept
`,
  'VerificationResult.attestation': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
who 0..1 Reference(Practitioner,PractitionerRole,Organization)
onBehalfOf 0..1 Reference(Organization,Practitioner,PractitionerRole)
communicationMethod 0..1 CodeableConcept
date 0..1 date
sourceIdentityCertificate 0..1 string
proxyIdentityCertificate 0..1 string
proxySignature 0..1 Signature
sourceSignature 0..1 Signature
`,
  'VerificationResult.validator': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
organization 1..1 Reference(Organization)
identityCertificate 0..1 string
attestationSignature 0..1 Signature
`,
  'VisionPrescription.lensSpecification': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
product 1..1 CodeableConcept
eye 1..1 code {vision-eye-codes}
sphere 0..1 decimal
cylinder 0..1 decimal
axis 0..1 integer
prism 0..* VisionPrescription.lensSpecification.prism
add 0..1 decimal
power 0..1 decimal
backCurve 0..1 decimal
diameter 0..1 decimal
duration 0..1 Quantity
color 0..1 string
brand 0..1 string
note 0..* Annotation
`,
  'VisionPrescription.lensSpecification.prism': `
id 0..1 string
extension 0..* Extension
modifierExtension 0..* Extension
amount 1..1 decimal
base 1..1 code {vision-base-codes}
`,
}

/** The codes of each value set that is bound as required and can be enumerated. */
export const CODES: Readonly<Record<string, string>> = {
  'FHIR-version': `0.01|0.05|0.06|0.11|0.0.80|0.0.81|0.0.82|0.4.0|0.5.0|1.0.0|1.0.1|1.0.2|1.1.0|1.4.0|1.6.0|1.8.0|3.0.0|3.0.1|3.3.0|3.5.0|4.0.0|4.0.1`,
  'account-status': `active|inactive|entered-in-error|on-hold|unknown`,
  'action-cardinality-behavior': `single|multiple`,
  'action-condition-kind': `applicability|start|stop`,
  'action-grouping-behavior': `visual-group|logical-group|sentence-group`,
  'action-participant-type': `patient|practitioner|related-person|device`,
  'action-precheck-behavior': `yes|no`,
  'action-relationship-type': `before-start|before|before-end|concurrent-with-start|concurrent|concurrent-with-end|after-start|after|after-end`,
  'action-required-behavior': `must|could|must-unless-documented`,
  'action-selection-behavior': `any|all|all-or-none|exactly-one|at-most-one|one-or-more`,
  'address-type': `postal|physical|both`,
  'address-use': `home|work|temp|old|billing`,
  'administrative-gender': `male|female|other|unknown`,
  'adverse-event-actuality': `actual|potential`,
  'adverse-event-outcome': `resolved|recovering|ongoing|resolvedWithSequelae|fatal|unknown`,
  'adverse-event-severity': `mild|moderate|severe`,
  'all-types': `Address|Age|Annotation|Attachment|BackboneElement|CodeableConcept|Coding|ContactDetail|ContactPoint|Contributor|Count|DataRequirement|Distance|Dosage|Duration|Element|ElementDefinition|Expression|Extension|HumanName|Identifier|MarketingStatus|Meta|Money|MoneyQuantity|Narrative|ParameterDefinition|Period|Population|ProdCharacteristic|ProductShelfLife|Quantity|Range|Ratio|Reference|RelatedArtifact|SampledData|Signature|SimpleQuantity|SubstanceAmount|Timing|TriggerDefinition|UsageContext|base64Binary|boolean|canonical|code|date|dateTime|decimal|id|instant|integer|markdown|oid|positiveInt|string|time|unsignedInt|uri|url|uuid|xhtml|Account|ActivityDefinition|AdverseEvent|AllergyIntolerance|Appointment|AppointmentResponse|AuditEvent|Basic|Binary|BiologicallyDerivedProduct|BodyStructure|Bundle|CapabilityStatement|CarePlan|CareTeam|CatalogEntry|ChargeItem|ChargeItemDefinition|Claim|ClaimResponse|ClinicalImpression|CodeSystem|Communication|CommunicationRequest|CompartmentDefinition|Composition|ConceptMap|Condition|Consent|Contract|Coverage|CoverageEligibilityRequest|CoverageEligibilityResponse|DetectedIssue|Device|DeviceDefinition|DeviceMetric|DeviceRequest|DeviceUseStatement|DiagnosticReport|DocumentManifest|DocumentReference|DomainResource|EffectEvidenceSynthesis|Encounter|Endpoint|EnrollmentRequest|EnrollmentResponse|EpisodeOfCare|EventDefinition|Evidence|EvidenceVariable|ExampleScenario|ExplanationOfBenefit|FamilyMemberHistory|Flag|Goal|GraphDefinition|Group|GuidanceResponse|HealthcareService|ImagingStudy|Immunization|ImmunizationEvaluation|ImmunizationRecommendation|ImplementationGuide|InsurancePlan|Invoice|Library|Linkage|List|Location|Measure|MeasureReport|Media|Medication|MedicationAdministration|MedicationDispense|MedicationKnowledge|MedicationRequest|MedicationStatement|MedicinalProduct|MedicinalProductAuthorization|MedicinalProductContraindication|MedicinalProductIndication|MedicinalProductIngredient|MedicinalProductInteraction|MedicinalProductManufactured|MedicinalProductPackaged|MedicinalProductPharmaceutical|MedicinalProductUndesirableEffect|MessageDefinition|MessageHeader|MolecularSequence|NamingSystem|NutritionOrder|Observation|ObservationDefinition|OperationDefinition|OperationOutcome|Organization|OrganizationAffiliation|Parameters|Patient|PaymentNotice|PaymentReconciliation|Person|PlanDefinition|Practitioner|PractitionerRole|Procedure|Provenance|Questionnaire|QuestionnaireResponse|RelatedPerson|RequestGroup|ResearchDefinition|ResearchElementDefinition|ResearchStudy|ResearchSubject|Resource|RiskAssessment|RiskEvidenceSynthesis|Schedule|SearchParameter|ServiceRequest|Slot|Specimen|SpecimenDefinition|StructureDefinition|StructureMap|Subscription|Substance|SubstanceNucleicAcid|SubstancePolymer|SubstanceProtein|SubstanceReferenceInformation|SubstanceSourceMaterial|SubstanceSpecification|SupplyDelivery|SupplyRequest|Task|TerminologyCapabilities|TestReport|TestScript|ValueSet|VerificationResult|VisionPrescription|Type|Any`,
  'allergy-intolerance-category': `food|medication|environment|biologic`,
  'allergy-intolerance-criticality': `low|high|unable-to-assess`,
  'allergy-intolerance-type': `allergy|intolerance`,
  'allergyintolerance-clinical': `active|inactive|resolved`,
  'allergyintolerance-verification': `unconfirmed|confirmed|refuted|entered-in-error`,
  appointmentstatus: `proposed|pending|booked|arrived|fulfilled|cancelled|noshow|entered-in-error|checked-in|waitlist`,
  'assert-direction-codes': `response|request`,
  'assert-operator-codes': `equals|notEquals|in|notIn|greaterThan|lessThan|empty|notEmpty|contains|notContains|eval`,
  'assert-response-code-types': `okay|created|noContent|notModified|bad|forbidden|notFound|methodNotAllowed|conflict|gone|preconditionFailed|unprocessable`,
  'audit-event-action': `C|R|U|D|E`,
  'audit-event-outcome': `0|4|8|12`,
  'binding-strength': `required|extensible|preferred|example`,
  'bundle-type': `document|message|transaction|transaction-response|batch|batch-response|history|searchset|collection`,
  'capability-statement-kind': `instance|capability|requirements`,
  'care-plan-activity-kind': `Appointment|CommunicationRequest|DeviceRequest|MedicationRequest|NutritionOrder|Task|ServiceRequest|VisionPrescription`,
  'care-plan-activity-status': `not-started|scheduled|in-progress|on-hold|completed|cancelled|stopped|unknown|entered-in-error`,
  'care-plan-intent': `proposal|plan|order|option`,
  'care-team-status': `proposed|active|suspended|inactive|entered-in-error`,
  'chargeitem-status': `planned|billable|not-billable|aborted|billed|entered-in-error|unknown`,
  'claim-use': `claim|preauthorization|predetermination`,
  'clinicalimpression-status': `preparation|in-progress|not-done|on-hold|stopped|completed|entered-in-error|unknown`,
  'code-search-support': `explicit|all`,
  'codesystem-content-mode': `not-present|example|fragment|complete|supplement`,
  'codesystem-hierarchy-meaning': `grouped-by|is-a|part-of|classified-with`,
  'compartment-type': `Patient|Encounter|RelatedPerson|Practitioner|Device`,
  'composition-attestation-mode': `personal|professional|legal|official`,
  'composition-status': `preliminary|final|amended|entered-in-error`,
  'concept-map-equivalence': `relatedto|equivalent|equal|wider|subsumes|narrower|specializes|inexact|unmatched|disjoint`,
  'concept-property-type': `code|Coding|string|integer|boolean|dateTime|decimal`,
  'conceptmap-unmapped-mode': `provided|fixed|other-map`,
  'condition-clinical': `active|recurrence|relapse|inactive|remission|resolved`,
  'condition-ver-status': `unconfirmed|provisional|differential|confirmed|refuted|entered-in-error`,
  'conditional-delete-status': `not-supported|single|multiple`,
  'conditional-read-status': `not-supported|modified-since|not-match|full-support`,
  'consent-data-meaning': `instance|related|dependents|authoredby`,
  'consent-provision-type': `deny|permit`,
  'consent-state-codes': `draft|proposed|active|rejected|inactive|entered-in-error`,
  'constraint-severity': `error|warning`,
  'contact-point-system': `phone|fax|email|pager|url|sms|other`,
  'contact-point-use': `home|work|temp|old|mobile`,
  'contract-publicationstatus': `amended|appended|cancelled|disputed|entered-in-error|executable|executed|negotiable|offered|policy|rejected|renewed|revoked|resolved|terminated`,
  'contract-status': `amended|appended|cancelled|disputed|entered-in-error|executable|executed|negotiable|offered|policy|rejected|renewed|revoked|resolved|terminated`,
  'contributor-type': `author|editor|reviewer|endorser`,
  currencies: `AED|AFN|ALL|AMD|ANG|AOA|ARS|AUD|AWG|AZN|BAM|BBD|BDT|BGN|BHD|BIF|BMD|BND|BOB|BOV|BRL|BSD|BTN|BWP|BYN|BZD|CAD|CDF|CHE|CHF|CHW|CLF|CLP|CNY|COP|COU|CRC|CUC|CUP|CVE|CZK|DJF|DKK|DOP|DZD|EGP|ERN|ETB|EUR|FJD|FKP|GBP|GEL|GHS|GIP|GMD|GNF|GTQ|GYD|HKD|HNL|HRK|HTG|HUF|IDR|ILS|INR|IQD|IRR|ISK|JMD|JOD|JPY|KES|KGS|KHR|KMF|KPW|KRW|KWD|KYD|KZT|LAK|LBP|LKR|LRD|LSL|LYD|MAD|MDL|MGA|MKD|MMK|MNT|MOP|MRO|MRU|MUR|MVR|MWK|MXN|MXV|MYR|MZN|NAD|NGN|NIO|NOK|NPR|NZD|OMR|PAB|PEN|PGK|PHP|PKR|PLN|PYG|QAR|RON|RSD|RUB|RWF|SAR|SBD|SCR|SDG|SEK|SGD|SHP|SLE|SLL|SOS|SRD|SSP|STD|STN|SVC|SYP|SZL|THB|TJS|TMT|TND|TOP|TRY|TTD|TWD|TZS|UAH|UGX|USD|USN|UYI|UYU|UYW|UZS|VED|VEF|VES|VND|VUV|WST|XAD|XAF|XAG|XAU|XBA|XBB|XBC|XBD|XCD|XCG|XDR|XOF|XPD|XPF|XPT|XSU|XTS|XUA|XXX|YER|ZAR|ZMW|ZWG|ZWL`,
  'days-of-week': `mon|tue|wed|thu|fri|sat|sun`,
  'defined-types': `Address|Age|Annotation|Attachment|BackboneElement|CodeableConcept|Coding|ContactDetail|ContactPoint|Contributor|Count|DataRequirement|Distance|Dosage|Duration|Element|ElementDefinition|Expression|Extension|HumanName|Identifier|MarketingStatus|Meta|Money|MoneyQuantity|Narrative|ParameterDefinition|Period|Population|ProdCharacteristic|ProductShelfLife|Quantity|Range|Ratio|Reference|RelatedArtifact|SampledData|Signature|SimpleQuantity|SubstanceAmount|Timing|TriggerDefinition|UsageContext|base64Binary|boolean|canonical|code|date|dateTime|decimal|id|instant|integer|markdown|oid|positiveInt|string|time|unsignedInt|uri|url|uuid|xhtml|Account|ActivityDefinition|AdverseEvent|AllergyIntolerance|Appointment|AppointmentResponse|AuditEvent|Basic|Binary|BiologicallyDerivedProduct|BodyStructure|Bundle|CapabilityStatement|CarePlan|CareTeam|CatalogEntry|ChargeItem|ChargeItemDefinition|Claim|ClaimResponse|ClinicalImpression|CodeSystem|Communication|CommunicationRequest|CompartmentDefinition|Composition|ConceptMap|Condition|Consent|Contract|Coverage|CoverageEligibilityRequest|CoverageEligibilityResponse|DetectedIssue|Device|DeviceDefinition|DeviceMetric|DeviceRequest|DeviceUseStatement|DiagnosticReport|DocumentManifest|DocumentReference|DomainResource|EffectEvidenceSynthesis|Encounter|Endpoint|EnrollmentRequest|EnrollmentResponse|EpisodeOfCare|EventDefinition|Evidence|EvidenceVariable|ExampleScenario|ExplanationOfBenefit|FamilyMemberHistory|Flag|Goal|GraphDefinition|Group|GuidanceResponse|HealthcareService|ImagingStudy|Immunization|ImmunizationEvaluation|ImmunizationRecommendation|ImplementationGuide|InsurancePlan|Invoice|Library|Linkage|List|Location|Measure|MeasureReport|Media|Medication|MedicationAdministration|MedicationDispense|MedicationKnowledge|MedicationRequest|MedicationStatement|MedicinalProduct|MedicinalProductAuthorization|MedicinalProductContraindication|MedicinalProductIndication|MedicinalProductIngredient|MedicinalProductInteraction|MedicinalProductManufactured|MedicinalProductPackaged|MedicinalProductPharmaceutical|MedicinalProductUndesirableEffect|MessageDefinition|MessageHeader|MolecularSequence|NamingSystem|NutritionOrder|Observation|ObservationDefinition|OperationDefinition|OperationOutcome|Organization|OrganizationAffiliation|Parameters|Patient|PaymentNotice|PaymentReconciliation|Person|PlanDefinition|Practitioner|PractitionerRole|Procedure|Provenance|Questionnaire|QuestionnaireResponse|RelatedPerson|RequestGroup|ResearchDefinition|ResearchElementDefinition|ResearchStudy|ResearchSubject|Resource|RiskAssessment|RiskEvidenceSynthesis|Schedule|SearchParameter|ServiceRequest|Slot|Specimen|SpecimenDefinition|StructureDefinition|StructureMap|Subscription|Substance|SubstanceNucleicAcid|SubstancePolymer|SubstanceProtein|SubstanceReferenceInformation|SubstanceSourceMaterial|SubstanceSpecification|SupplyDelivery|SupplyRequest|Task|TerminologyCapabilities|TestReport|TestScript|ValueSet|VerificationResult|VisionPrescription`,
  'detectedissue-severity': `high|moderate|low`,
  'device-nametype': `udi-label-name|user-friendly-name|patient-reported-name|manufacturer-name|model-name|other`,
  'device-statement-status': `active|completed|entered-in-error|intended|stopped|on-hold`,
  'device-status': `active|inactive|entered-in-error|unknown`,
  'diagnostic-report-status': `registered|partial|preliminary|final|amended|corrected|appended|cancelled|entered-in-error|unknown`,
  'discriminator-type': `value|exists|pattern|type|profile`,
  'document-mode': `producer|consumer`,
  'document-reference-status': `current|superseded|entered-in-error`,
  'document-relationship-type': `replaces|transforms|signs|appends`,
  'eligibilityrequest-purpose': `auth-requirements|benefits|discovery|validation`,
  'eligibilityresponse-purpose': `auth-requirements|benefits|discovery|validation`,
  'encounter-location-status': `planned|active|reserved|completed`,
  'encounter-status': `planned|arrived|triaged|in-progress|onleave|finished|cancelled|entered-in-error|unknown`,
  'endpoint-status': `active|suspended|error|off|entered-in-error|test`,
  'episode-of-care-status': `planned|waitlist|active|onhold|finished|cancelled|entered-in-error`,
  'event-capability-mode': `sender|receiver`,
  'event-status': `preparation|in-progress|not-done|on-hold|stopped|completed|entered-in-error|unknown`,
  'event-timing': `MORN|MORN.early|MORN.late|NOON|AFT|AFT.early|AFT.late|EVE|EVE.early|EVE.late|NIGHT|PHS|HS|WAKE|C|CM|CD|CV|AC|ACM|ACD|ACV|PC|PCM|PCD|PCV`,
  'examplescenario-actor-type': `person|entity`,
  'explanationofbenefit-status': `active|cancelled|draft|entered-in-error`,
  'exposure-state': `exposure|exposure-alternative`,
  'extension-context-type': `fhirpath|element|extension`,
  'filter-operator': `=|is-a|descendent-of|is-not-a|regex|in|not-in|generalizes|exists`,
  'flag-status': `active|inactive|entered-in-error`,
  'fm-status': `active|cancelled|draft|entered-in-error`,
  'goal-status': `proposed|planned|accepted|active|on-hold|completed|cancelled|entered-in-error|rejected`,
  'graph-compartment-rule': `identical|matching|different|custom`,
  'graph-compartment-use': `condition|requirement`,
  'group-measure': `mean|median|mean-of-mean|mean-of-median|median-of-mean|median-of-median`,
  'group-type': `person|animal|practitioner|device|medication|substance`,
  'guidance-response-status': `success|data-requested|data-required|in-progress|failure|entered-in-error`,
  'guide-page-generation': `html|markdown|xml|generated`,
  'guide-parameter-code': `apply|path-resource|path-pages|path-tx-cache|expansion-parameter|rule-broken-links|generate-xml|generate-json|generate-turtle|html-template`,
  'history-status': `partial|completed|entered-in-error|health-unknown`,
  'http-operations': `delete|get|options|patch|post|put|head`,
  'http-verb': `GET|HEAD|POST|PUT|DELETE|PATCH`,
  'identifier-use': `usual|official|temp|secondary|old`,
  'identity-assuranceLevel': `level1|level2|level3|level4`,
  'imagingstudy-status': `registered|available|cancelled|entered-in-error|unknown`,
  'immunization-evaluation-status': `in-progress|not-done|on-hold|completed|entered-in-error|stopped|unknown`,
  'immunization-status': `preparation|in-progress|not-done|on-hold|stopped|completed|entered-in-error|unknown`,
  'insuranceplan-applicability': `in-network|out-of-network|other`,
  'invoice-priceComponentType': `base|surcharge|deduction|discount|tax|informational`,
  'invoice-status': `draft|issued|balanced|cancelled|entered-in-error`,
  'issue-severity': `fatal|error|warning|information`,
  'issue-type': `invalid|structure|required|value|invariant|security|login|unknown|expired|forbidden|suppressed|processing|not-supported|duplicate|multiple-matches|not-found|deleted|too-long|code-invalid|extension|too-costly|business-rule|conflict|transient|lock-error|no-store|exception|timeout|incomplete|throttled|informational`,
  'item-type': `group|display|question|boolean|decimal|integer|date|dateTime|time|string|text|url|choice|open-choice|attachment|reference|quantity`,
  'link-type': `replaced-by|replaces|refer|seealso`,
  'linkage-type': `source|alternate|historical`,
  'list-mode': `working|snapshot|changes`,
  'list-status': `current|retired|entered-in-error`,
  'location-mode': `instance|kind`,
  'location-status': `active|suspended|inactive`,
  'map-context-type': `type|variable`,
  'map-group-type-mode': `none|types|type-and-types`,
  'map-input-mode': `source|target`,
  'map-model-mode': `source|queried|target|produced`,
  'map-source-list-mode': `first|not_first|last|not_last|only_one`,
  'map-target-list-mode': `first|share|last|collate`,
  'map-transform': `create|copy|truncate|escape|cast|append|translate|reference|dateOp|uuid|pointer|evaluate|cc|c|qty|id|cp`,
  'measure-improvement-notation': `increase|decrease`,
  'measure-report-status': `complete|pending|error`,
  'measure-report-type': `individual|subject-list|summary|data-collection`,
  'medication-admin-status': `in-progress|not-done|on-hold|completed|entered-in-error|stopped|unknown`,
  'medication-statement-status': `active|completed|entered-in-error|intended|stopped|on-hold|unknown|not-taken`,
  'medication-status': `active|inactive|entered-in-error`,
  'medicationdispense-status': `preparation|in-progress|cancelled|on-hold|completed|entered-in-error|stopped|declined|unknown`,
  'medicationknowledge-status': `active|inactive|entered-in-error`,
  'medicationrequest-intent': `proposal|plan|order|original-order|reflex-order|filler-order|instance-order|option`,
  'medicationrequest-status': `active|on-hold|cancelled|completed|entered-in-error|stopped|draft|unknown`,
  'message-significance-category': `consequence|currency|notification`,
  'messageheader-response-request': `always|on-error|never|on-success`,
  'metric-calibration-state': `not-calibrated|calibration-required|calibrated|unspecified`,
  'metric-calibration-type': `unspecified|offset|gain|two-point`,
  'metric-category': `measurement|setting|calculation|unspecified`,
  'metric-color': `black|red|green|yellow|blue|magenta|cyan|white`,
  'metric-operational-status': `on|off|standby|entered-in-error`,
  'name-use': `usual|official|temp|nickname|anonymous|old|maiden`,
  'namingsystem-identifier-type': `oid|uuid|uri|other`,
  'namingsystem-type': `codesystem|identifier|root`,
  'narrative-status': `generated|extensions|additional|empty`,
  'network-type': `1|2|3|4|5`,
  'note-type': `display|print|printoper`,
  'observation-range-category': `reference|critical|absolute`,
  'observation-status': `registered|preliminary|final|amended|corrected|cancelled|entered-in-error|unknown`,
  'operation-kind': `operation|query`,
  'operation-parameter-use': `in|out`,
  'orientation-type': `sense|antisense`,
  participantrequired: `required|optional|information-only`,
  participationstatus: `accepted|declined|tentative|needs-action`,
  'permitted-data-type': `Quantity|CodeableConcept|string|boolean|integer|Range|Ratio|SampledData|time|dateTime|Period`,
  'product-category': `organ|tissue|fluid|cells|biologicalAgent`,
  'product-status': `available|unavailable`,
  'product-storage-scale': `farenheit|celsius|kelvin`,
  'property-representation': `xmlAttr|xmlText|typeAttr|cdaText|xhtml`,
  'provenance-entity-role': `derivation|revision|quotation|source|removal`,
  'publication-status': `draft|active|retired|unknown`,
  'quality-type': `indel|snp|unknown`,
  'quantity-comparator': `<|<=|>=|>`,
  'questionnaire-answers-status': `in-progress|completed|amended|entered-in-error|stopped`,
  'questionnaire-enable-behavior': `all|any`,
  'questionnaire-enable-operator': `exists|=|!=|>|<|>=|<=`,
  'reaction-event-severity': `mild|moderate|severe`,
  'reference-handling-policy': `literal|logical|resolves|enforced|local`,
  'reference-version-rules': `either|independent|specific`,
  'related-artifact-type': `documentation|justification|citation|predecessor|successor|derived-from|depends-on|composed-of`,
  'relation-type': `triggers|is-replaced-by`,
  'remittance-outcome': `queued|complete|error|partial`,
  'report-action-result-codes': `pass|skip|fail|warning|error`,
  'report-participant-type': `test-engine|client|server`,
  'report-result-codes': `pass|fail|pending`,
  'report-status-codes': `completed|in-progress|waiting|stopped|entered-in-error`,
  'repository-type': `directlink|openapi|login|oauth|other`,
  'request-intent': `proposal|plan|directive|order|original-order|reflex-order|filler-order|instance-order|option`,
  'request-priority': `routine|urgent|asap|stat`,
  'request-resource-types': `Appointment|AppointmentResponse|CarePlan|Claim|CommunicationRequest|Contract|DeviceRequest|EnrollmentRequest|ImmunizationRecommendation|MedicationRequest|NutritionOrder|ServiceRequest|SupplyRequest|Task|VisionPrescription`,
  'request-status': `draft|active|on-hold|revoked|completed|entered-in-error|unknown`,
  'research-element-type': `population|exposure|outcome`,
  'research-study-status': `active|administratively-completed|approved|closed-to-accrual|closed-to-accrual-and-intervention|completed|disapproved|in-review|temporarily-closed-to-accrual|temporarily-closed-to-accrual-and-intervention|withdrawn`,
  'research-subject-status': `candidate|eligible|follow-up|ineligible|not-registered|off-study|on-study|on-study-intervention|on-study-observation|pending-on-study|potential-candidate|screening|withdrawn`,
  'resource-aggregation-mode': `contained|referenced|bundled`,
  'resource-slicing-rules': `closed|open|openAtEnd`,
  'resource-types': `Account|ActivityDefinition|AdverseEvent|AllergyIntolerance|Appointment|AppointmentResponse|AuditEvent|Basic|Binary|BiologicallyDerivedProduct|BodyStructure|Bundle|CapabilityStatement|CarePlan|CareTeam|CatalogEntry|ChargeItem|ChargeItemDefinition|Claim|ClaimResponse|ClinicalImpression|CodeSystem|Communication|CommunicationRequest|CompartmentDefinition|Composition|ConceptMap|Condition|Consent|Contract|Coverage|CoverageEligibilityRequest|CoverageEligibilityResponse|DetectedIssue|Device|DeviceDefinition|DeviceMetric|DeviceRequest|DeviceUseStatement|DiagnosticReport|DocumentManifest|DocumentReference|DomainResource|EffectEvidenceSynthesis|Encounter|Endpoint|EnrollmentRequest|EnrollmentResponse|EpisodeOfCare|EventDefinition|Evidence|EvidenceVariable|ExampleScenario|ExplanationOfBenefit|FamilyMemberHistory|Flag|Goal|GraphDefinition|Group|GuidanceResponse|HealthcareService|ImagingStudy|Immunization|ImmunizationEvaluation|ImmunizationRecommendation|ImplementationGuide|InsurancePlan|Invoice|Library|Linkage|List|Location|Measure|MeasureReport|Media|Medication|MedicationAdministration|MedicationDispense|MedicationKnowledge|MedicationRequest|MedicationStatement|MedicinalProduct|MedicinalProductAuthorization|MedicinalProductContraindication|MedicinalProductIndication|MedicinalProductIngredient|MedicinalProductInteraction|MedicinalProductManufactured|MedicinalProductPackaged|MedicinalProductPharmaceutical|MedicinalProductUndesirableEffect|MessageDefinition|MessageHeader|MolecularSequence|NamingSystem|NutritionOrder|Observation|ObservationDefinition|OperationDefinition|OperationOutcome|Organization|OrganizationAffiliation|Parameters|Patient|PaymentNotice|PaymentReconciliation|Person|PlanDefinition|Practitioner|PractitionerRole|Procedure|Provenance|Questionnaire|QuestionnaireResponse|RelatedPerson|RequestGroup|ResearchDefinition|ResearchElementDefinition|ResearchStudy|ResearchSubject|Resource|RiskAssessment|RiskEvidenceSynthesis|Schedule|SearchParameter|ServiceRequest|Slot|Specimen|SpecimenDefinition|StructureDefinition|StructureMap|Subscription|Substance|SubstanceNucleicAcid|SubstancePolymer|SubstanceProtein|SubstanceReferenceInformation|SubstanceSourceMaterial|SubstanceSpecification|SupplyDelivery|SupplyRequest|Task|TerminologyCapabilities|TestReport|TestScript|ValueSet|VerificationResult|VisionPrescription`,
  'response-code': `ok|transient-error|fatal-error`,
  'restful-capability-mode': `client|server`,
  'search-comparator': `eq|ne|gt|lt|ge|le|sa|eb|ap`,
  'search-entry-mode': `match|include|outcome`,
  'search-modifier-code': `missing|exact|contains|not|text|in|not-in|below|above|type|identifier|ofType`,
  'search-param-type': `number|date|string|token|reference|composite|quantity|uri|special`,
  'search-xpath-usage': `normal|phonetic|nearby|distance|other`,
  'sequence-type': `aa|dna|rna`,
  slotstatus: `busy|free|busy-unavailable|busy-tentative|entered-in-error`,
  'sort-direction': `ascending|descending`,
  'spdx-license': `not-open-source|0BSD|AAL|Abstyles|Adobe-2006|Adobe-Glyph|ADSL|AFL-1.1|AFL-1.2|AFL-2.0|AFL-2.1|AFL-3.0|Afmparse|AGPL-1.0-only|AGPL-1.0-or-later|AGPL-3.0-only|AGPL-3.0-or-later|Aladdin|AMDPLPA|AML|AMPAS|ANTLR-PD|Apache-1.0|Apache-1.1|Apache-2.0|APAFML|APL-1.0|APSL-1.0|APSL-1.1|APSL-1.2|APSL-2.0|Artistic-1.0-cl8|Artistic-1.0-Perl|Artistic-1.0|Artistic-2.0|Bahyph|Barr|Beerware|BitTorrent-1.0|BitTorrent-1.1|Borceux|BSD-1-Clause|BSD-2-Clause-FreeBSD|BSD-2-Clause-NetBSD|BSD-2-Clause-Patent|BSD-2-Clause|BSD-3-Clause-Attribution|BSD-3-Clause-Clear|BSD-3-Clause-LBNL|BSD-3-Clause-No-Nuclear-License-2014|BSD-3-Clause-No-Nuclear-License|BSD-3-Clause-No-Nuclear-Warranty|BSD-3-Clause|BSD-4-Clause-UC|BSD-4-Clause|BSD-Protection|BSD-Source-Code|BSL-1.0|bzip2-1.0.5|bzip2-1.0.6|Caldera|CATOSL-1.1|CC-BY-1.0|CC-BY-2.0|CC-BY-2.5|CC-BY-3.0|CC-BY-4.0|CC-BY-NC-1.0|CC-BY-NC-2.0|CC-BY-NC-2.5|CC-BY-NC-3.0|CC-BY-NC-4.0|CC-BY-NC-ND-1.0|CC-BY-NC-ND-2.0|CC-BY-NC-ND-2.5|CC-BY-NC-ND-3.0|CC-BY-NC-ND-4.0|CC-BY-NC-SA-1.0|CC-BY-NC-SA-2.0|CC-BY-NC-SA-2.5|CC-BY-NC-SA-3.0|CC-BY-NC-SA-4.0|CC-BY-ND-1.0|CC-BY-ND-2.0|CC-BY-ND-2.5|CC-BY-ND-3.0|CC-BY-ND-4.0|CC-BY-SA-1.0|CC-BY-SA-2.0|CC-BY-SA-2.5|CC-BY-SA-3.0|CC-BY-SA-4.0|CC0-1.0|CDDL-1.0|CDDL-1.1|CDLA-Permissive-1.0|CDLA-Sharing-1.0|CECILL-1.0|CECILL-1.1|CECILL-2.0|CECILL-2.1|CECILL-B|CECILL-C|ClArtistic|CNRI-Jython|CNRI-Python-GPL-Compatible|CNRI-Python|Condor-1.1|CPAL-1.0|CPL-1.0|CPOL-1.02|Crossword|CrystalStacker|CUA-OPL-1.0|Cube|curl|D-FSL-1.0|diffmark|DOC|Dotseqn|DSDP|dvipdfm|ECL-1.0|ECL-2.0|EFL-1.0|EFL-2.0|eGenix|Entessa|EPL-1.0|EPL-2.0|ErlPL-1.1|EUDatagrid|EUPL-1.0|EUPL-1.1|EUPL-1.2|Eurosym|Fair|Frameworx-1.0|FreeImage|FSFAP|FSFUL|FSFULLR|FTL|GFDL-1.1-only|GFDL-1.1-or-later|GFDL-1.2-only|GFDL-1.2-or-later|GFDL-1.3-only|GFDL-1.3-or-later|Giftware|GL2PS|Glide|Glulxe|gnuplot|GPL-1.0-only|GPL-1.0-or-later|GPL-2.0-only|GPL-2.0-or-later|GPL-3.0-only|GPL-3.0-or-later|gSOAP-1.3b|HaskellReport|HPND|IBM-pibs|ICU|IJG|ImageMagick|iMatix|Imlib2|Info-ZIP|Intel-ACPI|Intel|Interbase-1.0|IPA|IPL-1.0|ISC|JasPer-2.0|JSON|LAL-1.2|LAL-1.3|Latex2e|Leptonica|LGPL-2.0-only|LGPL-2.0-or-later|LGPL-2.1-only|LGPL-2.1-or-later|LGPL-3.0-only|LGPL-3.0-or-later|LGPLLR|Libpng|libtiff|LiLiQ-P-1.1|LiLiQ-R-1.1|LiLiQ-Rplus-1.1|Linux-OpenIB|LPL-1.0|LPL-1.02|LPPL-1.0|LPPL-1.1|LPPL-1.2|LPPL-1.3a|LPPL-1.3c|MakeIndex|MirOS|MIT-0|MIT-advertising|MIT-CMU|MIT-enna|MIT-feh|MIT|MITNFA|Motosoto|mpich2|MPL-1.0|MPL-1.1|MPL-2.0-no-copyleft-exception|MPL-2.0|MS-PL|MS-RL|MTLL|Multics|Mup|NASA-1.3|Naumen|NBPL-1.0|NCSA|Net-SNMP|NetCDF|Newsletr|NGPL|NLOD-1.0|NLPL|Nokia|NOSL|Noweb|NPL-1.0|NPL-1.1|NPOSL-3.0|NRL|NTP|OCCT-PL|OCLC-2.0|ODbL-1.0|OFL-1.0|OFL-1.1|OGTSL|OLDAP-1.1|OLDAP-1.2|OLDAP-1.3|OLDAP-1.4|OLDAP-2.0.1|OLDAP-2.0|OLDAP-2.1|OLDAP-2.2.1|OLDAP-2.2.2|OLDAP-2.2|OLDAP-2.3|OLDAP-2.4|OLDAP-2.5|OLDAP-2.6|OLDAP-2.7|OLDAP-2.8|OML|OpenSSL|OPL-1.0|OSET-PL-2.1|OSL-1.0|OSL-1.1|OSL-2.0|OSL-2.1|OSL-3.0|PDDL-1.0|PHP-3.0|PHP-3.01|Plexus|PostgreSQL|psfrag|psutils|Python-2.0|Qhull|QPL-1.0|Rdisc|RHeCos-1.1|RPL-1.1|RPL-1.5|RPSL-1.0|RSA-MD|RSCPL|Ruby|SAX-PD|Saxpath|SCEA|Sendmail|SGI-B-1.0|SGI-B-1.1|SGI-B-2.0|SimPL-2.0|SISSL-1.2|SISSL|Sleepycat|SMLNJ|SMPPL|SNIA|Spencer-86|Spencer-94|Spencer-99|SPL-1.0|SugarCRM-1.1.3|SWL|TCL|TCP-wrappers|TMate|TORQUE-1.1|TOSL|Unicode-DFS-2015|Unicode-DFS-2016|Unicode-TOU|Unlicense|UPL-1.0|Vim|VOSTROM|VSL-1.0|W3C-19980720|W3C-20150513|W3C|Watcom-1.0|Wsuipa|WTFPL|X11|Xerox|XFree86-1.1|xinetd|Xnet|xpp|XSkat|YPL-1.0|YPL-1.1|Zed|Zend-2.0|Zimbra-1.3|Zimbra-1.4|zlib-acknowledgement|Zlib|ZPL-1.1|ZPL-2.0|ZPL-2.1`,
  'specimen-contained-preference': `preferred|alternate`,
  'specimen-status': `available|unavailable|unsatisfactory|entered-in-error`,
  'strand-type': `watson|crick`,
  'structure-definition-kind': `primitive-type|complex-type|resource|logical`,
  'subscription-channel-type': `rest-hook|websocket|email|sms|message`,
  'subscription-status': `requested|active|error|off`,
  'substance-status': `active|inactive|entered-in-error`,
  'supplydelivery-status': `in-progress|completed|abandoned|entered-in-error`,
  'supplydelivery-type': `medication|device`,
  'supplyrequest-status': `draft|active|suspended|cancelled|completed|entered-in-error|unknown`,
  'system-restful-interaction': `transaction|batch|search-system|history-system`,
  'task-intent': `unknown|proposal|plan|order|original-order|reflex-order|filler-order|instance-order|option`,
  'task-status': `draft|requested|received|accepted|rejected|ready|cancelled|in-progress|on-hold|failed|completed|entered-in-error`,
  'trigger-type': `named-event|periodic|data-changed|data-added|data-modified|data-removed|data-accessed|data-access-ended`,
  'type-derivation-rule': `specialization|constraint`,
  'type-restful-interaction': `read|vread|update|patch|delete|history-instance|history-type|create|search-type`,
  'udi-entry-type': `barcode|rfid|manual|card|self-reported|unknown`,
  'units-of-time': `s|min|h|d|wk|mo|a`,
  'v3-ConfidentialityClassification': `U|L|M|N|R|V`,
  'variable-type': `dichotomous|continuous|descriptive`,
  'verificationresult-status': `attested|validated|in-process|req-revalid|val-fail|reval-fail`,
  'versioning-policy': `no-version|versioned|versioned-update`,
  'vision-base-codes': `up|down|in|out`,
  'vision-eye-codes': `right|left`,
}

/** Code system of the value sets that are bound to a CodeableConcept. */
export const CODE_SYSTEMS: Readonly<Record<string, string>> = {
  'adverse-event-severity': `http://terminology.hl7.org/CodeSystem/adverse-event-severity`,
  'adverse-event-outcome': `http://terminology.hl7.org/CodeSystem/adverse-event-outcome`,
  'allergyintolerance-clinical': `http://terminology.hl7.org/CodeSystem/allergyintolerance-clinical`,
  'allergyintolerance-verification': `http://terminology.hl7.org/CodeSystem/allergyintolerance-verification`,
  'condition-clinical': `http://terminology.hl7.org/CodeSystem/condition-clinical`,
  'condition-ver-status': `http://terminology.hl7.org/CodeSystem/condition-ver-status`,
  'insuranceplan-applicability': `http://terminology.hl7.org/CodeSystem/applicability`,
  'measure-improvement-notation': `http://terminology.hl7.org/CodeSystem/measure-improvement-notation`,
  'supplydelivery-type': `http://terminology.hl7.org/CodeSystem/supply-item-type`,
}

/** Code systems of the value sets that are bound to a code: the element does not repeat them. */
export const IMPLIED_SYSTEMS: Readonly<Record<string, string>> = {
  'FHIR-version': `http://hl7.org/fhir/FHIR-version`,
  'account-status': `http://hl7.org/fhir/account-status`,
  'action-cardinality-behavior': `http://hl7.org/fhir/action-cardinality-behavior`,
  'action-condition-kind': `http://hl7.org/fhir/action-condition-kind`,
  'action-grouping-behavior': `http://hl7.org/fhir/action-grouping-behavior`,
  'action-participant-type': `http://hl7.org/fhir/action-participant-type`,
  'action-precheck-behavior': `http://hl7.org/fhir/action-precheck-behavior`,
  'action-relationship-type': `http://hl7.org/fhir/action-relationship-type`,
  'action-required-behavior': `http://hl7.org/fhir/action-required-behavior`,
  'action-selection-behavior': `http://hl7.org/fhir/action-selection-behavior`,
  'address-type': `http://hl7.org/fhir/address-type`,
  'address-use': `http://hl7.org/fhir/address-use`,
  'administrative-gender': `http://hl7.org/fhir/administrative-gender`,
  'adverse-event-actuality': `http://hl7.org/fhir/adverse-event-actuality`,
  'all-languages': `urn:ietf:bcp:47`,
  'all-types': `http://hl7.org/fhir/data-types|http://hl7.org/fhir/resource-types|http://hl7.org/fhir/abstract-types`,
  'allergy-intolerance-category': `http://hl7.org/fhir/allergy-intolerance-category`,
  'allergy-intolerance-criticality': `http://hl7.org/fhir/allergy-intolerance-criticality`,
  'allergy-intolerance-type': `http://hl7.org/fhir/allergy-intolerance-type`,
  appointmentstatus: `http://hl7.org/fhir/appointmentstatus`,
  'assert-direction-codes': `http://hl7.org/fhir/assert-direction-codes`,
  'assert-operator-codes': `http://hl7.org/fhir/assert-operator-codes`,
  'assert-response-code-types': `http://hl7.org/fhir/assert-response-code-types`,
  'audit-event-action': `http://hl7.org/fhir/audit-event-action`,
  'audit-event-outcome': `http://hl7.org/fhir/audit-event-outcome`,
  'binding-strength': `http://hl7.org/fhir/binding-strength`,
  'bundle-type': `http://hl7.org/fhir/bundle-type`,
  'capability-statement-kind': `http://hl7.org/fhir/capability-statement-kind`,
  'care-plan-activity-kind': `http://hl7.org/fhir/resource-types`,
  'care-plan-activity-status': `http://hl7.org/fhir/care-plan-activity-status`,
  'care-plan-intent': `http://hl7.org/fhir/request-intent`,
  'care-team-status': `http://hl7.org/fhir/care-team-status`,
  'chargeitem-status': `http://hl7.org/fhir/chargeitem-status`,
  'claim-use': `http://hl7.org/fhir/claim-use`,
  'clinicalimpression-status': `http://hl7.org/fhir/event-status`,
  'code-search-support': `http://hl7.org/fhir/code-search-support`,
  'codesystem-content-mode': `http://hl7.org/fhir/codesystem-content-mode`,
  'codesystem-hierarchy-meaning': `http://hl7.org/fhir/codesystem-hierarchy-meaning`,
  'compartment-type': `http://hl7.org/fhir/compartment-type`,
  'composition-attestation-mode': `http://hl7.org/fhir/composition-attestation-mode`,
  'composition-status': `http://hl7.org/fhir/composition-status`,
  'concept-map-equivalence': `http://hl7.org/fhir/concept-map-equivalence`,
  'concept-property-type': `http://hl7.org/fhir/concept-property-type`,
  'conceptmap-unmapped-mode': `http://hl7.org/fhir/conceptmap-unmapped-mode`,
  'conditional-delete-status': `http://hl7.org/fhir/conditional-delete-status`,
  'conditional-read-status': `http://hl7.org/fhir/conditional-read-status`,
  'consent-data-meaning': `http://hl7.org/fhir/consent-data-meaning`,
  'consent-provision-type': `http://hl7.org/fhir/consent-provision-type`,
  'consent-state-codes': `http://hl7.org/fhir/consent-state-codes`,
  'constraint-severity': `http://hl7.org/fhir/constraint-severity`,
  'contact-point-system': `http://hl7.org/fhir/contact-point-system`,
  'contact-point-use': `http://hl7.org/fhir/contact-point-use`,
  'contract-publicationstatus': `http://hl7.org/fhir/contract-publicationstatus`,
  'contract-status': `http://hl7.org/fhir/contract-status`,
  'contributor-type': `http://hl7.org/fhir/contributor-type`,
  currencies: `urn:iso:std:iso:4217`,
  'days-of-week': `http://hl7.org/fhir/days-of-week`,
  'defined-types': `http://hl7.org/fhir/data-types|http://hl7.org/fhir/resource-types`,
  'detectedissue-severity': `http://hl7.org/fhir/detectedissue-severity`,
  'device-nametype': `http://hl7.org/fhir/device-nametype`,
  'device-statement-status': `http://hl7.org/fhir/device-statement-status`,
  'device-status': `http://hl7.org/fhir/device-status`,
  'diagnostic-report-status': `http://hl7.org/fhir/diagnostic-report-status`,
  'discriminator-type': `http://hl7.org/fhir/discriminator-type`,
  'document-mode': `http://hl7.org/fhir/document-mode`,
  'document-reference-status': `http://hl7.org/fhir/document-reference-status`,
  'document-relationship-type': `http://hl7.org/fhir/document-relationship-type`,
  'eligibilityrequest-purpose': `http://hl7.org/fhir/eligibilityrequest-purpose`,
  'eligibilityresponse-purpose': `http://hl7.org/fhir/eligibilityresponse-purpose`,
  'encounter-location-status': `http://hl7.org/fhir/encounter-location-status`,
  'encounter-status': `http://hl7.org/fhir/encounter-status`,
  'endpoint-status': `http://hl7.org/fhir/endpoint-status`,
  'episode-of-care-status': `http://hl7.org/fhir/episode-of-care-status`,
  'event-capability-mode': `http://hl7.org/fhir/event-capability-mode`,
  'event-status': `http://hl7.org/fhir/event-status`,
  'event-timing': `http://hl7.org/fhir/event-timing|http://terminology.hl7.org/CodeSystem/v3-TimingEvent`,
  'examplescenario-actor-type': `http://hl7.org/fhir/examplescenario-actor-type`,
  'explanationofbenefit-status': `http://hl7.org/fhir/explanationofbenefit-status`,
  'exposure-state': `http://hl7.org/fhir/exposure-state`,
  'extension-context-type': `http://hl7.org/fhir/extension-context-type`,
  'filter-operator': `http://hl7.org/fhir/filter-operator`,
  'flag-status': `http://hl7.org/fhir/flag-status`,
  'fm-status': `http://hl7.org/fhir/fm-status`,
  'goal-status': `http://hl7.org/fhir/goal-status`,
  'graph-compartment-rule': `http://hl7.org/fhir/graph-compartment-rule`,
  'graph-compartment-use': `http://hl7.org/fhir/graph-compartment-use`,
  'group-measure': `http://hl7.org/fhir/group-measure`,
  'group-type': `http://hl7.org/fhir/group-type`,
  'guidance-response-status': `http://hl7.org/fhir/guidance-response-status`,
  'guide-page-generation': `http://hl7.org/fhir/guide-page-generation`,
  'guide-parameter-code': `http://hl7.org/fhir/guide-parameter-code`,
  'history-status': `http://hl7.org/fhir/history-status`,
  'http-operations': `http://hl7.org/fhir/http-operations`,
  'http-verb': `http://hl7.org/fhir/http-verb`,
  'identifier-use': `http://hl7.org/fhir/identifier-use`,
  'identity-assuranceLevel': `http://hl7.org/fhir/identity-assuranceLevel`,
  'imagingstudy-status': `http://hl7.org/fhir/imagingstudy-status`,
  'immunization-evaluation-status': `http://terminology.hl7.org/CodeSystem/medication-admin-status`,
  'immunization-status': `http://hl7.org/fhir/event-status`,
  'invoice-priceComponentType': `http://hl7.org/fhir/invoice-priceComponentType`,
  'invoice-status': `http://hl7.org/fhir/invoice-status`,
  'issue-severity': `http://hl7.org/fhir/issue-severity`,
  'issue-type': `http://hl7.org/fhir/issue-type`,
  'item-type': `http://hl7.org/fhir/item-type`,
  'link-type': `http://hl7.org/fhir/link-type`,
  'linkage-type': `http://hl7.org/fhir/linkage-type`,
  'list-mode': `http://hl7.org/fhir/list-mode`,
  'list-status': `http://hl7.org/fhir/list-status`,
  'location-mode': `http://hl7.org/fhir/location-mode`,
  'location-status': `http://hl7.org/fhir/location-status`,
  'map-context-type': `http://hl7.org/fhir/map-context-type`,
  'map-group-type-mode': `http://hl7.org/fhir/map-group-type-mode`,
  'map-input-mode': `http://hl7.org/fhir/map-input-mode`,
  'map-model-mode': `http://hl7.org/fhir/map-model-mode`,
  'map-source-list-mode': `http://hl7.org/fhir/map-source-list-mode`,
  'map-target-list-mode': `http://hl7.org/fhir/map-target-list-mode`,
  'map-transform': `http://hl7.org/fhir/map-transform`,
  'measure-report-status': `http://hl7.org/fhir/measure-report-status`,
  'measure-report-type': `http://hl7.org/fhir/measure-report-type`,
  'medication-admin-status': `http://terminology.hl7.org/CodeSystem/medication-admin-status`,
  'medication-statement-status': `http://hl7.org/fhir/CodeSystem/medication-statement-status`,
  'medication-status': `http://hl7.org/fhir/CodeSystem/medication-status`,
  'medicationdispense-status': `http://terminology.hl7.org/CodeSystem/medicationdispense-status`,
  'medicationknowledge-status': `http://terminology.hl7.org/CodeSystem/medicationknowledge-status`,
  'medicationrequest-intent': `http://hl7.org/fhir/CodeSystem/medicationrequest-intent`,
  'medicationrequest-status': `http://hl7.org/fhir/CodeSystem/medicationrequest-status`,
  'message-significance-category': `http://hl7.org/fhir/message-significance-category`,
  'messageheader-response-request': `http://hl7.org/fhir/messageheader-response-request`,
  'metric-calibration-state': `http://hl7.org/fhir/metric-calibration-state`,
  'metric-calibration-type': `http://hl7.org/fhir/metric-calibration-type`,
  'metric-category': `http://hl7.org/fhir/metric-category`,
  'metric-color': `http://hl7.org/fhir/metric-color`,
  'metric-operational-status': `http://hl7.org/fhir/metric-operational-status`,
  mimetypes: `urn:ietf:bcp:13`,
  'name-use': `http://hl7.org/fhir/name-use`,
  'namingsystem-identifier-type': `http://hl7.org/fhir/namingsystem-identifier-type`,
  'namingsystem-type': `http://hl7.org/fhir/namingsystem-type`,
  'narrative-status': `http://hl7.org/fhir/narrative-status`,
  'network-type': `http://hl7.org/fhir/network-type`,
  'note-type': `http://hl7.org/fhir/note-type`,
  'observation-range-category': `http://hl7.org/fhir/observation-range-category`,
  'observation-status': `http://hl7.org/fhir/observation-status`,
  'operation-kind': `http://hl7.org/fhir/operation-kind`,
  'operation-parameter-use': `http://hl7.org/fhir/operation-parameter-use`,
  'orientation-type': `http://hl7.org/fhir/orientation-type`,
  participantrequired: `http://hl7.org/fhir/participantrequired`,
  participationstatus: `http://hl7.org/fhir/participationstatus`,
  'permitted-data-type': `http://hl7.org/fhir/permitted-data-type`,
  'product-category': `http://hl7.org/fhir/product-category`,
  'product-status': `http://hl7.org/fhir/product-status`,
  'product-storage-scale': `http://hl7.org/fhir/product-storage-scale`,
  'property-representation': `http://hl7.org/fhir/property-representation`,
  'provenance-entity-role': `http://hl7.org/fhir/provenance-entity-role`,
  'publication-status': `http://hl7.org/fhir/publication-status`,
  'quality-type': `http://hl7.org/fhir/quality-type`,
  'quantity-comparator': `http://hl7.org/fhir/quantity-comparator`,
  'questionnaire-answers-status': `http://hl7.org/fhir/questionnaire-answers-status`,
  'questionnaire-enable-behavior': `http://hl7.org/fhir/questionnaire-enable-behavior`,
  'questionnaire-enable-operator': `http://hl7.org/fhir/questionnaire-enable-operator`,
  'reaction-event-severity': `http://hl7.org/fhir/reaction-event-severity`,
  'reference-handling-policy': `http://hl7.org/fhir/reference-handling-policy`,
  'reference-version-rules': `http://hl7.org/fhir/reference-version-rules`,
  'related-artifact-type': `http://hl7.org/fhir/related-artifact-type`,
  'relation-type': `http://hl7.org/fhir/relation-type`,
  'remittance-outcome': `http://hl7.org/fhir/remittance-outcome`,
  'report-action-result-codes': `http://hl7.org/fhir/report-action-result-codes`,
  'report-participant-type': `http://hl7.org/fhir/report-participant-type`,
  'report-result-codes': `http://hl7.org/fhir/report-result-codes`,
  'report-status-codes': `http://hl7.org/fhir/report-status-codes`,
  'repository-type': `http://hl7.org/fhir/repository-type`,
  'request-intent': `http://hl7.org/fhir/request-intent`,
  'request-priority': `http://hl7.org/fhir/request-priority`,
  'request-resource-types': `http://hl7.org/fhir/request-resource-types`,
  'request-status': `http://hl7.org/fhir/request-status`,
  'research-element-type': `http://hl7.org/fhir/research-element-type`,
  'research-study-status': `http://hl7.org/fhir/research-study-status`,
  'research-subject-status': `http://hl7.org/fhir/research-subject-status`,
  'resource-aggregation-mode': `http://hl7.org/fhir/resource-aggregation-mode`,
  'resource-slicing-rules': `http://hl7.org/fhir/resource-slicing-rules`,
  'resource-types': `http://hl7.org/fhir/resource-types`,
  'response-code': `http://hl7.org/fhir/response-code`,
  'restful-capability-mode': `http://hl7.org/fhir/restful-capability-mode`,
  'search-comparator': `http://hl7.org/fhir/search-comparator`,
  'search-entry-mode': `http://hl7.org/fhir/search-entry-mode`,
  'search-modifier-code': `http://hl7.org/fhir/search-modifier-code`,
  'search-param-type': `http://hl7.org/fhir/search-param-type`,
  'search-xpath-usage': `http://hl7.org/fhir/search-xpath-usage`,
  'sequence-type': `http://hl7.org/fhir/sequence-type`,
  slotstatus: `http://hl7.org/fhir/slotstatus`,
  'sort-direction': `http://hl7.org/fhir/sort-direction`,
  'spdx-license': `http://hl7.org/fhir/spdx-license`,
  'specimen-contained-preference': `http://hl7.org/fhir/specimen-contained-preference`,
  'specimen-status': `http://hl7.org/fhir/specimen-status`,
  'strand-type': `http://hl7.org/fhir/strand-type`,
  'structure-definition-kind': `http://hl7.org/fhir/structure-definition-kind`,
  'subscription-channel-type': `http://hl7.org/fhir/subscription-channel-type`,
  'subscription-status': `http://hl7.org/fhir/subscription-status`,
  'substance-status': `http://hl7.org/fhir/substance-status`,
  'supplydelivery-status': `http://hl7.org/fhir/supplydelivery-status`,
  'supplyrequest-status': `http://hl7.org/fhir/supplyrequest-status`,
  'system-restful-interaction': `http://hl7.org/fhir/restful-interaction`,
  'task-intent': `http://hl7.org/fhir/task-intent|http://hl7.org/fhir/request-intent`,
  'task-status': `http://hl7.org/fhir/task-status`,
  'trigger-type': `http://hl7.org/fhir/trigger-type`,
  'type-derivation-rule': `http://hl7.org/fhir/type-derivation-rule`,
  'type-restful-interaction': `http://hl7.org/fhir/restful-interaction`,
  'udi-entry-type': `http://hl7.org/fhir/udi-entry-type`,
  'units-of-time': `http://unitsofmeasure.org`,
  'v3-ConfidentialityClassification': `http://terminology.hl7.org/CodeSystem/v3-Confidentiality`,
  'variable-type': `http://hl7.org/fhir/variable-type`,
  'verificationresult-status': `http://hl7.org/fhir/CodeSystem/status`,
  'versioning-policy': `http://hl7.org/fhir/versioning-policy`,
  'vision-base-codes': `http://hl7.org/fhir/vision-base-codes`,
  'vision-eye-codes': `http://hl7.org/fhir/vision-eye-codes`,
}
