import {
  type Child,
  type Dimension,
  DIMENSIONS,
  type Foot,
  type Measurement,
  type Side,
  SIDES,
} from '../domain/child.ts'
import type { Fact, Recorded } from '../domain/facts.ts'
import type { MessageKey } from '../domain/messages/catalogues.ts'
import { day, type Message, say } from '../domain/messages/message.ts'
import type { Words } from '../pictures/words.ts'
import { heading, type Piece, table } from './document.ts'

export const capital = (text: string): string =>
  text === '' ? text : (text[0] ?? '').toLocaleUpperCase() + text.slice(1)

export const seen = (value: boolean): Message =>
  say(value ? 'part.paper-seen' : 'part.paper-not-seen')
export const number = (value: number): Message => say('part.paper-number', { value })

const degrees = (value: number): Message => say('part.paper-degrees', { value })

/** What is told of a foot, in the order of an examination. */
export const OF_FOOT: readonly (readonly [MessageKey, (foot: Foot) => Recorded<Message>])[] = [
  ['fact.fpi', ({ fpi }) => said(fpi, fpiItems)],
  ['fact.heelEversion', (foot) => said(foot.heelEversion, degrees)],
  [
    'fact.navicularDrop',
    (foot) => said(foot.navicularDrop, (mm) => say('part.millimetres', { mm })),
  ],
  ['fact.staheliIndex', (foot) => said(foot.staheliIndex, number)],
  [
    'fact.chippauxSmirakPercent',
    (foot) => said(foot.chippauxSmirakPercent, (value) => say('part.paper-percent', { value })),
  ],
  ['fact.archSeenUnloaded', (foot) => said(foot.archSeenUnloaded, seen)],
  ['fact.tiptoeArchAndHeelInversion', (foot) => said(foot.tiptoeArchAndHeelInversion, seen)],
  ['fact.greatToeExtensionRaisesArch', (foot) => said(foot.greatToeExtensionRaisesArch, seen)],
  ['fact.ankleDorsiflexion', (foot) => said(foot.ankleDorsiflexion, degrees)],
  ['fact.ankleDorsiflexionKneeBent', (foot) => said(foot.ankleDorsiflexionKneeBent, degrees)],
  ['fact.kneeAngle', (foot) => said(foot.kneeAngle, degrees)],
  [
    'fact.ashworthCalf',
    (foot) => said(foot.ashworthCalf, (grade) => say('part.answer-ashworth', { grade })),
  ],
  ['fact.openSkin', (foot) => said(foot.openSkin, seen)],
  ['fact.insensate', (foot) => said(foot.insensate, seen)],
  ['fact.rockerBottomOrStiffHindfoot', (foot) => said(foot.rockerBottomOrStiffHindfoot, seen)],
]

const said = <T>(recorded: Recorded<T>, found: (value: T) => Message): Recorded<Message> =>
  recorded === 'unknown' ? 'unknown' : { ...recorded, value: found(recorded.value) }

const fpiItems = (items: Readonly<Partial<Record<number, number>>>): Message =>
  say('part.paper-fpi', {
    items: Object.entries(items).map(([item, score]) =>
      score === undefined
        ? say('part.fpi-item-not-judged', { item: Number(item) })
        : say('part.fpi-item', { item: Number(item), score }),
    ),
  })

const lastMeasurement = (
  child: Child,
  side: Side,
  dimension: Dimension,
): Fact<Measurement> | undefined => child.feet[side].measurements[dimension].at(-1)

/** What was found of each foot, side by side, each with its day. */
export function footHistory(child: Child, words: Words): readonly Piece[] {
  const cell = (recorded: Recorded<Message>) =>
    recorded === 'unknown'
      ? words.say('part.paper-not-on-record')
      : `${words.of(recorded.value)} · ${words.say('part.day-alone', { on: day(recorded.on) })}`
  const findings = OF_FOOT.map(
    ([what, of]) => [say(what), ...SIDES.map((side) => of(child.feet[side]))] as const,
  )
  const measures = DIMENSIONS.map(
    (dimension) =>
      [
        say(`dimension.${dimension}`),
        ...SIDES.map((side): Recorded<Message> => {
          const last = lastMeasurement(child, side, dimension)
          if (last === undefined) return 'unknown'
          const { mm, loading } = last.value
          return { ...last, value: say('part.paper-mm-loaded', { mm, loading }) }
        }),
      ] as const,
  )
  const rows = [...findings, ...measures]
    .filter(([, left, right]) => left !== 'unknown' || right !== 'unknown')
    .map(([what, left, right]) => [
      capital(words.of(what)),
      cell(left ?? 'unknown'),
      cell(right ?? 'unknown'),
    ])
  if (rows.length === 0) return []
  const head = [
    words.say('part.paper-what'),
    words.say('part.paper-left'),
    words.say('part.paper-right'),
  ]
  return [heading(words.say('part.paper-of-foot')), ...table(head, rows)]
}
