import { maySignOrder } from '../fhir/paper-record.ts'
import type { Words } from '../pictures/words.ts'
import { missingOf, rowsOf } from './checklist.ts'
import type { PlannedFacts } from './document-facts.ts'
import { list, paragraph, type Section, section, table } from './document.ts'
import { STANDARD_WRITTEN_ORDER } from './order-checklist.ts'
import { orthosis } from './device-table.ts'
import { childSection, personText } from './referral-sections.ts'
import { sinceFitting } from './worn-sections.ts'

/**
 * The order of what is proposed, with every element of a standard written order, for the practitioner to
 * complete and sign.
 *
 * @see SOURCES medicare-410-38-order
 */
export function order(facts: PlannedFacts, words: Words): readonly Section[] {
  const open = missingOf(STANDARD_WRITTEN_ORDER, facts, words)
  return [
    childSection(facts, words),
    ...sinceFitting(facts, words),
    section(
      'elements',
      words.say('part.paper-elements'),
      paragraph(words.say('paper-order.not-an-order')),
      table(
        [words.say('part.paper-element'), words.say('part.paper-on-record')],
        rowsOf(STANDARD_WRITTEN_ORDER, facts, words),
      ),
      list(signers(facts, words)),
    ),
    section(
      'items',
      words.say('part.paper-items'),
      table(
        [words.say('part.paper-description'), words.say('part.paper-quantity')],
        facts.plan.devices.map((device) => [words.of(orthosis(device)), '1']),
      ),
      list(
        facts.plan.devices.flatMap(({ materials, shoe }) => [...materials, ...shoe]).map(words.of),
      ),
    ),
    section('missing', words.say('part.paper-missing'), list(open)),
    section('cautions', words.say('part.cautions'), list(facts.plan.cautions.map(words.of))),
  ]
}

/** Who signs, and why the referrer does not where no qualification for it is on record. */
function signers({ record: { referrer, prescriber } }: PlannedFacts, words: Words): string[] {
  const named = prescriber === undefined ? undefined : personText(prescriber)
  const sent = referrer === undefined ? undefined : personText(referrer)
  return [
    words.say('paper-order.who-signs'),
    ...(named === undefined ? [] : [words.say('paper-order.named', { who: named })]),
    ...(sent === undefined || referrer === undefined || maySignOrder(referrer)
      ? []
      : [words.say('paper-order.referrer-does-not-sign', { who: sent })]),
  ]
}
