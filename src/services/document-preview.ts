import { composition } from '../documents/composition.ts'
import type { PaperDocument } from '../documents/document.ts'
import { paperDocument } from '../documents/paper.ts'
import { writeJson } from '../fhir/decimal.ts'
import type { DocumentKind } from '../fhir/document-codes.ts'
import type { Caller } from '../security/access-token.ts'
import { askedReferral, type Question } from './asked-referral.ts'
import type { Context } from './context.ts'
import { documentBundle } from './document-bundle.ts'
import { documentFacts } from './document-facts.ts'
import { forStaff } from './staff-only.ts'
import { type Need, unitOfWork } from './unit-of-work.ts'

export interface DocumentQuestion extends Question {
  readonly kind: DocumentKind
}

/** A draft, as it may be shown in any form. Nothing is stored. */
export interface DocumentDraft {
  readonly document: PaperDocument
  /** As a FHIR document. */
  readonly bundle: () => string
}

const NEEDS: readonly Need[] = ['ServiceRequest', 'Patient', 'Observation', 'Composition'].map(
  (type) => ({ type, letter: 'r' }),
)

/** A document of a referral as it would be now, for the staff of the clinic to review. */
export function previewDocument(
  now: Context,
  caller: Caller,
  { kind, ...question }: DocumentQuestion,
): Promise<DocumentDraft> {
  refuseForPartner(caller)
  return unitOfWork(now, caller, NEEDS, async (tx) => {
    const found = await askedReferral(tx, now, caller, question)
    const { facts, derived } = await documentFacts(tx, caller, found)
    const document = paperDocument(facts, { kind, language: found.basis.speaker.language })
    const { context, record } = found
    return {
      document,
      bundle: () => {
        const id = derived.idOf(`document.${kind}`)
        const at = context.now().toISOString()
        const { patient, referral, software } = derived
        const resource = composition(document, { id, patient, referral, software, at })
        const text = writeJson({ ...resource, id: undefined })
        return documentBundle({ id, at }, [
          { fullUrl: `urn:uuid:${id}`, text },
          ...[record.patient.stored, record.referral.stored].map((one) => ({
            fullUrl: `${context.baseUrl}/${one.type}/${one.id}`,
            text: one.body,
          })),
        ])
      },
    }
  })
}

/** Papers are made and signed off in the clinic; a partner reads what was signed off for it. */
export function refuseForPartner({ partnerId }: Caller): void {
  if (partnerId === undefined) return
  throw forStaff(
    'Documents are made by the clinic itself.',
    'A document is made and signed off by the staff of the clinic, not by a partner.',
  )
}
