import { scaleLinear } from 'd3-scale'
import type { Side } from '../domain/child.ts'
import { say } from '../domain/messages/message.ts'
import { INK, MIDDLE, MUTED, PALE, RULE } from './ink.ts'
import type { Measured } from './measured.ts'
import type { StandingPlane } from './posture-picture.ts'
import { bar, FOOT_SHAPES, upright } from './shapes.ts'
import { type Block, MARGIN, nameAndValue, stacked, WIDTH } from './sheet.ts'
import { mark } from './svg.ts'
import { label } from './text.ts'
import type { Words } from './words.ts'

const TRACK = 10
/** Room for the least and the most of a measure at the ends of its track. */
const [LEFT, RIGHT] = [MARGIN + 34, WIDTH - MARGIN - 34]

/** One foot in one plane: in words, and the measure that decided on a track of its own, where one did. */
export function planeBlock(side: Side, plane: StandingPlane, words: Words): Block {
  const { finding, marked, measured } = plane
  const data = {
    'data-foot': side,
    'data-plane': plane.plane,
    'data-holds': finding.holds,
    'data-marked': marked,
    'data-measure': measured?.measure,
    'data-values': measured?.values.join(' '),
    'data-limit': measured?.limit,
  }
  const state = marked === 'yes' ? 'marked' : finding.holds
  const head = nameAndValue(
    words.say('part.plane-of-foot', { side, state }),
    measured === undefined ? words.say('part.plane-no-measure') : valueText(measured, words),
    { weight: finding.holds === 'yes' ? 'bold' : undefined, muted: true },
  )
  const track = measured === undefined ? [] : [trackBlock(side, measured, words)]
  const { height, marks } = stacked([head, ...track])
  return { height: height + 5, marks: [mark('g', data, marks)] }
}

function valueText({ name, values, unit }: Measured, words: Words): string {
  const value = values.map((one) => words.say('unit.measured', { value: one, unit })).join('; ')
  return words.say('part.measure-value', { name: say(`measure.${name}`), value })
}

function trackBlock(side: Side, { values, from, to, limit }: Measured, words: Words): Block {
  const scale = scaleLinear([from, to], [LEFT, RIGHT])
  const y = 3
  const middle = y + TRACK / 2
  const end = (value: number, x: number, anchor: string) =>
    label(words.number(value, 1), { x, y: middle + 4 }, { 'text-anchor': anchor, fill: MUTED })
  const marks = [
    end(from, LEFT - 8, 'end'),
    end(to, RIGHT + 8, 'start'),
    bar(scale, { from, to, y, height: TRACK }, { fill: PALE, stroke: RULE, 'stroke-width': 0.6 }),
    bar(scale, { from: limit, to, y, height: TRACK }, { fill: MIDDLE }),
    upright(
      scale(limit),
      { top: y - 2, bottom: y + TRACK + 2 },
      { stroke: INK, 'stroke-width': 1.4 },
    ),
    ...values.map((value) =>
      FOOT_SHAPES[side]({ x: scale(value), y: middle }, { 'data-value': value }),
    ),
  ]
  return { height: TRACK + 6, marks }
}
