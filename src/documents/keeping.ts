import type { CivilDate } from '../domain/calendar.ts'
import { evidenceRef, type Recorded } from '../domain/facts.ts'
import { keepDocumentation, keepProofOfDelivery } from '../domain/law/record-duties.ts'
import { day, type Message, say } from '../domain/messages/message.ts'
import type { Words } from '../pictures/words.ts'
import type { DocumentFacts } from './document-facts.ts'
import { heading, list, type Piece } from './document.ts'

/** How long the papers of a packet are kept: each consent, also one that has ended, and the proof of delivery. */
export function keeping({ record, fitting, rules }: DocumentFacts, words: Words): readonly Piece[] {
  const { deadlines } = rules
  const consents = record.consents.map(({ on, until }): Message => {
    const dates = {
      createdOn: recorded(on, 'Consent'),
      lastInEffectOn: recorded(until, 'Consent'),
    }
    const { because } = keepDocumentation(dates, deadlines)
    return on === undefined
      ? say('paper-keeping.consent-undated', { because })
      : say('paper-keeping.consent', { on: day(on), because })
  })
  const delivered =
    fitting === undefined
      ? []
      : [
          keepProofOfDelivery(recorded(fitting.deliveredOn, 'DeviceUseStatement'), deadlines)
            .because,
        ]
  const all = [...consents, ...delivered]
  return all.length === 0
    ? []
    : [heading(words.say('part.paper-keeping')), ...list(all.map(words.of))]
}

const recorded = (on: CivilDate | undefined, type: string): Recorded<CivilDate> =>
  on === undefined ? 'unknown' : { value: on, on, evidence: evidenceRef(type) }
