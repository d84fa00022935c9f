import { CAUTIONS } from '../domain/cautions.ts'
import { day, type Message, say } from '../domain/messages/message.ts'
import type { Speaker } from '../domain/messages/speaker.ts'
import type { Triage } from '../domain/triage.ts'
import { isRedFlag } from '../domain/decision/red-flags.ts'
import { FACT_QUESTIONS } from './information-questions.ts'
import { linkOf, neededObservations } from './needed-observations.ts'

/** All that a card says at length, as the markdown of CDS Hooks. */
export function cardDetail(
  triage: Triage,
  { speaker, referred }: { readonly speaker: Speaker; readonly referred: Message | undefined },
): string {
  const { suitability, urgency, ruleSet, asOf } = triage
  const say_ = (message: Message) => escaped(speaker.therapist(message))
  const items = (messages: readonly Message[]) => messages.map((one) => `- ${say_(one)}`).join('\n')
  const headed = (title: Message, text: string) => (text === '' ? [] : [`**${say_(title)}**`, text])
  const rules = `${ruleSet.id} ${ruleSet.version}`
  return [
    ...(referred === undefined ? [] : [say_(referred)]),
    ...headed(
      say('part.advice-why'),
      items([suitability.because, ...suitability.pathways, ...suitability.statements]),
    ),
    ...headed(say('part.advice-how-soon'), items(urgencySentences(urgency))),
    ...headed(say('part.advice-missing'), missingItems(triage, speaker)),
    ...headed(
      say('part.cautions'),
      items([...CAUTIONS, say('advice.from-request', { on: day(asOf), ruleSet: rules })]),
    ),
  ].join('\n\n')
}

/** How soon, what raised it, and every part of the score. */
export function urgencySentences({
  score,
  priority,
  seeBy,
  raisedBy,
  contributions,
}: Triage['urgency']): readonly Message[] {
  const raising = raisedBy.filter(isRedFlag)
  return [
    say('answer.urgency', { score, priority, seeBy: day(seeBy) }),
    ...(raising.length === 0
      ? []
      : [say('answer.urgency-raised', { rules: raising.map((rule) => say(`red-flag.${rule}`)) })]),
    ...contributions.map(({ points, max, because }) =>
      say('answer.contribution', { points, max, because }),
    ),
  ]
}

const QUESTIONS = new Map(FACT_QUESTIONS.map(({ linkId, text }) => [linkId, text]))

/** The observations that would decide, each with the code under which it is looked for. */
const missingItems = ({ suitability }: Triage, speaker: Speaker): string =>
  neededObservations(suitability.missing)
    .map(({ code, side, because }) => {
      const link = linkOf(code, side)
      return `- ${escaped(speaker.therapist(QUESTIONS.get(link) ?? because))} (\`${link}\`)`
    })
    .join('\n')

/** What markdown or a page would take for something else than text. */
const escaped = (text: string): string => text.replaceAll(/[\\`*_[\]<>|#]/g, String.raw`\$&`)
