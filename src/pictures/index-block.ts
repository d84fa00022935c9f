import { FPI6_BANDS } from '../domain/tables/foot-posture-index.ts'
import { say } from '../domain/messages/message.ts'
import { AXIS_HEIGHT, bottomAxis, type Axis } from './axes.ts'
import { CHILD, INK, MIDDLE, MUTED, PALE } from './ink.ts'
import { legend } from './legend.ts'
import type { PosturePicture, StandingFoot } from './posture-picture.ts'
import { acrossScale, bar, boxSample, FOOT_SHAPES, stroke, upright } from './shapes.ts'
import { type Block, heading, nameAndValue, stacked } from './sheet.ts'
import { mark, type Mark } from './svg.ts'
import type { Words } from './words.ts'

const TRACK = 10

/** The sum of the Foot Posture Index of each foot, in its bands and against other children of the age. */
export function indexBlocks(picture: PosturePicture, words: Words): Block[] {
  const { feet, norm } = picture
  const [lowest, highest] = [FPI6_BANDS.bands[0].from, FPI6_BANDS.bands[4].to]
  const axis: Axis = {
    scale: acrossScale(lowest, highest),
    ticks: 8,
    text: (value) => words.number(value),
    title: words.say('part.index-points'),
  }
  return [
    heading(words.say('part.index-sum')),
    ...feet.map((foot) => footBlock(foot, { norm, axis, words })),
    { height: AXIS_HEIGHT, marks: bottomAxis(axis, 0) },
    legend([
      { text: words.say('part.index-usual'), sample: boxSample(MIDDLE) },
      ...(norm === undefined
        ? []
        : [
            {
              text: words.say('part.index-norm', norm),
              sample: ({ x, y }: { x: number; y: number }) => normMarks([x - 11, x, x + 11], y),
            },
          ]),
    ]),
  ]
}

interface On {
  readonly norm: PosturePicture['norm']
  readonly axis: Axis
  readonly words: Words
}

function footBlock({ side, index }: StandingFoot, { norm, axis, words }: On): Block {
  const { scale } = axis
  const middle = TRACK / 2 + 1
  const data = {
    'data-index': side,
    'data-sum': index?.sum,
    'data-low': index?.low,
    'data-high': index?.high,
    'data-band': index?.band,
  }
  const marks = [
    ...bandMarks(axis),
    ...(norm === undefined
      ? []
      : normMarks([scale(norm.low), scale(norm.mean), scale(norm.high)], middle)),
    ...(index === undefined || index.sum !== undefined
      ? []
      : [stroke([scale(index.low), scale(index.high)], middle, BOUNDS)]),
    ...(index?.sum === undefined ? [] : [FOOT_SHAPES[side]({ x: scale(index.sum), y: middle })]),
  ]
  const all = stacked([
    nameAndValue(words.say('part.foot-alone', { side }), indexText(index, words)),
    { height: TRACK + 8, marks },
  ])
  return { height: all.height, marks: [mark('g', data, all.marks)] }
}

const BOUNDS = { stroke: CHILD, 'stroke-width': 3, 'stroke-dasharray': '3 2' }

/** Of whole points: each band reaches half a point beyond its ends. */
function bandMarks({ scale }: Axis): Mark[] {
  const [first = 0, last = 0] = scale.domain()
  return FPI6_BANDS.bands.map(({ band, from, to }) => {
    const ends = { from: Math.max(from - 0.5, first), to: Math.min(to + 0.5, last) }
    const fill = band === 'normal' ? MIDDLE : PALE
    return bar(
      scale,
      { ...ends, y: 1, height: TRACK },
      { fill, stroke: MUTED, 'stroke-width': 0.5 },
    )
  })
}

function indexText(index: StandingFoot['index'], words: Words): string {
  if (index === undefined) return words.say('part.index-unknown')
  const { sum, low, high, band } = index
  if (sum === undefined) return words.say('part.index-between', { low, high })
  return words.say('part.index-value', {
    sum,
    band: band === undefined ? '' : say(`fpi-band.${band}`),
  })
}

const normMarks = ([low, mean, high]: readonly [number, number, number], y: number): Mark[] => [
  stroke([low, high], y, { stroke: INK, 'stroke-width': 1 }),
  ...[low, mean, high].map((x) =>
    upright(x, { top: y - 5, bottom: y + 5 }, { stroke: INK, 'stroke-width': 1 }),
  ),
]
