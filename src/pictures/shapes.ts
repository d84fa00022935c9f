import { scaleLinear } from 'd3-scale'
import { line, type Scale } from './axes.ts'
import { CHILD, PAPER } from './ink.ts'
import { MARGIN, WIDTH } from './sheet.ts'
import { type Attributes, mark, type Mark } from './svg.ts'
import type { Place } from './text.ts'

const at = (value: number): number => Math.round(value * 100) / 100

/** Over the whole width, with a little room for what is drawn around its ends. */
export const acrossScale = (from: number, to: number): Scale =>
  scaleLinear([from, to], [MARGIN + 6, WIDTH - MARGIN - 6])

/** A bar along a scale; of nothing where its ends are one. */
export const bar = (
  scale: Scale,
  { from, to, y, height }: Extent & { readonly y: number; readonly height: number },
  more: Attributes,
): Mark =>
  mark('rect', { x: scale(from), y, width: Math.max(scale(to) - scale(from), 0), height, ...more })

export interface Extent {
  readonly from: number
  readonly to: number
}

export const dot = ({ x, y }: Place, more: Attributes = {}): Mark =>
  mark('circle', { cx: x, cy: y, r: 5, fill: CHILD, stroke: PAPER, 'stroke-width': 1, ...more })

export const ring = ({ x, y }: Place, more: Attributes = {}): Mark =>
  mark('circle', { cx: x, cy: y, r: 4, fill: PAPER, stroke: CHILD, 'stroke-width': 2, ...more })

export const square = ({ x, y }: Place, more: Attributes = {}): Mark =>
  mark('rect', {
    x: x - 3.2,
    y: y - 3.2,
    width: 6.4,
    height: 6.4,
    fill: PAPER,
    stroke: CHILD,
    'stroke-width': 1.8,
    ...more,
  })

export const diamond = ({ x, y }: Place, more: Attributes = {}): Mark =>
  mark('path', {
    d: `M${at(x)} ${at(y - 5.5)}L${at(x + 5.5)} ${at(y)}L${at(x)} ${at(y + 5.5)}L${at(x - 5.5)} ${at(y)}Z`,
    ...more,
  })

/** The left foot is round and full, the right one square and open: apart in grey, and one upon the other. */
export const FOOT_SHAPES = { left: dot, right: square } as const

/** Points to the right: it goes on. */
export const arrowHead = ({ x, y }: Place, more: Attributes = {}): Mark =>
  mark('path', {
    d: `M${at(x - 6)} ${at(y - 4)}L${at(x)} ${at(y)}L${at(x - 6)} ${at(y + 4)}`,
    fill: 'none',
    ...more,
  })

export const stroke = (
  [from, to]: readonly [number, number],
  y: number,
  more: Attributes = {},
): Mark => line({ x1: from, y1: y, x2: to, y2: y }, more)

export const upright = (
  x: number,
  { top, bottom }: { readonly top: number; readonly bottom: number },
  more: Attributes = {},
): Mark => line({ x1: x, y1: top, x2: x, y2: bottom }, more)

/** The same with a light edge, so that it is seen on a dark bar too. */
export const uprightOnDark = (
  x: number,
  ends: { readonly top: number; readonly bottom: number },
  more: Attributes,
): readonly Mark[] => [
  upright(x, ends, { stroke: PAPER, 'stroke-width': 3.5 }),
  upright(x, ends, more),
]

/** A sample for a legend: a box as a bar is filled. */
export const boxSample =
  (fill: string, more: Attributes = {}) =>
  ({ x, y }: Place): readonly Mark[] => [
    mark('rect', { x: x - 11, y: y - 5, width: 22, height: 10, fill, ...more }),
  ]
