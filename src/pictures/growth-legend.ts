import type { GrowthPicture } from './growth-picture.ts'
import { AHEAD, INK, MUTED, PAPER, RULE } from './ink.ts'
import type { LegendRow } from './legend.ts'
import { diamond, dot, square, stroke, upright } from './shapes.ts'
import type { Words } from './words.ts'

/** Of the average foot: in long dashes, so that it is no limit of a size in grey either. */
export const CURVE = { stroke: RULE, 'stroke-width': 2, 'stroke-dasharray': '10 4' }

/** What each shape around the foot length means; only of those that are there. */
export function growthLegend({ age, feet, curve }: GrowthPicture, words: Words): LegendRow[] {
  const has = (side: 'left' | 'right') =>
    feet.some((foot) => foot.side === side && foot.lengths.length > 0)
  const refit = (side: 'left' | 'right') =>
    feet.some((foot) => foot.side === side && foot.refit?.ages.earliest !== undefined)
  const ahead =
    (fill: string): LegendRow['sample'] =>
    ({ x, y }) => [
      stroke([x - 12, x + 12], y, {
        stroke: AHEAD,
        'stroke-width': 2,
        'stroke-dasharray': '4 2.5',
      }),
      diamond({ x, y }, { fill, stroke: AHEAD, 'stroke-width': 1.4 }),
    ]
  const flat =
    (ink: Readonly<Record<string, string | number>>): LegendRow['sample'] =>
    ({ x, y }) => [stroke([x - 12, x + 12], y, ink)]
  const all: readonly (LegendRow & { readonly isThere?: boolean })[] = [
    {
      text: words.say('part.length-of', { side: 'left' }),
      isThere: has('left'),
      sample: (at) => [dot(at)],
    },
    {
      text: words.say('part.length-of', { side: 'right' }),
      isThere: has('right'),
      sample: (at) => [square(at)],
    },
    {
      text: words.say('part.length-curve'),
      isThere: curve.length > 0,
      sample: flat(CURVE),
    },
    { text: words.say('part.size-limit'), sample: flat({ stroke: MUTED, 'stroke-width': 0.9 }) },
    {
      text: words.say('part.refit-range', { side: 'left' }),
      isThere: refit('left'),
      sample: ahead(AHEAD),
    },
    {
      text: words.say('part.refit-range', { side: 'right' }),
      isThere: refit('right'),
      sample: ahead(PAPER),
    },
    {
      text: words.say('part.today', { age }),
      sample: ({ x, y }) => [
        upright(x, { top: y - 6, bottom: y + 6 }, { stroke: INK, 'stroke-dasharray': '1.5 2' }),
      ],
    },
  ]
  return all.filter(({ isThere = true }) => isThere)
}
