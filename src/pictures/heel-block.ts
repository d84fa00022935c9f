import { type Axis, AXIS_HEIGHT, bottomAxis, gridLines } from './axes.ts'
import { MIDDLE, PALE } from './ink.ts'
import { legend } from './legend.ts'
import type { PosturePicture } from './posture-picture.ts'
import { acrossScale, bar, boxSample, FOOT_SHAPES } from './shapes.ts'
import { type Block, heading, MARGIN, paragraph, WIDTH } from './sheet.ts'
import { mark } from './svg.ts'
import { label, SMALL } from './text.ts'
import type { Words } from './words.ts'

const ROW = 34
const TRACK = 10
/** Degrees between which usual heels lie; a heel beyond them makes the axis longer. */
const USUAL = { from: -5, to: 15 }

/** The heels in standing against what is said of the age; a sentence for a heel that was not measured. */
export function heelBlock({ feet, heelForAge }: PosturePicture, words: Words): Block[] {
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
  const bottom = measured.length * ROW
  const rows = measured.map(({ side, heel }, index) => {
    const top = index * ROW
    const track = { y: top + SMALL + 6, height: TRACK }
    return mark(
      'g',
      {
        'data-heel': side,
        'data-degrees': heel,
        'data-expected-low': heelForAge?.low,
        'data-expected-high': heelForAge?.high,
      },
      [
        label(words.say('part.foot-alone', { side }), { x: MARGIN, y: top + SMALL }),
        label(
          words.say('unit.measured', { value: heel, unit: 'degrees' }),
          { x: WIDTH - MARGIN, y: top + SMALL },
          { 'text-anchor': 'end' },
        ),
        bar(axis.scale, { from, to, ...track }, { fill: PALE }),
        ...gridLines(axis, { top: track.y, bottom: track.y + TRACK }),
        ...(heelForAge === undefined
          ? []
          : [
              bar(
                axis.scale,
                { from: heelForAge.low, to: heelForAge.high, ...track },
                { fill: MIDDLE },
              ),
            ]),
        FOOT_SHAPES[side]({ x: axis.scale(heel), y: track.y + TRACK / 2 }),
      ],
    )
  })
  return [
    title,
    { height: bottom + AXIS_HEIGHT, marks: [...rows, ...bottomAxis(axis, bottom)] },
    heelForAge === undefined
      ? paragraph(words.say('posture-picture.no-heel-for-age'))
      : legend([{ text: words.say('part.heel-for-age', heelForAge), sample: boxSample(MIDDLE) }]),
  ]
}
