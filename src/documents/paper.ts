import type { Language } from '../domain/messages/catalogues.ts'
import { AppError } from '../errors.ts'
import type { DocumentKind } from '../fhir/document-codes.ts'
import { type Words, wordsOf } from '../pictures/words.ts'
import { authorisationPacket } from './authorisation-packet.ts'
import { type DocumentFacts, isPlanned, type PlannedFacts, type SignOff } from './document-facts.ts'
import type { PaperDocument, Section } from './document.ts'
import { familySheet } from './family-sheet.ts'
import { framed } from './frame.ts'
import { medicalNecessity } from './medical-necessity.ts'
import { order } from './order.ts'
import { reply } from './reply.ts'

/** Which document, in which language, and who reviewed it; a draft without. */
export interface Wanted {
  readonly kind: DocumentKind
  readonly language: Language
  readonly signOff?: SignOff | undefined
}

/**
 * A document of one referral. The same facts make the same document.
 *
 * Throws `business-rule` for an order, a statement of medical necessity or a packet of a child for whom no device
 * is proposed.
 */
export function paperDocument(facts: DocumentFacts, wanted: Wanted): PaperDocument {
  const { kind, language, signOff } = wanted
  const words = wordsOf({ language, voice: kind === 'family-sheet' ? 'family' : 'therapist' })
  return framed({ kind, facts, words, signOff }, sectionsOf(kind, facts, words))
}

function sectionsOf(kind: DocumentKind, facts: DocumentFacts, words: Words): readonly Section[] {
  switch (kind) {
    case 'reply':
      return reply(facts, words)
    case 'family-sheet':
      return familySheet(facts, words)
    case 'order':
      return order(planned(facts), words)
    case 'medical-necessity':
      return medicalNecessity(planned(facts), words)
    case 'authorisation-packet':
      return authorisationPacket(planned(facts), words)
  }
}

function planned(facts: DocumentFacts): PlannedFacts {
  if (isPlanned(facts)) return facts
  throw new AppError(
    'business-rule',
    `This document needs a child for whom a device is proposed; the outcome is ${facts.triage.suitability.outcome}.`,
  )
}
