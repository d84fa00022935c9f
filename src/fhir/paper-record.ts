import type { CivilDate } from '../domain/calendar.ts'
import type { Regime } from '../domain/law/consent-gate.ts'
import { ORDER_SIGNERS } from '../domain/tables/order-signers.ts'
import { SYSTEMS } from './codes.ts'
import { type ConsentPaper, consentPaper } from './consent-paper.ts'
import { type DocumentKind, kindOfDocument } from './document-codes.ts'
import { addressOf, contactOf, type Find, nameOf, type Person, personOf, textOf } from './people.ts'
import type {
  CodeableConcept,
  Condition,
  DeviceRequest,
  DocumentReference,
  Patient,
  Resource,
  ServiceRequest,
} from './r4/types.ts'
import { hasCode } from './reading.ts'
import { EXCHANGE_CODES } from './codes.ts'
import { dayOf } from './record-facts.ts'

/** What papers say that no rule reads: who, by whom, on whose behalf. As recorded, nothing is made up. */
export interface PaperRecord {
  readonly child: {
    readonly name?: string
    readonly identifiers: readonly string[]
    readonly memberNumbers: readonly string[]
    readonly contact?: string
    readonly address?: string
  }
  readonly guardians: readonly {
    readonly name?: string
    readonly relationship?: Relationship
    readonly contact?: string
  }[]
  readonly referrer?: Person
  readonly regime: Regime
  readonly referredOn?: CivilDate
  readonly receivedOn: CivilDate
  readonly service?: string
  readonly questions: readonly string[]
  readonly diagnoses: readonly Diagnosis[]
  readonly coverages: readonly string[]
  /** Who may sign an order, as far as the record says it. */
  readonly prescriber?: Person
  readonly orderedOn?: CivilDate
  readonly encounters: readonly CivilDate[]
  readonly consents: readonly ConsentPaper[]
  readonly signedOff: Readonly<Partial<Record<DocumentKind, CivilDate>>>
}

/** In the sender's words, or by a code that has words of ours in each language. */
export type Relationship = string | { readonly kin: (typeof KIN)[number]['kin'] }

const ROLE_CODE = 'http://terminology.hl7.org/CodeSystem/v3-RoleCode'
const KIN = [
  { code: 'PRN', kin: 'parent' },
  { code: 'MTH', kin: 'mother' },
  { code: 'FTH', kin: 'father' },
  { code: 'GRPRN', kin: 'grandparent' },
] as const

function relationshipOf(concept: CodeableConcept | undefined): Relationship | undefined {
  const known = KIN.find(({ code }) => hasCode(concept, { system: ROLE_CODE, code }))
  return concept?.text === undefined && known !== undefined ? { kin: known.kin } : textOf(concept)
}

export interface Diagnosis {
  readonly text: string
  /** Of ICD-10-CM. */
  readonly code?: string
  readonly on?: CivilDate
}

export interface PaperSource {
  readonly patient: Patient
  readonly referral: ServiceRequest
  readonly receivedOn: CivilDate
  readonly regime: Regime
  /** Everything about the child. */
  readonly resources: readonly Resource[]
  readonly find: Find
  readonly baseUrl: string
}

export function paperRecord(source: PaperSource): PaperRecord {
  const { patient, referral, receivedOn, regime, resources, find, baseUrl } = source
  const referrer = personOf(referral.requester, find, baseUrl)
  const referredOn = dayOf(referral.authoredOn)
  const service = textOf(referral.code)
  const order = resources.find(isOrder)
  const orderedOn = dayOf(order?.authoredOn)
  const prescriber = [order?.requester, referral.requester, ...(patient.generalPractitioner ?? [])]
    .map((reference) => personOf(reference, find, baseUrl))
    .find((person) => person !== undefined && maySignOrder(person))
  return {
    child: childOf(source),
    guardians: guardiansOf(resources),
    ...(referrer === undefined ? {} : { referrer }),
    regime,
    ...(referredOn === undefined ? {} : { referredOn }),
    receivedOn,
    ...(service === undefined ? {} : { service }),
    questions: [
      ...(referral.reasonCode ?? []).flatMap((code) => textOf(code) ?? []),
      ...(referral.note ?? []).map(({ text }) => text),
    ],
    diagnoses: resources.flatMap(diagnosisOf),
    coverages: resources.flatMap((one) =>
      one.resourceType === 'Coverage' && one.status === 'active'
        ? [personOf(one.payor[0], find, baseUrl)?.organization ?? textOf(one.type) ?? []].flat()
        : [],
    ),
    ...(prescriber === undefined ? {} : { prescriber }),
    ...(orderedOn === undefined ? {} : { orderedOn }),
    encounters: resources.flatMap(encounterOf).toSorted(),
    consents: resources.flatMap(consentPaper),
    signedOff: Object.fromEntries(resources.flatMap(signedOff)),
  }
}

/** Does the record name a qualification with which an order may be signed? */
export const maySignOrder = ({ qualifications }: Person): boolean =>
  qualifications.some((one) => ORDER_SIGNERS.includes(one))

function childOf({ patient, resources }: PaperSource): PaperRecord['child'] {
  const name = nameOf(patient.name)
  const contact = contactOf(patient.telecom)
  const address = addressOf(patient.address)
  return {
    ...(name === undefined ? {} : { name }),
    identifiers: (patient.identifier ?? []).flatMap(({ value }) => value ?? []),
    memberNumbers: resources.flatMap((one) =>
      one.resourceType === 'Coverage' && one.status === 'active' ? (one.subscriberId ?? []) : [],
    ),
    ...(contact === undefined ? {} : { contact }),
    ...(address === undefined ? {} : { address }),
  }
}

const guardiansOf = (resources: readonly Resource[]): PaperRecord['guardians'] =>
  resources.flatMap((one) => {
    if (one.resourceType !== 'RelatedPerson') return []
    const name = nameOf(one.name)
    const relationship = relationshipOf(one.relationship?.[0])
    const contact = contactOf(one.telecom)
    return [
      {
        ...(name === undefined ? {} : { name }),
        ...(relationship === undefined ? {} : { relationship }),
        ...(contact === undefined ? {} : { contact }),
      },
    ]
  })

function diagnosisOf(one: Resource): Diagnosis[] {
  if (one.resourceType !== 'Condition' || !isHeld(one)) return []
  const code = one.code?.coding?.find(({ system }) => system === SYSTEMS.icd10cm)
  const text = textOf(one.code)
  const on = dayOf(one.recordedDate)
  if (text === undefined) return []
  return [
    {
      text,
      ...(code?.code === undefined ? {} : { code: code.code }),
      ...(on === undefined ? {} : { on }),
    },
  ]
}

/** What was refuted, entered in error or has ended is no diagnosis of today. */
function isHeld({ verificationStatus, clinicalStatus }: Condition): boolean {
  const verified = verificationStatus?.coding?.map(({ code }) => code) ?? []
  const clinical = clinicalStatus?.coding?.map(({ code }) => code) ?? []
  return (
    !verified.some((code) => code === 'refuted' || code === 'entered-in-error') &&
    !clinical.some((code) => ['inactive', 'remission', 'resolved'].includes(code ?? ''))
  )
}

const isOrder = (one: Resource): one is DeviceRequest =>
  one.resourceType === 'DeviceRequest' &&
  one.intent === 'order' &&
  one.status === 'active' &&
  hasCode(one.codeCodeableConcept, EXCHANGE_CODES.orthosis)

const encounterOf = (one: Resource): CivilDate[] =>
  one.resourceType === 'Encounter' && one.status === 'finished'
    ? [dayOf(one.period?.start) ?? []].flat()
    : []

const signedOff = (one: Resource): [DocumentKind, CivilDate][] => {
  if (one.resourceType !== 'DocumentReference' || !isSignedOff(one)) return []
  const kind = kindOfDocument(one.type)
  const on = dayOf(one.date)
  return kind === undefined || on === undefined ? [] : [[kind, on]]
}

const isSignedOff = ({ status, docStatus }: DocumentReference): boolean =>
  status === 'current' && docStatus === 'final'
