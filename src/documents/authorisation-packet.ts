import type { MessageKey } from '../domain/messages/catalogues.ts'
import { day, say } from '../domain/messages/message.ts'
import { encountersForOrder } from '../domain/law/record-duties.ts'
import { HCPCS_CANDIDATES, type ItemCandidate } from '../domain/tables/hcpcs-candidates.ts'
import { DOCUMENT_KINDS } from '../fhir/document-codes.ts'
import type { Words } from '../pictures/words.ts'
import { type Checklist, missingOf, rowsOf } from './checklist.ts'
import { candidateDiagnoses } from './candidate-diagnoses.ts'
import type { PlannedFacts } from './document-facts.ts'
import { heading, list, paragraph, type Section, section, table } from './document.ts'
import { titleOf } from './frame.ts'
import { keeping } from './keeping.ts'
import { MEDICAL_NECESSITY } from './necessity-checklist.ts'
import { FITTING_RECORD, PROOF_OF_DELIVERY, STANDARD_WRITTEN_ORDER } from './order-checklist.ts'
import { REFERRAL_DATA } from './referral-checklist.ts'
import { childSection } from './referral-sections.ts'
import { sinceFitting } from './worn-sections.ts'

/** Every checklist that a packet is measured by. */
export const CHECKLISTS: readonly Checklist[] = [
  STANDARD_WRITTEN_ORDER,
  MEDICAL_NECESSITY,
  REFERRAL_DATA,
  FITTING_RECORD,
  PROOF_OF_DELIVERY,
]

/** What belongs into a packet for prior authorisation, what of it is there, what is missing. Chooses nothing. */
export const authorisationPacket = (facts: PlannedFacts, words: Words): readonly Section[] => [
  childSection(facts, words),
  ...sinceFitting(facts, words),
  documents(facts, words),
  section(
    'elements',
    words.say('part.paper-on-record'),
    CHECKLISTS.flatMap((checklist) => [
      heading(words.say(checklist.title)),
      ...table(
        [words.say('part.paper-element'), words.say('part.paper-on-record')],
        rowsOf(checklist, facts, words),
      ),
    ]),
  ),
  section(
    'missing',
    words.say('part.paper-missing'),
    CHECKLISTS.flatMap((checklist) => {
      const open = missingOf(checklist, facts, words)
      return open.length === 0 ? [] : [heading(words.say(checklist.title)), ...list(open)]
    }),
  ),
  encounters(facts, words),
  candidates(facts, words),
  section('cautions', words.say('part.cautions'), list(facts.plan.cautions.map(words.of))),
]

const documents = ({ record }: PlannedFacts, words: Words): Section =>
  section(
    'documents',
    words.say('part.paper-documents'),
    paragraph(words.say('paper-packet.purpose')),
    table(
      [words.say('part.paper-document'), words.say('part.paper-stands')],
      DOCUMENT_KINDS.filter((kind) => kind !== 'authorisation-packet').map((kind) => {
        const on = record.signedOff[kind]
        return [
          titleOf(kind, words),
          on === undefined
            ? words.say('part.paper-not-signed-off')
            : words.say('part.paper-signed-off-on', { on: day(on) }),
        ]
      }),
    ),
  )

/** Encounters that count for an order, which is of this day while it has none, and how long papers are kept. */
function encounters(facts: PlannedFacts, words: Words): Section {
  const { record, triage } = facts
  const to = record.orderedOn ?? triage.asOf
  const { from, valid } = encountersForOrder(to, record.encounters)
  const span = { from: day(from), to: day(to) }
  return section(
    'encounters',
    words.say('part.paper-encounters'),
    paragraph(
      valid.length === 0
        ? words.say('paper-encounter.none', span)
        : words.say('paper-encounter.found', {
            ...span,
            count: valid.length,
            days: valid.map((on) => say('part.day-alone', { on: day(on) })),
          }),
    ),
    keeping(facts, words),
  )
}

const FIT_TITLES: Readonly<Record<ItemCandidate['fit'], MessageKey>> = {
  'prefabricated-ots': 'part.fit-prefabricated-ots',
  'custom-fabricated': 'part.fit-custom-fabricated',
  addition: 'part.fit-addition',
  unlisted: 'part.fit-unlisted',
  modifier: 'part.fit-modifier',
}

const candidates = (facts: PlannedFacts, words: Words): Section =>
  section(
    'candidates',
    words.say('part.paper-candidates'),
    paragraph(words.say('paper-codes.none-chosen')),
    paragraph(words.say('paper-codes.hcpcs')),
    table(
      [words.say('part.paper-code'), words.say('part.paper-title'), words.say('part.paper-fit')],
      HCPCS_CANDIDATES.map(({ code, title, fit }) => [code, title, words.say(FIT_TITLES[fit])]),
    ),
    paragraph(words.say('paper-codes.icd')),
    table(
      [
        words.say('part.paper-code'),
        words.say('part.paper-title'),
        words.say('part.paper-recorded'),
      ],
      candidateDiagnoses(facts).map(({ code, title, isRecorded }) => [
        code,
        title,
        isRecorded ? words.say('part.paper-yes') : '',
      ]),
    ),
  )
