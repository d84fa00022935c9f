import { scaleLinear } from 'd3-scale'
import type { Scale } from './axes.ts'
import type { GrowthPicture } from './growth-picture.ts'
import { MARGIN, WIDTH } from './sheet.ts'
import { SMALL } from './text.ts'

export const HEIGHT = 250
/** The sizes stand at the left, the lengths of the axis at the right of what is drawn. */
export const [LEFT, RIGHT] = [MARGIN + 34, WIDTH - MARGIN - 34]
/** Around everything that is drawn, so that neighbouring sizes are seen. */
const SPARE_MM = 8
const SPARE_MONTHS = 2

export interface Scales {
  readonly x: Scale
  readonly y: Scale
}

/** Wide enough for all that is known and foretold. */
export function scalesOf({ age, feet, curve }: GrowthPicture): Scales {
  const ages = feet.flatMap(({ lengths, refit }) => [
    ...lengths.map((one) => one.age),
    ...Object.values(refit?.ages ?? {}),
  ])
  const [from, to] = [Math.min(age, ...ages) - SPARE_MONTHS, Math.max(age, ...ages) + SPARE_MONTHS]
  const x = scaleLinear(
    [Math.max(Math.floor(from), 0), Math.ceil(Math.max(to, from + 8))],
    [LEFT, RIGHT],
  )
  const [first = 0, last = 0] = x.domain()
  const inView = curve.filter((point) => point.age >= first && point.age <= last)
  const mm = [
    ...inView.map(({ mean }) => mean),
    ...feet.flatMap(({ lengths, refit }) => [
      ...lengths.map((one) => one.mm),
      ...(refit === undefined ? [] : [refit.atMm]),
    ]),
  ]
  const [low, high] = mm.length === 0 ? [90, 200] : [Math.min(...mm), Math.max(...mm)]
  return {
    x,
    y: scaleLinear(
      [Math.floor(low - SPARE_MM), Math.ceil(high + SPARE_MM)],
      [HEIGHT - 4, 4 + SMALL],
    ),
  }
}
