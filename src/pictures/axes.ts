import type { ScaleLinear } from 'd3-scale'
import { MUTED, RULE } from './ink.ts'
import { mark, type Mark } from './svg.ts'
import { label, SMALL, textWidth } from './text.ts'
import { WIDTH } from './sheet.ts'

export type Scale = ScaleLinear<number, number>

export interface Axis {
  readonly scale: Scale
  readonly top: number
  readonly bottom: number
  readonly ticks: number
  readonly text: (value: number) => string
  /** What the numbers are. */
  readonly title: string
}

export const AXIS_HEIGHT = 34

/** Lines from top to bottom at round values, the values below them, and below those what they are. */
export function bottomAxis({ scale, top, bottom, ticks, text, title }: Axis): readonly Mark[] {
  const [start = 0, end = WIDTH] = scale.range()
  return [
    ...scale.ticks(ticks).flatMap((value) => {
      const x = scale(value)
      return [
        line({ x1: x, y1: top, x2: x, y2: bottom }, { stroke: RULE, 'stroke-width': 0.5 }),
        label(
          text(value),
          { x: inside(x, text(value)), y: bottom + SMALL + 3 },
          { 'text-anchor': 'middle', fill: MUTED, 'data-tick': value },
        ),
      ]
    }),
    line({ x1: start, y1: bottom, x2: end, y2: bottom }, { stroke: RULE }),
    label(title, { x: end, y: bottom + 2 * SMALL + 7 }, { 'text-anchor': 'end', fill: MUTED }),
  ]
}

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

export const line = (ends: Ends, more: Readonly<Record<string, string | number>> = {}): Mark =>
  mark('line', { ...ends, ...more })
