import type { Side } from '../domain/child.ts'
import type { GrowingFoot } from './growth-picture.ts'
import { RIGHT, type Scales } from './growth-scales.ts'
import { AHEAD, PAPER } from './ink.ts'
import { arrowHead, diamond, stroke } from './shapes.ts'
import { mark, type Mark } from './svg.ts'

/** The two feet often reach the same line: the range of the right one lies a little below that of the left. */
const OFFSET: Readonly<Record<Side, number>> = { left: -5, right: 5 }

export function refitMarks(
  side: Side,
  refit: NonNullable<GrowingFoot['refit']>,
  { x, y }: Scales,
): Mark[] {
  const { ages, atMm } = refit
  if (ages.earliest === undefined) return []
  const at = y(atMm) + OFFSET[side]
  const end = ages.latest === undefined ? RIGHT : x(ages.latest)
  const ink = { stroke: AHEAD, 'stroke-width': 2, fill: 'none' }
  const data = {
    'data-refit': side,
    'data-at': atMm,
    'data-earliest': refit.earliest,
    'data-median': refit.median,
    'data-latest': refit.latest,
  }
  return [
    mark('g', data, [
      stroke([x(ages.earliest), end], at, { ...ink, 'stroke-dasharray': '4 2.5' }),
      ...(ages.latest === undefined ? [arrowHead({ x: end, y: at }, ink)] : []),
      ...(ages.median === undefined
        ? []
        : [
            diamond(
              { x: x(ages.median), y: at },
              { fill: side === 'left' ? AHEAD : PAPER, stroke: AHEAD, 'stroke-width': 1.4 },
            ),
          ]),
    ]),
  ]
}
