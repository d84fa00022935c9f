import { line as lineThrough } from 'd3-shape'
import { say } from '../domain/messages/message.ts'
import { AXIS_HEIGHT, bottomAxis, line } from './axes.ts'
import type { CurvePoint, GrowingFoot, GrowthPicture } from './growth-picture.ts'
import { HEIGHT, LEFT, RIGHT, type Scales, scalesOf } from './growth-scales.ts'
import { CURVE, growthLegend } from './growth-legend.ts'
import { CHILD, INK, MUTED, RULE } from './ink.ts'
import { legend } from './legend.ts'
import { refitMarks } from './refit-marks.ts'
import { FOOT_SHAPES, stroke, upright } from './shapes.ts'
import { type Block, MARGIN, paragraph, type Sheet, WIDTH } from './sheet.ts'
import { mark, type Mark } from './svg.ts'
import { label, SMALL } from './text.ts'
import type { Words } from './words.ts'

export function growthSheet(picture: GrowthPicture, words: Words): Sheet {
  const told = picture.sentences.map(words.of)
  const lengths = picture.feet.flatMap(({ side, lengths: of }) =>
    of.map(({ mm, age }) => words.of(say('growth-picture.length', { side, mm, age }))),
  )
  return {
    kind: 'growth',
    title: words.say('part.growth-picture'),
    description: [...lengths, ...told].join(' '),
    blocks: [
      chartBlock(picture, words),
      legend(growthLegend(picture, words)),
      ...told.map((text) => paragraph(text)),
    ],
  }
}

function chartBlock(picture: GrowthPicture, words: Words): Block {
  const scales = scalesOf(picture)
  const { x, y } = scales
  const text = (value: number) => words.number(value)
  const axis = {
    scale: x,
    ticks: 6,
    text,
    title: words.say('part.age-in-months', { used: 'chronological' }),
  }
  const today = upright(
    x(picture.age),
    { top: SMALL + 6, bottom: HEIGHT },
    { stroke: INK, 'stroke-dasharray': '1.5 2', 'data-today': picture.age },
  )
  return {
    height: HEIGHT + AXIS_HEIGHT + 4,
    marks: [
      ...lengthAxis(scales, words),
      ...sizeMarks(picture, scales),
      today,
      ...curveMarks(picture.curve, scales),
      ...picture.feet.flatMap((foot) => footMarks(foot, scales)),
      line({ x1: LEFT, y1: HEIGHT, x2: LEFT, y2: SMALL + 6 }, { stroke: RULE }),
      ...bottomAxis(axis, HEIGHT),
      label(
        words.say('part.millimetres-alone'),
        { x: WIDTH - MARGIN, y: y.range()[1] ?? 0 },
        { 'text-anchor': 'end', fill: MUTED, dy: -SMALL + 4 },
      ),
    ],
  }
}

function lengthAxis({ y }: Scales, words: Words): Mark[] {
  return y
    .ticks(6)
    .map((value) =>
      label(
        words.number(value),
        { x: RIGHT + 6, y: y(value) + 4 },
        { fill: MUTED, 'data-length-tick': value },
      ),
    )
}

/** A line at the longest foot of each size in view; its code stands in the room below the line. */
function sizeMarks({ sizes }: GrowthPicture, { y }: Scales): Mark[] {
  const [low = 0, high = 0] = y.domain()
  return sizes
    .filter(({ footLength: { min, max } }) => max > low && min < high)
    .flatMap(({ code, footLength: { min, max } }) => {
      const data = { 'data-size': code, 'data-min': min, 'data-max': max }
      const middle = y((Math.max(min, low) + Math.min(max, high)) / 2) + 4
      const room = y(Math.max(min, low)) - y(Math.min(max, high))
      const name = room < SMALL + 2 ? [] : [label(code, { x: MARGIN, y: middle })]
      const limit =
        max > high ? [] : [stroke([LEFT, RIGHT], y(max), { stroke: MUTED, 'stroke-width': 0.9 })]
      return [mark('g', data, [...limit, ...name])]
    })
}

function curveMarks(curve: readonly CurvePoint[], { x, y }: Scales): Mark[] {
  const [first = 0, last = 0] = x.domain()
  const path = lineThrough<CurvePoint>()
    .x(({ age }) => x(age))
    .y(({ mean }) => y(mean))
    .digits(2)
  const inView = curve.filter(({ age }) => age >= first && age <= last)
  const d = path(inView)
  return d === null || inView.length === 0 ? [] : [mark('path', { d, fill: 'none', ...CURVE })]
}

/** Of two feet that are equally long on one day both are seen: the square lies inside the circle. */
const LARGER = { left: { r: 7 }, right: {} } as const

function footMarks({ side, lengths, refit }: GrowingFoot, scales: Scales): Mark[] {
  const { x, y } = scales
  const points = lengths.map(({ age, mm, on }) =>
    FOOT_SHAPES[side](
      { x: x(age), y: y(mm) },
      { 'data-foot': side, 'data-age': age, 'data-mm': mm, 'data-on': on, ...LARGER[side] },
    ),
  )
  const joined = lengths.slice(1).flatMap((to, index) => {
    const from = lengths[index]
    return from === undefined
      ? []
      : [
          line(
            { x1: x(from.age), y1: y(from.mm), x2: x(to.age), y2: y(to.mm) },
            { stroke: CHILD, 'stroke-width': 1.5 },
          ),
        ]
  })
  return [...(refit === undefined ? [] : refitMarks(side, refit, scales)), ...joined, ...points]
}
