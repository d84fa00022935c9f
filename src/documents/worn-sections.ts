import type { WornCourse } from '../domain/follow-up/worn-course.ts'
import { visitReport } from '../domain/follow-up/visit-report.ts'
import { day, type Message, say } from '../domain/messages/message.ts'
import type { Words } from '../pictures/words.ts'
import { followed, goalTable } from './course-tables.ts'
import type { DocumentFacts } from './document-facts.ts'
import { heading, list, paragraph, type Piece, type Section, section } from './document.ts'
import { capital } from './foot-history.ts'
import { devices, sized } from './device-table.ts'

// What papers say of devices that were delivered: what visits found counts before what was once proposed.

/** How it has gone since the delivery; nothing for a child who wears no device. */
export const sinceFitting = ({ fitting }: DocumentFacts, words: Words): readonly Section[] =>
  fitting === undefined
    ? []
    : [
        section(
          'since-fitting',
          words.say('part.paper-since-fitting'),
          fitting.isPaused === true ? heading(words.say('paper-worn.paused')) : [],
          (fitting.found.outcome === 'stop' ? heading : paragraph)(words.of(fitting.found.because)),
          paragraph(
            words.say('paper-worn.delivered', { on: day(fitting.deliveredOn), day: fitting.day }),
          ),
          list(fitting.devices.map((device) => capital(words.of(worn(device))))),
          list(found(fitting).map(words.of)),
        ),
      ]

const worn = ({ side, size }: WornCourse['devices'][number]): Message =>
  size === 'unknown'
    ? say('part.paper-orthosis-size-not-on-record', { side })
    : sized({ side, state: 'sized', code: size.code })

/** What was found since the delivery and what is to be done; what must come off first. */
function found({ found: { stopSigns, lost, wear, change, ...visit } }: WornCourse): Message[] {
  const harms = [...stopSigns, lost].filter(({ holds }) => holds === 'yes')
  const report = visitReport({ stopSigns, lost, wear, change, ...visit })
  return [
    ...harms.flatMap(({ because, wording }) => [because, ...(wording ? [wording] : [])]),
    ...report.filter((message) => message !== visit.because),
    ...(wear.holds === 'unknown' ? [] : [wear.wording ?? wear.because]),
    change.finding.because,
  ]
}

/** What holds for devices in use, and which ones follow those that are outgrown. */
export function wornPlan(
  fitting: WornCourse,
  { plan, triage }: DocumentFacts,
  words: Words,
): readonly Piece[] {
  const isOutgrown = fitting.found.outgrown.some(({ finding }) => finding.holds === 'yes')
  return [
    paragraph(words.say('paper-worn.in-use')),
    ...(plan === undefined
      ? [
          paragraph(words.say('paper-worn.none-today')),
          paragraph(words.of(triage.suitability.because)),
        ]
      : []),
    ...(isOutgrown && plan !== undefined
      ? [heading(words.say('part.paper-next-devices')), ...devices(plan, words)]
      : []),
    heading(words.say('part.wear')),
    ...wornWear(fitting, words),
    heading(words.say('part.stop')),
    ...list(fitting.stopRules.map(words.of)),
  ]
}

/** How long they are worn, or that they are not. */
export const wornWear = ({ isStopped, wear, deliveredOn, day: on }: WornCourse, words: Words) =>
  isStopped
    ? [paragraph(words.say('wear-picture.stopped'))]
    : [
        paragraph(words.of(wear.wording)),
        paragraph(words.say('wear-picture.day', { on: day(deliveredOn), day: on })),
      ]

/** When the child is seen again, counted from the delivery. */
export const wornVisits = (
  { isStopped, deliveredOn, followUps }: WornCourse,
  words: Words,
): readonly Piece[] => [
  ...(isStopped ? [paragraph(words.say('paper-follow-up.before-wearing'))] : []),
  paragraph(
    words.say(followUps.length === 0 ? 'paper-follow-up.all-past' : 'paper-follow-up.delivered', {
      on: day(deliveredOn),
    }),
  ),
  ...followed(followUps, words),
]

export const wornFollowUp = (fitting: WornCourse, words: Words): readonly Piece[] => [
  ...wornVisits(fitting, words),
  heading(words.say('part.goals')),
  ...goalTable(fitting.goals, words),
]
