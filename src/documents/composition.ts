import { concept } from '../fhir/derived.ts'
import {
  type DocumentKind,
  DOCUMENT_SYSTEMS,
  documentType,
  SECTION_CODES,
} from '../fhir/document-codes.ts'
import type { Composition, CompositionSection, Narrative, Reference } from '../fhir/r4/types.ts'
import { heading, list, narrative, paragraph, table } from '../fhir/xhtml.ts'
import type { PaperDocument, Piece, Section } from './document.ts'

/** What a document is about and by whom, in references of ours. */
export interface Issued {
  readonly id: string
  /** `Patient/1`. */
  readonly patient: string
  /** `ServiceRequest/1`. */
  readonly referral: string
  readonly software: string
  /** ISO instant. */
  readonly at: string
  /** Who signed it off; none of a draft. */
  readonly signer?: Reference
  /** The document whose place it takes, by its id. */
  readonly replaces?: string
}

/** Names a document of a referral in all its versions. */
export const documentIdentifier = (kind: DocumentKind, referral: string) => ({
  system: DOCUMENT_SYSTEMS.document,
  value: `${referral}/${kind}`,
})

/** The document as R4 has it: its sections with what they say, final once a person has signed it off. */
export function composition(document: PaperDocument, issued: Issued): Composition {
  const { kind, language, title, sections, standing } = document
  const { id, patient, referral, software, at, signer, replaces } = issued
  return {
    resourceType: 'Composition',
    id,
    language,
    text: narrative(heading(title), paragraph(standing.label)),
    identifier: documentIdentifier(kind, referral),
    status: signer === undefined ? 'preliminary' : 'final',
    type: documentType(kind),
    subject: { reference: patient },
    date: at,
    author: [...(signer === undefined ? [] : [signer]), { type: 'Device', display: software }],
    title,
    confidentiality: 'N',
    ...(signer === undefined
      ? {}
      : { attester: [{ mode: 'professional', time: at, party: signer }] }),
    ...(replaces === undefined
      ? {}
      : {
          relatesTo: [
            { code: 'replaces', targetReference: { reference: `Composition/${replaces}` } },
          ],
        }),
    event: [{ detail: [{ reference: referral }] }],
    section: sections.map(sectionOf),
  }
}

const sectionOf = ({ id, title, pieces }: Section): CompositionSection => ({
  title,
  code: concept(SECTION_CODES[id]),
  text: sectionNarrative(title, pieces),
})

/** A picture stands as its words: what it shows is in them. */
function sectionNarrative(title: string, pieces: readonly Piece[]): Narrative {
  return narrative(heading(title), ...pieces.map(pieceXhtml))
}

function pieceXhtml(piece: Piece): string {
  switch (piece.kind) {
    case 'paragraph':
      return paragraph(piece.text)
    case 'heading':
      return heading(piece.text)
    case 'list':
      return list(piece.items)
    case 'table':
      return piece.head.length === 0
        ? list(piece.rows.map((cells) => cells.join(': ')))
        : table(piece.head, piece.rows)
    case 'picture':
      return paragraph(`${piece.picture.title}. ${piece.picture.description}`)
    case 'blanks':
      return list(piece.labels.map((label) => `${label}: ____________________`))
  }
}
