import type { DeviceSize, SizeChart } from '../device/sizing.ts'
import { FOOT_PROPORTIONS } from './foot-proportions.ts'
import { SNYDER_REGRESSIONS } from './snyder-1977.ts'

const FIRST_MM = 82
const STEP_MM = 10
const STEPS = 12
/** Judgement: nearly every foot of the length. */
const STANDARD_ERRORS = 3
/** Judgement: the edge ends this far short of the landmark, as in the default rule set. */
const SHORT_OF_MM = { medial: 4, lateral: 2 }
/** Judgement: a foot that takes the size for growth is this much shorter than its range. */
const RESERVE_MM = 3
/** Common practice: how far apart the edges of the closure should stand. */
const CLOSURE_GAP_MM = 13

const { heelToFirstMetatarsalHead: medial, heelToFifthToeSulcus: lateral } = FOOT_PROPORTIONS

function sizeOf(step: number): DeviceSize {
  const min = FIRST_MM + step * STEP_MM
  const max = min + STEP_MM
  const medialPlate = Math.ceil(medial.high * max - SHORT_OF_MM.medial)
  const lateralPlate = Math.ceil(lateral.high * max - SHORT_OF_MM.lateral)
  const shortest = min - RESERVE_MM
  const spare = Math.max(
    medialPlate - (medial.low * shortest - SHORT_OF_MM.medial),
    lateralPlate - (lateral.low * shortest - SHORT_OF_MM.lateral),
  )
  return {
    code: `G${step + 1}`,
    footLength: { min, max },
    forefootBreadth: around(SNYDER_REGRESSIONS.breadth, { min, max }),
    ankleCircumference: around(SNYDER_REGRESSIONS.ankleCircumference, { min, max }),
    medialPlate,
    lateralPlate,
    instepGirth:
      Math.round(FOOT_PROPORTIONS.instepGirth.middle * (min + STEP_MM / 2)) - CLOSURE_GAP_MM,
    maxTrim: Math.ceil(spare),
  }
}

interface Line {
  readonly intercept: number
  readonly slope: number
  readonly see: number
}

function around({ intercept, slope, see }: Line, length: { min: number; max: number }) {
  return {
    min: Math.floor(intercept + slope * length.min - STANDARD_ERRORS * see),
    max: Math.ceil(intercept + slope * length.max + STANDARD_ERRORS * see),
  }
}

/**
 * A size chart of no maker, computed from public anthropometry, for a clinic that has loaded none.
 *
 * Unit:    mm. Twelve steps from the 5th percentile of foot length at 3-5 months (82) past the 97th
 *          at 5.5-6.5 years (201.9), without gap or overlap
 * Breadth and ankle: the published regressions on foot length, three standard errors either side.
 *          They were fitted at 2-7 years; the infant percentiles of Snyder et al. 1977 lie inside.
 * Plates and instep: shares of the foot length from memory. Each plate is long enough for the
 *          largest foot of its size; enough may be taken off for the smallest.
 */
export const GENERIC_SIZE_CHART: SizeChart = {
  id: 'generic',
  version: '2026.1',
  title: 'Generic size chart',
  note: 'Generic: computed from public anthropometry (Snyder et al. 1977) and from proportions given from memory; no device is made to it. Load the chart of the device that is fitted.',
  sizes: Array.from({ length: STEPS }, (_, step) => sizeOf(step)),
}
