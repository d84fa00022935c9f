import type { ScaleLinear } from 'd3-scale'
import { MUTED, RULE } from './ink.ts'
import { type Attributes, mark, type Mark } from './svg.ts'
import { label, SMALL, textWidth } from './text.ts'
import { WIDTH } from './sheet.ts'

export type Scale = ScaleLinear<number, number>

export interface Axis {
  readonly scale: Scale
  readonly ticks: number
  readonly text: (value: number) => string
  /** What the numbers are. */
  readonly title: string
}

/** Of the numbers below an axis and the line of what they are. */
export const AXIS_HEIGHT = 36

/** A line at a height, round values below it, and below those what they are. */
export function bottomAxis({ scale, ticks, text, title }: Axis, y: number): readonly Mark[] {
  const [start = 0, end = WIDTH] = scale.range()
  return [
    line({ x1: start, y1: y, x2: end, y2: y }, { stroke: RULE }),
    ...scale.ticks(ticks).flatMap((value) => {
      const x = scale(value)
      return [
        line({ x1: x, y1: y, x2: x, y2: y + 3 }, { stroke: RULE }),
        label(
          text(value),
          { x: inside(x, text(value)), y: y + SMALL + 4 },
          { 'text-anchor': 'middle', fill: MUTED, 'data-tick': value },
        ),
      ]
    }),
    label(title, { x: end, y: y + 2 * SMALL + 8 }, { 'text-anchor': 'end', fill: MUTED }),
  ]
}

/** Thin lines at the round values of an axis, behind what is drawn between two heights. */
export const gridLines = (
  { scale, ticks }: Pick<Axis, 'scale' | 'ticks'>,
  { top, bottom }: { readonly top: number; readonly bottom: number },
): readonly Mark[] =>
  scale
    .ticks(ticks)
    .map((value) =>
      line(
        { x1: scale(value), y1: top, x2: scale(value), y2: bottom },
        { stroke: RULE, 'stroke-width': 0.4 },
      ),
    )

/** The middle of a text near a place, such that nothing of it is cut off. */
export function inside(x: number, text: string, size = SMALL): number {
  const half = textWidth(text, size) / 2
  return Math.min(Math.max(x, half + 2), WIDTH - half - 2)
}

interface Ends {
  readonly x1: number
  readonly y1: number
  readonly x2: number
  readonly y2: number
}

export const line = (ends: Ends, more: Attributes = {}): Mark => mark('line', { ...ends, ...more })
