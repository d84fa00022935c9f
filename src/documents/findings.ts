import { SIDES } from '../domain/child.ts'
import type { Message } from '../domain/messages/message.ts'
import { day, say } from '../domain/messages/message.ts'
import type { Finding } from '../domain/truth.ts'
import { drawPicture, type PictureKind } from '../pictures/picture.ts'
import type { Words } from '../pictures/words.ts'
import { termsOf } from '../domain/decision/rule-terms.ts'
import type { DocumentFacts } from './document-facts.ts'
import {
  heading,
  list,
  paragraph,
  picture,
  type Piece,
  type Section,
  section,
  table,
} from './document.ts'
import { capital } from './foot-history.ts'

/** What was found and decided, with each reason; a document's pictures stand with it. */
export function findings(
  facts: DocumentFacts,
  words: Words,
  pictures: readonly PictureKind[],
): Section {
  return section(
    'findings',
    words.say('part.paper-findings'),
    heading(words.say('part.paper-decision')),
    decision(facts, words),
    heading(words.say('part.paper-development')),
    list(development(facts).map(words.of)),
    heading(words.say('part.paper-feet')),
    list(posture(facts).map(words.of)),
    heading(words.say('part.paper-urgency')),
    paragraph(words.of(urgency(facts))),
    pictures.map((kind) => picture(drawPicture(kind, facts, words))),
  )
}

function decision({ triage }: DocumentFacts, words: Words): readonly Piece[] {
  const { because, statements, criteria, exclusions, redFlags } = triage.suitability
  const flags = redFlags.filter(({ holds }) => holds === 'yes')
  return [
    paragraph(words.of(because)),
    ...list(statements.map(words.of)),
    ...table(
      [
        words.say('part.paper-criterion'),
        words.say('part.paper-holds'),
        words.say('part.paper-why'),
      ],
      [...criteria, ...exclusions].map((one) => [
        capital(termsOf([one], one.holds).map(words.of).join(', ')),
        words.say(`part.answer-${one.holds}`),
        words.of(one.because),
      ]),
    ),
    ...(flags.length === 0 ? [] : [heading(words.say('part.paper-red-flags'))]),
    ...list(flags.map(({ because: why }) => words.of(why))),
  ]
}

export const development = ({ triage }: DocumentFacts): readonly Message[] => [
  ...triage.ages.findings.map(because),
  ...triage.milestones.statuses
    .filter(({ state }) => state !== 'left-out')
    .map(({ finding }) => finding.because),
  triage.tempo.finding.because,
  ...(triage.tempo.state === 'estimated' ? [triage.tempo.walkingPrognosis] : []),
]

export const posture = ({ triage }: DocumentFacts): readonly Message[] =>
  SIDES.flatMap((side) => {
    const foot = triage.posture[side]
    return [
      foot.excessivePronation.because,
      foot.flexible.because,
      foot.tightCalf.because,
      ...foot.remarks,
    ]
  })

const because = (finding: Finding): Message => finding.because

const urgency = ({ triage }: DocumentFacts): Message => {
  const { score, priority, seeBy } = triage.urgency
  return say('answer.urgency', { score, priority, seeBy: day(seeBy) })
}
