import { createHash } from 'node:crypto'
import { documentType } from '../fhir/document-codes.ts'
import type { Binary, DocumentReference, DocumentReferenceContent } from '../fhir/r4/types.ts'
import { documentIdentifier, type Issued } from './composition.ts'
import type { PaperDocument } from './document.ts'

/** One rendering of a document, as it is kept. */
export interface Rendering {
  /** Of the Binary that holds it. */
  readonly id: string
  readonly contentType: 'text/html' | 'application/pdf'
  readonly bytes: Buffer
}

/** The content of a rendering; it is as confidential as the document that it belongs to. */
export const renderingBinary = (
  { id, contentType, bytes }: Rendering,
  documentId: string,
): Binary => ({
  resourceType: 'Binary',
  id,
  contentType,
  securityContext: { reference: `DocumentReference/${documentId}` },
  data: bytes.toString('base64'),
})

export interface IssuedReference extends Issued {
  readonly renderings: readonly Rendering[]
  /** Every version that the document was made from. */
  readonly inputs: readonly string[]
}

/** Where a document is found, in which forms, from what it was made and whose place it takes. */
export function documentReference(
  document: PaperDocument,
  issued: IssuedReference,
): DocumentReference {
  const { kind, title } = document
  const { id, patient, referral, software, at, signer, replaces, renderings, inputs } = issued
  return {
    resourceType: 'DocumentReference',
    id,
    masterIdentifier: { system: 'urn:ietf:rfc:3986', value: `urn:uuid:${id}` },
    identifier: [documentIdentifier(kind, referral)],
    status: 'current',
    docStatus: signer === undefined ? 'preliminary' : 'final',
    type: documentType(kind),
    subject: { reference: patient },
    date: at,
    author: [...(signer === undefined ? [] : [signer]), { type: 'Device', display: software }],
    ...(signer === undefined ? {} : { authenticator: signer }),
    ...(replaces === undefined
      ? {}
      : {
          relatesTo: [{ code: 'replaces', target: { reference: `DocumentReference/${replaces}` } }],
        }),
    description: title,
    content: renderings.map((rendering) => contentOf(rendering, document, at)),
    context: {
      related: [referral, `Composition/${id}`, ...inputs].map((reference) => ({ reference })),
    },
  }
}

/** R4 has the hash as SHA-1, in base64. */
const contentOf = (
  { id, contentType, bytes }: Rendering,
  { language, title }: PaperDocument,
  at: string,
): DocumentReferenceContent => ({
  attachment: {
    contentType,
    language,
    url: `Binary/${id}`,
    size: bytes.length,
    hash: createHash('sha1').update(bytes).digest('base64'),
    title,
    creation: at,
  },
})
