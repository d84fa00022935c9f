import type { Side } from '../domain/child.ts'
import type { WornCourse } from '../domain/follow-up/worn-course.ts'
import { type Message, say } from '../domain/messages/message.ts'
import type { WearDay, WearSchedule } from '../domain/plan/fitting.ts'
import type { Words } from '../pictures/words.ts'
import { type DocumentFacts, isPlanned } from './document-facts.ts'
import { blanks, heading, list, paragraph, type Section, section, table } from './document.ts'
import { capital } from './foot-history.ts'
import { followUpSection, planSection, visits } from './plan-sections.ts'
import { sinceFitting, wornVisits, wornWear } from './worn-sections.ts'

/**
 * The sheet for the family, in plain words, with what published leaflets tell of socks, heel, straps, skin, wear
 * and shoes (SOURCES orthosis-leaflets; of ankle-foot orthoses, none of supramalleolar ones). Limits and times are those of the clinic's rule set, beside a place
 * where the clinic writes others; whom to call is for the clinic to fill in.
 *
 * @param words in the voice for the family
 */
export const familySheet = (facts: DocumentFacts, words: Words): readonly Section[] => [
  section(
    'child',
    words.say('part.paper-child'),
    paragraph(
      words.say('paper-family.hello', {
        child: facts.record.child.name ?? say('part.paper-your-child'),
      }),
    ),
  ),
  ...sinceFitting(facts, words),
  section(
    'findings',
    words.say('part.paper-findings'),
    paragraph(words.of(facts.triage.suitability.because)),
  ),
  ...supports(facts, words),
  contact(words),
  followUp(facts, words),
  section(
    'cautions',
    words.say('part.cautions'),
    paragraph(words.say('caution.physician-at-once')),
    paragraph(words.say('paper-family.ask')),
  ),
]

/** No device is proposed: what is advised instead, and that play goes on. */
function withoutDevice(facts: DocumentFacts, words: Words): Section {
  const { pieces, ...plan } = planSection(facts, words)
  return { ...plan, pieces: [...pieces, paragraph(words.say('paper-duty.family-plays'))] }
}

/** The supports that a child has, or else those that are proposed. */
interface Supports {
  readonly sides: readonly Side[]
  readonly advice: readonly Message[]
  readonly wear: WearSchedule
  readonly stopRules: readonly Message[]
  /** None before the delivery. */
  readonly worn?: WornCourse
}

function supportsOf({ plan, fitting }: DocumentFacts): Supports | undefined {
  if (fitting !== undefined)
    return { ...fitting, sides: fitting.devices.map(({ side }) => side), worn: fitting }
  if (plan === undefined) return undefined
  const advice = plan.devices.flatMap(({ materials, shoe }) => [...materials, ...shoe])
  return { ...plan, sides: plan.devices.map(({ side }) => side), advice }
}

function supports(facts: DocumentFacts, words: Words): readonly Section[] {
  const some = supportsOf(facts)
  if (some === undefined) return [withoutDevice(facts, words)]
  return [
    which(some, words),
    wear(some, words),
    skin(facts, words),
    section('stop', words.say('part.paper-stop-and-call'), list(some.stopRules.map(words.of))),
  ]
}

const which = ({ sides, advice, worn }: Supports, words: Words): Section =>
  section(
    'plan',
    words.say('part.paper-plan'),
    paragraph(words.say(worn === undefined ? 'paper-plan.proposal' : 'paper-worn.in-use')),
    list(sides.map((side) => capital(words.say('part.orthosis-of-foot', { side })))),
    list(advice.map(words.of)),
    worn?.isStopped === true
      ? []
      : [heading(words.say('part.paper-put-on')), paragraph(words.say('paper-family.put-on'))],
  )

/** No times for what must stay off. */
const wear = ({ wear: { days, wording }, worn }: Supports, words: Words): Section =>
  section(
    'wear',
    words.say('part.paper-wear-table'),
    worn === undefined ? paragraph(words.of(wording)) : wornWear(worn, words),
    worn?.isStopped === true
      ? []
      : [
          paragraph(words.say('paper-family.clinic-first')),
          ...table(
            [
              words.say('part.day'),
              words.say('part.paper-from-plan'),
              words.say('part.paper-by-clinic'),
            ],
            steps(days).map(({ from, to, minutes }) => [
              words.say('part.paper-days', { from, to: to === from ? 0 : to }),
              time(minutes, words),
              '',
            ]),
          ),
        ],
  )

function followUp(facts: DocumentFacts, words: Words): Section {
  if (!isPlanned(facts) && facts.fitting === undefined) return followUpSection(facts, words)
  const pieces = facts.fitting === undefined ? [] : wornVisits(facts.fitting, words)
  return section(
    'follow-up',
    words.say('part.paper-follow-up'),
    isPlanned(facts) ? visits(facts, words) : pieces,
  )
}

const MINUTES_PER_HOUR = 60

const time = (minutes: number, words: Words): string =>
  words
    .say('part.paper-time', {
      hours: Math.floor(minutes / MINUTES_PER_HOUR),
      minutes: minutes % MINUTES_PER_HOUR,
    })
    .trim()

interface Step {
  readonly from: number
  readonly to: number
  readonly minutes: number
}

/** Days with the same time stand in one row. */
function steps(days: readonly WearDay[]): readonly Step[] {
  const found: Step[] = []
  for (const { day: on, minutes } of days) {
    const last = found.at(-1)
    if (last?.minutes === minutes) found[found.length - 1] = { ...last, to: on }
    else found.push({ from: on, to: on, minutes })
  }
  return found
}

function skin({ rules }: DocumentFacts, words: Words): Section {
  const { rednessTellMinutes: tell, rednessStopMinutes: stop } = rules.fitting
  return section(
    'examination',
    words.say('part.paper-skin'),
    paragraph(words.say('paper-family.look-at-skin')),
    table(
      [
        words.say('part.paper-what'),
        words.say('part.paper-from-plan'),
        words.say('part.paper-by-clinic'),
      ],
      [
        [
          words.say('part.paper-redness-tell'),
          words.say('part.paper-minutes', { minutes: tell }),
          '',
        ],
        [
          words.say('part.paper-redness-stop'),
          words.say('part.paper-minutes', { minutes: stop }),
          '',
        ],
      ],
    ),
  )
}

const contact = (words: Words): Section =>
  section(
    'contact',
    words.say('part.paper-whom-to-call'),
    blanks(
      words.say('part.paper-call-name'),
      words.say('part.paper-call-phone'),
      words.say('part.paper-call-hours'),
      words.say('part.paper-call-else'),
    ),
  )
