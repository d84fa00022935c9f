import { createHash } from 'node:crypto'
import { day, say } from '../domain/messages/message.ts'
import type { MessageKey } from '../domain/messages/catalogues.ts'
import type { DocumentKind } from '../fhir/document-codes.ts'
import type { Words } from '../pictures/words.ts'
import type { DocumentFacts, SignOff } from './document-facts.ts'
import {
  blanks,
  type PaperDocument,
  paragraph,
  type Piece,
  type Section,
  section,
} from './document.ts'

export interface Framed {
  readonly kind: DocumentKind
  readonly facts: DocumentFacts
  readonly words: Words
  /** None for a draft. */
  readonly signOff: SignOff | undefined
}

const TITLES: Readonly<Record<DocumentKind, MessageKey>> = {
  reply: 'part.paper-reply',
  order: 'part.paper-order',
  'medical-necessity': 'part.paper-medical-necessity',
  'family-sheet': 'part.paper-family-sheet',
  'authorisation-packet': 'part.paper-authorisation-packet',
}

export const titleOf = (kind: DocumentKind, words: Words): string => words.say(TITLES[kind])

/** The sections with what every document says of itself: what it is made from, and who has to sign it. */
export function framed(
  { kind, facts, words, signOff }: Framed,
  sections: readonly Section[],
): PaperDocument {
  const isSigned = signOff !== undefined
  return {
    kind,
    language: words.language,
    title: titleOf(kind, words),
    large: kind === 'family-sheet',
    on: facts.triage.asOf,
    standing: { label: words.say(isSigned ? 'part.paper-signed' : 'part.paper-draft'), isSigned },
    sections: [
      ...sections.filter(({ pieces }) => pieces.length > 0),
      section('signature', words.say('part.paper-sign-here'), signaturePlace(kind, words)),
      about(facts, words, signOff),
    ],
  }
}

/** The place for a hand; nobody is named in it and nothing is dated. */
const signaturePlace = (kind: DocumentKind, words: Words): Piece =>
  kind === 'order' || kind === 'medical-necessity'
    ? blanks(
        words.say('part.paper-signature'),
        words.say('part.paper-signer'),
        words.say('part.paper-npi'),
        words.say('part.paper-sign-date'),
      )
    : blanks(
        words.say('part.paper-signature'),
        words.say('part.paper-signer'),
        words.say('part.paper-sign-date'),
      )

function about(
  { triage, inputs, software }: DocumentFacts,
  words: Words,
  signOff: SignOff | undefined,
): Section {
  const { ruleSet, sizing, asOf } = triage
  const generated = say('paper-frame.generated', {
    software,
    on: day(asOf),
    ruleSet: `${ruleSet.id} ${ruleSet.version}`,
    chart: `${sizing.chart.id} ${sizing.chart.version}`,
    count: inputs.length,
    digest: digestOf(inputs),
  })
  const signed =
    signOff === undefined
      ? []
      : [
          say('paper-frame.signed-off', {
            person: signOff.person,
            qualification: signOff.qualification ?? say('part.paper-no-qualification'),
            at: instantText(signOff.at),
          }),
        ]
  return section(
    'about',
    words.say('part.paper-about'),
    ...[generated, ...signed].map((message) => paragraph(words.of(message))),
  )
}

const instantText = (at: string): string => `${at.slice(0, 10)} ${at.slice(11, 16)} UTC`

const DIGITS = 16

/** Tells the versions of one document from those of another: the start of the SHA-256 of their names. */
export const digestOf = (inputs: readonly string[]): string =>
  createHash('sha256').update(inputs.toSorted().join('\n')).digest('hex').slice(0, DIGITS)
