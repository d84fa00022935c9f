import type { Axis } from './axes.ts'
import { AHEAD, CHILD, INK } from './ink.ts'
import type { ExpectedAges, MilestoneRow, MilestonesPicture } from './milestones-picture.ts'
import { arrowHead, diamond, dot, ring, stroke, upright } from './shapes.ts'
import { mark, type Mark } from './svg.ts'

interface Across {
  readonly top: number
  readonly bottom: number
}

/** First seen with it, last seen without it, and the line between. Never seen without it: no line. */
export function seenMarks({ interval }: MilestoneRow, { scale }: Axis, y: number): Mark[] {
  if (interval === undefined) return []
  const { from, to } = interval
  const before = from > 0 ? [ring({ x: scale(from), y })] : []
  if (to === null) return before
  const between =
    from > 0 ? [stroke([scale(from), scale(to)], y, { stroke: CHILD, 'stroke-width': 3 })] : []
  return [...between, ...before, dot({ x: scale(to), y })]
}

export function expectedMarks(
  { earliest, median, latest }: ExpectedAges,
  axis: Axis,
  y: number,
): Mark[] {
  const { scale } = axis
  const end = scale(latest?.age ?? scale.domain()[1] ?? median.age)
  const data = {
    'data-earliest': earliest.age,
    'data-median': median.age,
    'data-latest': latest?.age,
    'data-earliest-on': earliest.on,
    'data-median-on': median.on,
    'data-latest-on': latest?.on,
  }
  const ink = { stroke: AHEAD, 'stroke-width': 2 }
  return [
    mark('g', data, [
      stroke([scale(earliest.age), end], y, { ...ink, 'stroke-dasharray': '4 2.5' }),
      upright(scale(earliest.age), { top: y - 4, bottom: y + 4 }, ink),
      latest === undefined
        ? arrowHead({ x: end, y }, ink)
        : upright(end, { top: y - 4, bottom: y + 4 }, ink),
      diamond({ x: scale(median.age), y }, { fill: AHEAD }),
    ]),
  ]
}

export const TODAY = { stroke: INK, 'stroke-dasharray': '1.5 2' }
export const FITTED = { stroke: INK, 'stroke-dasharray': '5 2', 'stroke-width': 1.4 }

export function todayMarks(
  { age, fittedAt, toMonths }: MilestonesPicture,
  { scale }: Axis,
  across: Across,
): Mark[] {
  return [
    ...(age <= toMonths
      ? [upright(scale(Math.max(age, 0)), across, { ...TODAY, 'data-today': age })]
      : []),
    ...(fittedAt === undefined
      ? []
      : [upright(scale(Math.max(fittedAt, 0)), across, { ...FITTED, 'data-fitted': fittedAt })]),
  ]
}
