import { createHash } from 'node:crypto'
import { composition } from '../documents/composition.ts'
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
import type { Caller } from '../security/access-token.ts'
import { insertVersions, type NewVersion } from '../storage/resource-writes.ts'
import { readResource } from '../storage/resources.ts'
import { type AskedReferral, askedReferral } from './asked-referral.ts'
import type { Context } from './context.ts'
import { documentFacts } from './document-facts.ts'
import { refuseForPartner } from './document-preview.ts'
import { documentBefore, supersededBy, taskWithReply } from './issued-documents.ts'
import { firstVersion } from './new-version.ts'
import { noteWritten } from './noted.ts'
import { withRecords } from './records.ts'
import { type Signer, signerOf } from './signer.ts'
import { stableId } from './stable-id.ts'
import { type Need, unitOfWork } from './unit-of-work.ts'

export interface SignOffQuestion extends SignOffParameters {
  readonly referralId: string
  readonly language: Language | undefined
}

const NEEDS: readonly Need[] = [
  { type: 'ServiceRequest', letter: 'r' },
  { type: 'Practitioner', letter: 'r' },
  { type: 'Composition', letter: 'c' },
  { type: 'DocumentReference', letter: 'c' },
  { type: 'DocumentReference', letter: 'u' },
  { type: 'Binary', letter: 'c' },
  { type: 'Task', letter: 'u' },
]

/**
 * Keeps a document as a person reviewed it: the Composition with who attested it and when, its renderings and
 * where they are found, in one transaction. The same document, signed off again by the same person, is kept
 * once; one of later data takes the place of the one before, which stays as it was. The reply becomes an output
 * of the referral's Task. For the staff of the clinic.
 */
export function signOffDocument(
  now: Context,
  caller: Caller,
  asked: SignOffQuestion,
): Promise<string> {
  refuseForPartner(caller)
  const { referralId, language } = asked
  return unitOfWork(now, caller, NEEDS, async (tx) => {
    const found = await askedReferral(tx, now, caller, { referralId, language, asOf: undefined })
    const { facts, derived } = await documentFacts(tx, caller, found)
    const signer = await signerOf(tx, caller, asked.person, found.context.baseUrl)
    const id = idOf(found, facts, asked)
    const { clinicId } = caller
    const kept = await readResource(tx, { clinicId, type: 'DocumentReference', id })
    if (kept !== undefined && !kept.deleted) {
      caller.call.touch({ type: 'DocumentReference', id, did: 'read' }, kept.patientId)
      return kept.body
    }
    const issue = { id, facts, derived, signer, asked, found }
    const versions = await withRecords(tx, found.context, clinicId, await versionsOf(issue))
    await insertVersions(tx, clinicId, versions)
    noteWritten(caller, versions)
    return bodyOf(versions, id)
  })
}

/** The same words, person and release have the same id, so that nothing is signed off twice. */
function idOf(
  { record, basis }: AskedReferral,
  facts: DocumentFacts,
  { kind, person, release, paper }: SignOffQuestion,
): string {
  const { language } = basis.speaker
  const words = documentHtml(paperDocument(facts, { kind, language }))
  const digest = createHash('sha256').update(words).digest('hex')
  const { type, id } = person
  const seed = [record.referral.stored.id, kind, language, paper, `${type}/${id}`, release, digest]
  return stableId(['document', ...seed].join('\n'))
}

interface Issue {
  readonly id: string
  readonly facts: DocumentFacts
  readonly derived: DerivedContext
  readonly signer: Signer
  readonly asked: SignOffQuestion
  readonly found: AskedReferral
}

async function versionsOf(issue: Issue): Promise<NewVersion[]> {
  const { id, facts, derived, signer, asked, found } = issue
  const { context, record, basis } = found
  const at = context.now().toISOString()
  const { kind, paper } = asked
  const { language } = basis.speaker
  const document = paperDocument(facts, { kind, language, signOff: signOffOf(signer, at) })
  const before = documentBefore(record, { kind, language }, context.baseUrl)
  const renderings: Rendering[] = [
    {
      id: stableId(`${id}\nhtml`),
      contentType: 'text/html',
      bytes: Buffer.from(documentHtml(document)),
    },
    {
      id: stableId(`${id}\npdf`),
      contentType: 'application/pdf',
      bytes: await documentPdf(document, paper, new Date(at)),
    },
  ]
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
  const key = { partnerId, updatedAt: at, baseUrl: context.baseUrl }
  const made: readonly AnyResource[] = [
    composition(document, issued),
    documentReference(document, issued),
    ...renderings.map((rendering) => renderingBinary(rendering, id)),
  ]
  const changes = { updatedAt: at, baseUrl: context.baseUrl, documentId: id, before }
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

function bodyOf(versions: readonly NewVersion[], id: string): string {
  const kept = versions.find((one) => one.type === 'DocumentReference' && one.id === id)
  if (kept === undefined) throw new Error('What was signed off is not kept')
  return kept.body
}
