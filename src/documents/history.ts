import type { CivilDate } from '../domain/calendar.ts'
import {
  type Child,
  RED_FLAG_SIGNS,
  SIDES,
  SIGNS,
  type StandardisedResult,
} from '../domain/child.ts'
import type { Recorded } from '../domain/facts.ts'
import { day, type Message, say } from '../domain/messages/message.ts'
import type { MessageKey } from '../domain/messages/catalogues.ts'
import type { Words } from '../pictures/words.ts'
import type { DocumentFacts } from './document-facts.ts'
import { capital, footHistory, number, OF_FOOT, seen } from './foot-history.ts'
import { heading, list, paragraph, type Piece, type Section, section, table } from './document.ts'

type Row = readonly [what: Message, found: Message, on: CivilDate]

/** What was on record about the child and was considered: each fact with what it says and its day. */
export function history({ triage, record }: DocumentFacts, words: Words): Section {
  const { child } = triage
  const head = [
    words.say('part.paper-what'),
    words.say('part.paper-found'),
    words.say('part.paper-day'),
  ]
  const rows = (some: readonly Row[]) =>
    some.map(([what, found, on]) => [
      capital(words.of(what)),
      words.of(found),
      words.say('part.day-alone', { on: day(on) }),
    ])
  const titled = (title: MessageKey, some: readonly Row[]): readonly Piece[] =>
    some.length === 0 ? [] : [heading(words.say(title)), ...table(head, rows(some))]
  return section(
    'history',
    words.say('part.paper-history'),
    heading(words.say('part.paper-diagnoses')),
    record.diagnoses.length === 0
      ? paragraph(words.say('part.paper-not-on-record'))
      : list(record.diagnoses.map(({ text, code }) => withCode(text, code))),
    titled('part.paper-of-child', ofChild(child)),
    titled('part.paper-milestones', skills(child)),
    titled('part.paper-signs', signs(child)),
    ...footHistory(child, words),
    unknown(child, words),
  )
}

export const withCode = (text: string, code: string | undefined): string =>
  code === undefined || text.includes(code) ? text : `${text} (${code})`

const known = <T>(
  what: Message,
  recorded: Recorded<T>,
  found: (value: T) => Message,
): readonly Row[] =>
  recorded === 'unknown' ? [] : [[what, found(recorded.value), recorded.on] as const]

const DAYS_PER_WEEK = 7

function ofChild(child: Child): readonly Row[] {
  return [
    ...known(say('fact.gestationDays'), child.gestationDays, (days) =>
      say('part.paper-weeks', {
        weeks: Math.floor(days / DAYS_PER_WEEK),
        days: days % DAYS_PER_WEEK,
      }),
    ),
    ...known(say('fact.standardised'), child.standardised, result),
    ...known(say('fact.tone'), child.tone, (tone) => say(`part.answer-tone-${tone}`)),
    ...known(say('fact.beighton'), child.beighton, number),
    ...known(say('fact.medicalReview'), child.medicalReview, seen),
    ...known(say('fact.shoeSize'), child.shoeSize, ({ system, size }) =>
      say(`shoe-size.${system}`, { size }),
    ),
  ]
}

function result(found: StandardisedResult): Message {
  switch (found.kind) {
    case 'percent-delay':
      return say('part.paper-standardised', { kind: 'percent', value: found.percent })
    case 'z-score':
      return say('part.paper-standardised', { kind: 'z', value: found.z })
    case 'standard-score':
      return say('part.paper-standardised', { kind: 'score', value: found.score })
  }
}

function skills({ milestoneChecks, skillChecks }: Child): readonly Row[] {
  const ofMilestones = milestoneChecks.map(({ value, on }): Row => {
    const { milestone, attained, attainedOn, reportedBy } = value
    const found = attained ? attainment(attainedOn) : say('part.paper-not-attained')
    const told =
      reportedBy === 'caregiver' ? say('part.paper-by-caregiver', { what: found }) : found
    return [say(`milestone.${milestone}`), told, on]
  })
  const ofSkills = skillChecks.map(
    ({ value: { skill, attained }, on }): Row => [
      say(`skill.${skill}`),
      attained ? say('part.paper-attained') : say('part.paper-not-attained'),
      on,
    ],
  )
  return byDay([...ofMilestones, ...ofSkills])
}

const attainment = (on: CivilDate | undefined): Message =>
  on === undefined ? say('part.paper-attained') : say('part.paper-attained-on', { on: day(on) })

const byDay = (rows: readonly Row[]): readonly Row[] =>
  rows.toSorted(([, , a], [, , b]) => a.localeCompare(b))

const signs = (child: Child): readonly Row[] => [
  ...SIGNS.flatMap((sign) => known(say(`sign.${sign}`), child.signs[sign], seen)),
  ...RED_FLAG_SIGNS.flatMap((sign) => known(say(`fact.${sign}`), child.redFlags[sign], seen)),
]

/** What nobody looked at is said too: it is never taken for absent. */
function unknown(child: Child, words: Words): readonly Piece[] {
  const open = [
    ...(child.gestationDays === 'unknown' ? [say('fact.gestationDays')] : []),
    ...(child.tone === 'unknown' ? [say('fact.tone')] : []),
    ...SIGNS.filter((sign) => child.signs[sign] === 'unknown').map((sign) => say(`sign.${sign}`)),
    ...RED_FLAG_SIGNS.filter((sign) => child.redFlags[sign] === 'unknown').map((sign) =>
      say(`fact.${sign}`),
    ),
    ...OF_FOOT.filter(([, of]) => SIDES.every((side) => of(child.feet[side]) === 'unknown')).map(
      ([what]) => say(what),
    ),
  ]
  if (open.length === 0) return []
  return [heading(words.say('part.paper-not-recorded')), ...list(open.map(words.of).map(capital))]
}
