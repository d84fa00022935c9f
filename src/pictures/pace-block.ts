import { type Axis, AXIS_HEIGHT, bottomAxis, gridLines } from './axes.ts'
import { CHILD, INK } from './ink.ts'
import type { PaceRow } from './milestones-picture.ts'
import { acrossScale, dot, stroke, upright } from './shapes.ts'
import { type Block, MARGIN, paragraph, WIDTH } from './sheet.ts'
import { mark, type Mark } from './svg.ts'
import { label, SMALL } from './text.ts'
import type { Words } from './words.ts'

const ROW = 36
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
  const bottom = paces.length * ROW
  const marks = [
    ...paces.flatMap((pace, index) => paceMarks(pace, { axis, words, top: index * ROW })),
    ...bottomAxis(axis, bottom),
  ]
  return [{ height: bottom + AXIS_HEIGHT, marks }]
}

interface On {
  readonly axis: Axis
  readonly words: Words
  readonly top: number
}

function paceMarks({ of, value, interval }: PaceRow, { axis, words, top }: On): Mark[] {
  const { scale } = axis
  const { low, high } = interval
  const y = top + SMALL + 12
  const across = { top: y - 8, bottom: y + 8 }
  const ink = { stroke: CHILD, 'stroke-width': 3 }
  const ends = { top: y - 5, bottom: y + 5 }
  return [
    mark('g', { 'data-pace': of, 'data-value': value, 'data-low': low, 'data-high': high }, [
      label(words.say(NAMES[of]), { x: MARGIN, y: top + SMALL }),
      label(
        words.say('part.pace-value', { value, low, high }),
        { x: WIDTH - MARGIN, y: top + SMALL },
        { 'text-anchor': 'end' },
      ),
      ...gridLines(axis, across),
      upright(scale(TYPICAL), across, { stroke: INK, 'stroke-width': 1.6 }),
      stroke([scale(low), scale(high)], y, ink),
      upright(scale(low), ends, { ...ink, 'stroke-width': 2 }),
      upright(scale(high), ends, { ...ink, 'stroke-width': 2 }),
      dot({ x: scale(value), y }),
    ]),
  ]
}
