import { type Axis, AXIS_HEIGHT, bottomAxis, gridLines } from './axes.ts'
import { CHILD, INK } from './ink.ts'
import type { PaceRow } from './milestones-picture.ts'
import { acrossScale, dot, stroke, upright } from './shapes.ts'
import { type Block, nameAndValue, paragraph, stacked } from './sheet.ts'
import { mark } from './svg.ts'
import type { Words } from './words.ts'

const TYPICAL = 1
/** Twice the typical pace is rare; the axis is longer where an interval is. */
const LEAST_LAST = 1.5

const NAMES = {
  today: 'part.pace-today',
  before: 'part.pace-before',
  after: 'part.pace-after',
} as const

/** Each pace with its interval, against that of the typical child; a sentence where there is none. */
export function paceBlocks(paces: readonly PaceRow[], words: Words): Block[] {
  if (paces.length === 0) return [paragraph(words.say('milestones-picture.no-pace'))]
  const last = Math.max(LEAST_LAST, ...paces.map(({ interval }) => interval.high))
  const axis: Axis = {
    scale: acrossScale(0, last),
    ticks: 4,
    text: (value) => words.number(value, 1),
    title: words.say('part.pace-axis'),
  }
  const rows = paces.map((pace) => paceBlock(pace, axis, words))
  return [...rows, { height: AXIS_HEIGHT, marks: bottomAxis(axis, 0) }]
}

function paceBlock({ of, value, interval }: PaceRow, axis: Axis, words: Words): Block {
  const { scale } = axis
  const { low, high } = interval
  const y = 9
  const across = { top: y - 8, bottom: y + 8 }
  const ink = { stroke: CHILD, 'stroke-width': 3 }
  const ends = { top: y - 5, bottom: y + 5 }
  const { height, marks } = stacked([
    nameAndValue(words.say(NAMES[of]), words.say('part.pace-value', { value, low, high })),
    {
      height: 24,
      marks: [
        ...gridLines(axis, across),
        upright(scale(TYPICAL), across, { stroke: INK, 'stroke-width': 1.6 }),
        stroke([scale(low), scale(high)], y, ink),
        upright(scale(low), ends, { ...ink, 'stroke-width': 2 }),
        upright(scale(high), ends, { ...ink, 'stroke-width': 2 }),
        dot({ x: scale(value), y }),
      ],
    },
  ])
  const data = { 'data-pace': of, 'data-value': value, 'data-low': low, 'data-high': high }
  return { height, marks: [mark('g', data, marks)] }
}
