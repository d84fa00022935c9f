import { AHEAD, INK, MIDDLE, PALE } from './ink.ts'
import type { LegendRow } from './legend.ts'
import { FITTED, TODAY } from './milestone-marks.ts'
import type { MilestonesPicture } from './milestones-picture.ts'
import { boxSample, diamond, dot, ring, stroke, upright } from './shapes.ts'
import type { Words } from './words.ts'

/** What each shape among the milestones means; only of those that are there. */
export function milestonesLegend(
  { rows, fittedAt, age, toMonths }: MilestonesPicture,
  words: Words,
): LegendRow[] {
  const across = (y: number) => ({ top: y - 6, bottom: y + 6 })
  const isAhead = rows.some(({ expected }) => expected !== undefined)
  const all: readonly (LegendRow & { readonly isThere?: boolean })[] = [
    { text: words.say('part.window-whole'), sample: boxSample(PALE) },
    { text: words.say('part.window-half'), sample: boxSample(MIDDLE) },
    {
      text: words.say('part.window-median'),
      sample: ({ x, y }) => [upright(x, across(y), { stroke: INK, 'stroke-width': 1.2 })],
    },
    { text: words.say('part.first-seen'), sample: (at) => [dot(at)] },
    { text: words.say('part.last-not-seen'), sample: (at) => [ring(at)] },
    {
      text: words.say('part.expected'),
      isThere: isAhead,
      sample: ({ x, y }) => [
        stroke([x - 12, x + 12], y, {
          stroke: AHEAD,
          'stroke-width': 2,
          'stroke-dasharray': '4 2.5',
        }),
        diamond({ x, y }, { fill: AHEAD }),
      ],
    },
    {
      text: words.say('part.today', { age }),
      isThere: age <= toMonths,
      sample: ({ x, y }) => [upright(x, across(y), TODAY)],
    },
    {
      text: words.say('part.fitted', { age: fittedAt ?? 0 }),
      isThere: fittedAt !== undefined,
      sample: ({ x, y }) => [upright(x, across(y), FITTED)],
    },
  ]
  return all.filter(({ isThere = true }) => isThere)
}
