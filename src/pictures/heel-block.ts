import type { Side } from '../domain/child.ts'
import { type Axis, AXIS_HEIGHT, bottomAxis, gridLines } from './axes.ts'
import { MIDDLE, PALE } from './ink.ts'
import { legend } from './legend.ts'
import type { PosturePicture } from './posture-picture.ts'
import { acrossScale, bar, boxSample, FOOT_SHAPES } from './shapes.ts'
import { type Block, heading, nameAndValue, paragraph, stacked } from './sheet.ts'
import { mark } from './svg.ts'
import type { Words } from './words.ts'

const TRACK = 10
/** Degrees between which usual heels lie; a heel beyond them makes the axis longer. */
const USUAL = { from: -5, to: 15 }

/** The heels in standing against what is said of the age; a sentence for a heel that was not measured. */
export function heelBlocks({ feet, heelForAge }: PosturePicture, words: Words): Block[] {
  const measured = feet.flatMap(({ side, heel }) => (heel === undefined ? [] : [{ side, heel }]))
  const title = heading(words.say('part.heel'))
  if (measured.length === 0) return [title, paragraph(words.say('posture-picture.no-heel'))]
  const heels = measured.map(({ heel }) => heel)
  const from = Math.min(USUAL.from, ...heels)
  const to = Math.max(USUAL.to, ...heels)
  const axis: Axis = {
    scale: acrossScale(from, to),
    ticks: 5,
    text: (value) => words.number(value),
    title: words.say('part.heel-degrees'),
  }
  const rows = measured.map((one) => footBlock(one, { axis, heelForAge, words }))
  return [
    title,
    ...rows,
    { height: AXIS_HEIGHT, marks: bottomAxis(axis, 0) },
    heelForAge === undefined
      ? paragraph(words.say('posture-picture.no-heel-for-age'))
      : legend([{ text: words.say('part.heel-for-age', heelForAge), sample: boxSample(MIDDLE) }]),
  ]
}

interface Measured {
  readonly side: Side
  readonly heel: number
}

interface On {
  readonly heelForAge: PosturePicture['heelForAge']
  readonly axis: Axis
  readonly words: Words
}

function footBlock({ side, heel }: Measured, { axis, heelForAge, words }: On): Block {
  const { scale } = axis
  const [from = 0, to = 0] = scale.domain()
  const track = { y: 1, height: TRACK }
  const data = {
    'data-heel': side,
    'data-degrees': heel,
    'data-expected-low': heelForAge?.low,
    'data-expected-high': heelForAge?.high,
  }
  const usual =
    heelForAge === undefined
      ? []
      : [bar(scale, { from: heelForAge.low, to: heelForAge.high, ...track }, { fill: MIDDLE })]
  const { height, marks } = stacked([
    nameAndValue(
      words.say('part.foot-alone', { side }),
      words.say('unit.measured', { value: heel, unit: 'degrees' }),
    ),
    {
      height: TRACK + 8,
      marks: [
        bar(scale, { from, to, ...track }, { fill: PALE }),
        ...gridLines(axis, { top: 1, bottom: 1 + TRACK }),
        ...usual,
        FOOT_SHAPES[side]({ x: scale(heel), y: 1 + TRACK / 2 }),
      ],
    },
  ])
  return { height, marks: [mark('g', data, marks)] }
}
