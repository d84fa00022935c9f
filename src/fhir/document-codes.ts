import { CANONICAL, type Code, codesOf, SYSTEMS } from './codes.ts'
import type { CodeableConcept } from './r4/types.ts'
import { hasCode } from './reading.ts'

export const DOCUMENT_KINDS = [
  'reply',
  'order',
  'medical-necessity',
  'family-sheet',
  'authorisation-packet',
] as const
export type DocumentKind = (typeof DOCUMENT_KINDS)[number]

export const DOCUMENT_SYSTEMS = {
  /** Kinds of documents that are generated. */
  kind: `${CANONICAL}/CodeSystem/document-kind`,
  /** Sections of them. */
  section: `${CANONICAL}/CodeSystem/document-section`,
  /** A document and all its versions. */
  document: `${CANONICAL}/NamingSystem/document`,
} as const

const kind = codesOf(DOCUMENT_SYSTEMS.kind)
const loinc = codesOf(SYSTEMS.loinc)

/** Our code of each kind, which tells it apart from what others send. */
export const DOCUMENT_KIND_CODES: Readonly<Record<DocumentKind, Code>> = {
  reply: kind('reply', 'Reply to the referrer'),
  order: kind('order', 'Order, to be completed and signed'),
  'medical-necessity': kind('medical-necessity', 'Statement of medical necessity'),
  'family-sheet': kind('family-sheet', 'Sheet for the family'),
  'authorisation-packet': kind('authorisation-packet', 'List of a packet for prior authorisation'),
}

const LOINC_CODES: Readonly<Record<DocumentKind, Code>> = {
  reply: loinc('11488-4', 'Consult note'),
  order: loinc('52063-5', 'Prescription for durable medical equipment (DME)'),
  'medical-necessity': loinc('103595-5', 'Certificate of Medical Necessity'),
  'family-sheet': loinc('18776-5', 'Plan of care note'),
  'authorisation-packet': loinc('52051-0', 'Orthotic/Prosthetic attachment'),
}

/** What a document is, in LOINC and in our own code. */
export const documentType = (of: DocumentKind): CodeableConcept => ({
  coding: [LOINC_CODES[of], DOCUMENT_KIND_CODES[of]],
})

export const kindOfDocument = (type: CodeableConcept | undefined): DocumentKind | undefined =>
  DOCUMENT_KINDS.find((one) => hasCode(type, DOCUMENT_KIND_CODES[one]))

export const SECTION_IDS = [
  'child',
  'referral',
  'since-fitting',
  'history',
  'findings',
  'plan',
  'follow-up',
  'duties',
  'missing',
  'elements',
  'items',
  'problem',
  'examination',
  'need',
  'law',
  'growth',
  'goals',
  'wear',
  'stop',
  'contact',
  'documents',
  'encounters',
  'candidates',
  'cautions',
  'evidence',
  'signature',
  'about',
] as const
export type SectionId = (typeof SECTION_IDS)[number]

const sectionCode = codesOf(DOCUMENT_SYSTEMS.section)

export const SECTION_CODES = Object.fromEntries(
  SECTION_IDS.map((id) => [id, sectionCode(id, id.replaceAll('-', ' '))]),
) as Readonly<Record<SectionId, Code>>

/** Every code of ours of documents. */
export const DOCUMENT_CODES: readonly Code[] = [
  ...Object.values(DOCUMENT_KIND_CODES),
  ...Object.values(SECTION_CODES),
]
