import type { MessageKey } from '../domain/messages/catalogues.ts'
import type { Words } from '../pictures/words.ts'
import type { DocumentFacts } from './document-facts.ts'
import { type Section, section, table } from './document.ts'

type Duty = readonly [who: MessageKey, does: MessageKey]

/** Who does what from now on. */
export const dutiesSection = (facts: DocumentFacts, words: Words): Section =>
  section(
    'duties',
    words.say('part.paper-duties'),
    table(
      [words.say('part.paper-who'), words.say('part.paper-does')],
      duties(facts).map(([who, does]) => [words.say(who), words.say(does)]),
    ),
  )

function duties({ plan, triage, fitting }: DocumentFacts): readonly Duty[] {
  const { outcome, recheckOn, redFlags } = triage.suitability
  const physicianFirst: readonly Duty[] = redFlags.some(({ holds }) => holds === 'yes')
    ? [['part.paper-physician', 'paper-duty.physician-first']]
    : []
  if (fitting !== undefined)
    return [
      [
        'part.paper-clinic',
        fitting.isStopped ? 'paper-duty.clinic-sees' : 'paper-duty.clinic-checks',
      ],
      ['part.paper-referrer', 'paper-duty.referrer-observes'],
      ...physicianFirst,
      [
        'part.paper-family',
        fitting.isStopped ? 'paper-duty.family-leaves-off' : 'paper-duty.family-wears',
      ],
    ]
  if (plan !== undefined)
    return [
      ['part.paper-clinic', 'paper-duty.clinic-fits'],
      ['part.paper-referrer', 'paper-duty.referrer-observes'],
      ...physicianFirst,
      ['part.paper-physician', 'paper-duty.physician-signs'],
      ['part.paper-family', 'paper-duty.family-wears'],
    ]
  const family: Duty = ['part.paper-family', 'paper-duty.family-plays']
  if (outcome === 'undetermined')
    return [
      ['part.paper-clinic', 'paper-duty.clinic-asks'],
      ['part.paper-referrer', 'paper-duty.referrer-sends'],
      ...physicianFirst,
      family,
    ]
  return [
    [
      'part.paper-clinic',
      recheckOn === undefined ? 'paper-duty.clinic-advises' : 'paper-duty.clinic-rechecks',
    ],
    ['part.paper-referrer', 'paper-duty.referrer-leads'],
    ...physicianFirst,
    family,
  ]
}
