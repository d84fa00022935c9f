import { day, type Message, say, type Values } from '../domain/messages/message.ts'
import { type Axis, AXIS_HEIGHT, bottomAxis, gridLines } from './axes.ts'
import { INK, MIDDLE, PALE } from './ink.ts'
import { legend } from './legend.ts'
import { expectedMarks, seenMarks, todayMarks } from './milestone-marks.ts'
import { milestonesLegend } from './milestones-legend.ts'
import type { ExpectedAges, MilestoneRow, MilestonesPicture } from './milestones-picture.ts'
import { paceBlocks } from './pace-block.ts'
import { acrossScale, bar, upright } from './shapes.ts'
import { type Block, heading, MARGIN, paragraph, ROOM, type Sheet } from './sheet.ts'
import { mark } from './svg.ts'
import { label, linesOf, NORMAL, SMALL } from './text.ts'
import type { Words } from './words.ts'

export function milestonesSheet(picture: MilestonesPicture, words: Words): Sheet {
  const { age, isCorrected, rows, sentences } = picture
  const aged = words.of(
    say('milestones-picture.age', { age, used: isCorrected ? 'corrected' : 'chronological' }),
  )
  const told = sentences.map(words.of)
  const scale = acrossScale(0, picture.toMonths)
  const axis = {
    scale,
    ticks: 6,
    text: (value: number) => words.number(value),
    title: words.say('part.age-in-months', { used: isCorrected ? 'corrected' : 'chronological' }),
  }
  const said = rows.flatMap(({ because, expected }) => [
    because,
    ...(expected === undefined ? [] : [expected.because]),
  ])
  return {
    kind: 'milestones',
    title: words.say('part.milestones-picture'),
    description: [aged, ...said.map(words.of), ...told].join(' '),
    blocks: [
      paragraph(aged),
      ...rows.map((row) => rowBlock(row, { picture, axis, words })),
      { height: AXIS_HEIGHT, marks: bottomAxis(axis, 2) },
      legend(milestonesLegend(picture, words)),
      heading(words.say('part.pace')),
      ...paceBlocks(picture.paces, words),
      ...told.map((text) => paragraph(text)),
    ],
  }
}

interface On {
  readonly picture: MilestonesPicture
  readonly axis: Axis
  readonly words: Words
}

const BAND = 16
const STEP = 14

function rowBlock(row: MilestoneRow, { picture, axis, words }: On): Block {
  const { milestone, state, window, interval, expected } = row
  const { scale } = axis
  const texts = [seenText(row), ...(expected === undefined ? [] : [expectedText(expected)])]
  const lines = texts.flatMap((text) => linesOf(words.of(text), SMALL, ROOM))
  const top = NORMAL + 4 + lines.length * STEP + 2
  const y = top + BAND / 2
  const band = { y: top, height: BAND }
  const data = {
    'data-milestone': milestone,
    'data-state': state,
    'data-from': interval?.from,
    'data-to': interval?.to ?? undefined,
    ...Object.fromEntries(Object.entries(window).map(([name, value]) => [`data-${name}`, value])),
  }
  const marks = [
    label(
      words.title(say(`milestone.${milestone}`)),
      { x: MARGIN, y: NORMAL },
      { 'font-size': NORMAL, 'font-weight': 'bold' },
    ),
    ...lines.map((line, index) => label(line, { x: MARGIN, y: NORMAL + (index + 1) * STEP })),
    ...gridLines(axis, { top, bottom: top + BAND }),
    bar(scale, { from: window.p1, to: window.p99, ...band }, { fill: PALE }),
    bar(scale, { from: window.p25, to: window.p75, ...band }, { fill: MIDDLE }),
    upright(scale(window.p50), { top, bottom: top + BAND }, { stroke: INK, 'stroke-width': 1.2 }),
    ...todayMarks(picture, axis, { top: top - 2, bottom: top + BAND + 2 }),
    ...(expected === undefined ? [] : expectedMarks(expected, axis, y)),
    ...seenMarks(row, axis, y),
  ]
  return { height: top + BAND + 8, marks: [mark('g', data, marks)] }
}

/** Short, for beside the drawing; the whole sentence of the finding is in the description. */
function seenText({ state, interval }: MilestoneRow): Message {
  if (interval === undefined) return say(WITHOUT_AGES[state])
  const { from, to } = interval
  if (to === null)
    return from > 0 ? say('part.seen-not-yet', { from }) : say('part.seen-not-before-due')
  // Known to the day: both ages are the same as they are written.
  if (from > 0 && from.toFixed(1) === to.toFixed(1)) return say('part.seen-at', { to })
  return from > 0 ? say('part.seen-between', { from, to }) : say('part.seen-by', { to })
}

const WITHOUT_AGES = {
  attained: 'part.seen-regained',
  'not-yet': 'part.seen-lost',
  unknown: 'part.seen-unknown',
  'left-out': 'part.seen-left-out',
} as const

function expectedText({ earliest, median, latest }: ExpectedAges): Message {
  const values: Values = { median: day(median.on), earliest: day(earliest.on) }
  return latest === undefined
    ? say('part.expected-open', values)
    : say('part.expected-range', { ...values, latest: day(latest.on) })
}
