import { FPI6_BANDS } from '../domain/tables/foot-posture-index.ts'
import { say } from '../domain/messages/message.ts'
import { AXIS_HEIGHT, bottomAxis, type Axis } from './axes.ts'
import { CHILD, INK, MIDDLE, MUTED, PALE } from './ink.ts'
import { legend } from './legend.ts'
import type { PosturePicture, StandingFoot } from './posture-picture.ts'
import { acrossScale, bar, boxSample, FOOT_SHAPES, stroke, upright } from './shapes.ts'
import { type Block, heading, MARGIN, WIDTH } from './sheet.ts'
import { mark, type Mark } from './svg.ts'
import { label, SMALL } from './text.ts'
import type { Words } from './words.ts'

const ROW = 34
const TRACK = 10

/** The sum of the Foot Posture Index of each foot, in its bands and against other children of the age. */
export function indexBlock(picture: PosturePicture, words: Words): Block[] {
  const { feet, norm } = picture
  const [lowest, highest] = [FPI6_BANDS.bands[0].from, FPI6_BANDS.bands[4].to]
  const axis: Axis = {
    scale: acrossScale(lowest, highest),
    ticks: 8,
    text: (value) => words.number(value),
    title: words.say('part.index-points'),
  }
  const bottom = feet.length * ROW
  const rows = feet.map((foot, index) =>
    footMarks(foot, { picture, axis, words, top: index * ROW }),
  )
  return [
    heading(words.say('part.index-sum')),
    { height: bottom + AXIS_HEIGHT, marks: [...rows, ...bottomAxis(axis, bottom)] },
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
  readonly picture: PosturePicture
  readonly axis: Axis
  readonly words: Words
  readonly top: number
}

function footMarks({ side, index }: StandingFoot, { picture, axis, words, top }: On): Mark {
  const { scale } = axis
  const y = top + SMALL + 6
  const middle = y + TRACK / 2
  const data = {
    'data-index': side,
    'data-sum': index?.sum,
    'data-low': index?.low,
    'data-high': index?.high,
    'data-band': index?.band,
  }
  const { norm } = picture
  return mark('g', data, [
    label(words.say('part.foot-alone', { side }), { x: MARGIN, y: top + SMALL }),
    label(indexText(index, words), { x: WIDTH - MARGIN, y: top + SMALL }, { 'text-anchor': 'end' }),
    ...FPI6_BANDS.bands.map(({ band, from, to }) =>
      // Whole points: each band reaches half a point beyond its ends.
      bar(
        scale,
        {
          from: Math.max(from - 0.5, scale.domain()[0] ?? from),
          to: Math.min(to + 0.5, scale.domain()[1] ?? to),
          y,
          height: TRACK,
        },
        { fill: band === 'normal' ? MIDDLE : PALE, stroke: MUTED, 'stroke-width': 0.5 },
      ),
    ),
    ...(norm === undefined
      ? []
      : normMarks([scale(norm.low), scale(norm.mean), scale(norm.high)], middle)),
    ...(index === undefined || index.sum !== undefined
      ? []
      : [
          stroke([scale(index.low), scale(index.high)], middle, {
            stroke: CHILD,
            'stroke-width': 3,
            'stroke-dasharray': '3 2',
          }),
        ]),
    ...(index?.sum === undefined ? [] : [FOOT_SHAPES[side]({ x: scale(index.sum), y: middle })]),
  ])
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
