import { createHash } from 'node:crypto'
import { composition } from '../documents/composition.ts'
import type { PaperDocument } from '../documents/document.ts'
import type { DocumentFacts, SignOff } from '../documents/document-facts.ts'
import {
  documentReference,
  type Rendering,
  renderingBinary,
} from '../documents/document-reference.ts'
import { documentHtml } from '../documents/html.ts'
import { paperDocument } from '../documents/paper.ts'
import { documentPdf } from '../documents/pdf.ts'
import type { Language } from '../domain/messages/catalogues.ts'
import type { DerivedContext } from '../fhir/derived.ts'
import type { SignOffParameters } from '../fhir/document-parameters.ts'
import type { AnyResource, Reference } from '../fhir/r4/types.ts'
import type { NewVersion } from '../storage/resource-writes.ts'
import type { AskedReferral } from './asked-referral.ts'
import { documentBefore, supersededBy, taskWithReply } from './issued-documents.ts'
import { firstVersion } from './new-version.ts'
import type { Signer } from './signer.ts'
import { stableId } from './stable-id.ts'

export interface SignOffQuestion extends SignOffParameters {
  readonly referralId: string
  readonly language: Language | undefined
}

/**
 * The same words, person and release have the same ids, so that nothing is signed off twice: the first one, and
 * further ones for words that are signed again after others had taken their place.
 *
 * @param replaced how many documents that say the same have been replaced since
 */
export function idsOf(
  { record, basis }: AskedReferral,
  facts: DocumentFacts,
  { kind, person, release, paper }: SignOffQuestion,
): (replaced: number) => string {
  const { language } = basis.speaker
  const words = documentHtml(paperDocument(facts, { kind, language }))
  const digest = createHash('sha256').update(words).digest('hex')
  const { type, id } = person
  const seed = [record.referral.stored.id, kind, language, paper, `${type}/${id}`, release, digest]
  return (replaced) =>
    stableId(['document', ...seed, ...(replaced === 0 ? [] : [replaced])].join('\n'))
}

export interface Issue {
  readonly id: string
  readonly facts: DocumentFacts
  readonly derived: DerivedContext
  readonly signer: Signer
  readonly asked: SignOffQuestion
  readonly found: AskedReferral
}

const documentOf = ({ facts, signer, asked, found }: Issue, at: string): PaperDocument => {
  const { language } = found.basis.speaker
  return paperDocument(facts, { kind: asked.kind, language, signOff: signOffOf(signer, at) })
}

/** A document as it was signed, made once. */
export interface Signed {
  readonly document: PaperDocument
  readonly renderings: readonly Rendering[]
  /** ISO instant. */
  readonly at: string
}

export async function signedOf(issue: Issue, at: string): Promise<Signed> {
  const document = documentOf(issue, at)
  const pdf = await documentPdf(document, issue.asked.paper, new Date(at))
  const html = Buffer.from(documentHtml(document))
  const renderings: readonly Rendering[] = [
    { id: stableId(`${issue.id}\nhtml`), contentType: 'text/html', bytes: html },
    { id: stableId(`${issue.id}\npdf`), contentType: 'application/pdf', bytes: pdf },
  ]
  return { document, renderings, at }
}

/** What is written of a document: an issue of the same id says the same words. */
export function versionsOf(issue: Issue, { document, renderings, at }: Signed): NewVersion[] {
  const { id, derived, signer, asked, found } = issue
  const { context, record, basis } = found
  const { kind } = asked
  const updatedAt = context.now().toISOString()
  const before = documentBefore(record, { kind, language: basis.speaker.language }, context.baseUrl)
  const { patient, referral, software, inputs } = derived
  const issued = {
    id,
    patient,
    referral,
    software,
    at,
    renderings,
    inputs,
    signer: referenceTo(signer),
    ...(before === undefined ? {} : { replaces: before.stored.id }),
  }
  const partnerId = isForPartner(asked) ? record.referral.stored.partnerId : undefined
  const key = { partnerId, updatedAt, baseUrl: context.baseUrl }
  const made: readonly AnyResource[] = [
    composition(document, issued),
    documentReference(document, issued),
    ...renderings.map((rendering) => renderingBinary(rendering, id)),
  ]
  const changes = { updatedAt, baseUrl: context.baseUrl, documentId: id, before }
  return [
    ...made.map((resource) => firstVersion(resource, key)),
    ...supersededBy(changes),
    ...(kind === 'reply' ? taskWithReply(record, changes) : []),
  ]
}

/** The reply goes to whoever referred; the sheet for the family when it is released; nothing else does. */
const isForPartner = ({ kind, release }: SignOffQuestion): boolean =>
  kind === 'reply' || (kind === 'family-sheet' && release)

const signOffOf = ({ name, qualifications }: Signer, at: string): SignOff => ({
  person: name,
  qualification: qualifications.join(', '),
  at,
})

const referenceTo = ({ reference, name }: Signer): Reference => ({ reference, display: name })
