import type { Diagnosis, ShoeSystem, Side } from '../domain/child.ts'
import type { SizeDimension } from '../domain/device/size-row.ts'
import type { FpiSum } from '../domain/foot/posture.ts'
import type { FitVerdict } from '../domain/follow-up/fit-check-verdict.ts'
import type { FollowUpOutcome } from '../domain/follow-up/follow-up-outcome.ts'
import type { Outcome } from '../domain/decision/suitability.ts'

/** Everything of ours that has a URL lives under this base. `.example` is reserved: it is a name, not a host. */
export const CANONICAL = 'https://footing.example/fhir'

export const SYSTEMS = {
  loinc: 'http://loinc.org',
  icd10cm: 'http://hl7.org/fhir/sid/icd-10-cm',
  icd10: 'http://hl7.org/fhir/sid/icd-10',
  ucum: 'http://unitsofmeasure.org',
  observationCategory: 'http://terminology.hl7.org/CodeSystem/observation-category',
  conditionClinical: 'http://terminology.hl7.org/CodeSystem/condition-clinical',
  conditionVerification: 'http://terminology.hl7.org/CodeSystem/condition-ver-status',
  dataAbsentReason: 'http://terminology.hl7.org/CodeSystem/data-absent-reason',
  provenanceParticipant: 'http://terminology.hl7.org/CodeSystem/provenance-participant-type',
  /** What is observed: milestones, foot posture, signs, measurements, computed findings. */
  observation: `${CANONICAL}/CodeSystem/observation`,
  /** Values of coded observations. */
  value: `${CANONICAL}/CodeSystem/value`,
  /** Rules: criteria, exclusions, red flags, contributions. */
  rule: `${CANONICAL}/CodeSystem/rule`,
  /** Left and right foot. */
  side: `${CANONICAL}/CodeSystem/side`,
  /** How something was observed: by whom, standing on the foot or not. */
  method: `${CANONICAL}/CodeSystem/method`,
  /** What a size of a device is, in mm. */
  deviceProperty: `${CANONICAL}/CodeSystem/device-property`,
  /** Clinics that run this service; the value is the claim `clinic` of their access tokens. */
  clinic: `${CANONICAL}/NamingSystem/clinic`,
  /** Referring organisations, registered with a clinic; the value is the claim `partner` of their tokens. */
  partner: `${CANONICAL}/NamingSystem/partner`,
  /** Size charts, identified within the clinic that sent them. */
  sizeChart: `${CANONICAL}/NamingSystem/size-chart`,
  /** Rule sets, identified within the clinic that made them. */
  ruleSet: `${CANONICAL}/NamingSystem/rule-set`,
  /** Requests, goals, activities and business states of the exchange. */
  exchange: `${CANONICAL}/CodeSystem/exchange`,
} as const

export interface Code {
  readonly system: string
  readonly code: string
  readonly display: string
}

/** Makes the codes of one system. */
export const codesOf =
  (system: string) =>
  (code: string, display: string): Code => ({ system, code, display })

const value = codesOf(SYSTEMS.value)
const method = codesOf(SYSTEMS.method)
const exchange = codesOf(SYSTEMS.exchange)
const loinc = codesOf(SYSTEMS.loinc)

export const GESTATION_CODES = [
  loinc('76516-4', 'Gestational age--at birth'),
  loinc('11884-4', 'Gestational age Estimated'),
] as const

export const VALUE_CODES = {
  yes: value('yes', 'Yes'),
  no: value('no', 'No'),
  unknown: value('unknown', 'Unknown'),
  low: value('tone-low', 'Low'),
  normal: value('tone-normal', 'Normal'),
  raised: value('tone-raised', 'Raised'),
} as const

/** Outcomes of the suitability decision. */
export const OUTCOME_CODES: Readonly<Record<Outcome, Code>> = {
  suitable: value('suitable', 'Suitable'),
  'suitable-after-review': value('suitable-after-review', 'Suitable after review'),
  watch: value('watch', 'Watch and re-check'),
  unsuitable: value('unsuitable', 'Not suitable'),
  undetermined: value('undetermined', 'Undetermined'),
}

/** Bands of the sum of the Foot Posture Index. */
export const FPI_BAND_CODES: Readonly<Record<NonNullable<FpiSum['band']>, Code>> = {
  'highly-supinated': value('fpi-highly-supinated', 'Highly supinated'),
  supinated: value('fpi-supinated', 'Supinated'),
  normal: value('fpi-normal', 'Normal'),
  pronated: value('fpi-pronated', 'Pronated'),
  'highly-pronated': value('fpi-highly-pronated', 'Highly pronated'),
}

/** What follows from a visit. */
export const FOLLOW_UP_CODES: Readonly<Record<FollowUpOutcome, Code>> = {
  stop: value('follow-up-stop', 'Stop and see the child'),
  'new-size': value('follow-up-new-size', 'Choose the next size'),
  adjust: value('follow-up-adjust', 'Adjust the device'),
  review: value('follow-up-review', 'Review'),
  unknown: value('follow-up-open', 'Something was not looked at'),
  continue: value('follow-up-continue', 'Go on'),
}

/** What an item of the fit check, or all of them, come to. */
export const FIT_VERDICT_CODES: Readonly<Record<FitVerdict, Code>> = {
  stop: value('fit-stop', 'Stop and contact'),
  adjust: value('fit-adjust', 'Adjust'),
  tell: value('fit-tell', 'Tell the clinic'),
  unknown: value('fit-open', 'Not answered'),
  pass: value('fit-pass', 'Fits'),
}

/** A rule of the rule set, named by its identifier; the code is the identifier. */
export const ruleCode = (rule: string): Code => ({
  system: SYSTEMS.rule,
  code: rule,
  display: rule.replaceAll(/[-.]/g, ' '),
})

export const ashworthCode = (grade: string): Code =>
  value(`ashworth-${grade.replace('+', '-plus')}`, `Modified Ashworth ${grade}`)

export const SHOE_SYSTEM_CODES: Readonly<Record<ShoeSystem, Code>> = {
  eu: value('shoe-eu', 'Paris point size'),
  'uk-child': value('shoe-uk-child', 'UK child size'),
  'us-child': value('shoe-us-child', 'US child size'),
  mondopoint: value('shoe-mondopoint', 'Mondopoint'),
}

export const SIDE_CODES: Readonly<Record<Side, Code>> = {
  left: codesOf(SYSTEMS.side)('left-foot', 'Left foot'),
  right: codesOf(SYSTEMS.side)('right-foot', 'Right foot'),
}

const property = codesOf(SYSTEMS.deviceProperty)

/** The dimensions of a size. A range has two quantities, a length one. */
export const SIZE_CODES: Readonly<Record<SizeDimension, Code>> = {
  footLength: property('foot-length', 'Length of the feet it is for'),
  forefootBreadth: property('forefoot-breadth', 'Breadth of the forefeet it is for'),
  ankleCircumference: property('ankle-circumference', 'Circumference of the ankles it is for'),
  medialPlate: property('medial-plate', 'Length of the medial plate'),
  lateralPlate: property('lateral-plate', 'Length of the lateral plate'),
  instepGirth: property('instep-girth', 'Girth at the instep with the closure edge to edge'),
  maxTrim: property('max-trim', 'The most that may be taken off an edge'),
}

export const METHOD_CODES = {
  caregiver: method('caregiver-report', 'Reported by a caregiver'),
  professional: method('professional-observation', 'Seen by a professional'),
  loaded: method('weight-bearing', 'Standing on the foot'),
  unloaded: method('non-weight-bearing', 'Foot unloaded'),
} as const

/** Diagnoses that rules read, ICD-10-CM. A code stands for itself and everything below it. */
export const DIAGNOSIS_CODES: Readonly<Record<Diagnosis, readonly string[]>> = {
  hypotonia: ['P94.2'],
  'spastic-cerebral-palsy': ['G80.0', 'G80.1', 'G80.2', 'G81.1'],
  'cerebral-palsy': ['G80', 'G81'],
  'down-syndrome': ['Q90'],
}

export const EXCHANGE_CODES = {
  referral: exchange('orthotic-referral', 'Referral for orthotic assessment'),
  assessment: exchange('orthotic-assessment', 'Orthotic assessment'),
  triageResult: exchange('triage-result', 'Triage result'),
  missingFact: exchange('missing-fact', 'Missing fact'),
  orthosis: exchange('supramalleolar-orthosis', 'Flexible supramalleolar orthosis'),
  fitCheck: exchange('fit-check', 'Fit check'),
  followUp: exchange('orthotic-follow-up', 'Orthotic follow-up visit'),
  /** Beside it: the visit is due by growth, not by the delivery. */
  refit: exchange('orthotic-refit', 'Orthotic refit by growth'),
  wear: exchange('wear-schedule', 'Wear schedule'),
  shoeAdvice: exchange('shoe-advice', 'Shoe advice'),
  walkingAloneBy18Months: exchange('walks-alone-by-18-months', 'Walks alone by 18 months'),
  delay25: exchange('delay-at-least-25-percent', 'Delay of at least 25 %'),
  delay33: exchange('delay-at-least-33-percent', 'Delay of at least 33 %'),
  delay50: exchange('delay-at-least-50-percent', 'Delay of at least 50 %'),
  ruleSet: exchange('rule-set', 'Rule set'),
} as const

export const UNITS = {
  months: { unit: 'months', code: 'mo' },
  days: { unit: 'days', code: 'd' },
  weeks: { unit: 'weeks', code: 'wk' },
  millimetres: { unit: 'mm', code: 'mm' },
  centimetres: { unit: 'cm', code: 'cm' },
  degrees: { unit: 'degrees', code: 'deg' },
  percent: { unit: '%', code: '%' },
  ratio: { unit: '1', code: '1' },
  points: { unit: 'points', code: '{points}' },
  hours: { unit: 'h', code: 'h' },
  minutes: { unit: 'min', code: 'min' },
} as const
export type UnitName = keyof typeof UNITS
