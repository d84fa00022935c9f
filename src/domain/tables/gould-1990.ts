/** Half a shoe size, 25.4 / 6 mm. */
const HALF_SIZE_MM = 25.4 / 6

/**
 * How long children grow for half a shoe size, and the growth that follows from it.
 *
 * Unit:       months of age (from inclusive, to exclusive); months per half size; mm per month
 * Population: 107 children, 1-5 years; growth comes in spurts
 * Source:     Gould et al., Foot Ankle 1990;10:211
 * Read from:  the abstract. mm per month is derived with half a size = 4.23 mm. Under 15 months
 *             "less than 2 months" gives a least rate and no greatest one.
 */
export const GOULD_1990 = {
  source: 'gould-1990',
  intervals: [
    { fromMonths: 12, toMonths: 15, halfSizeMonths: { max: 2 }, minRate: HALF_SIZE_MM / 2 },
    {
      fromMonths: 15,
      toMonths: 24,
      halfSizeMonths: { min: 2, max: 3 },
      minRate: HALF_SIZE_MM / 3,
      maxRate: HALF_SIZE_MM / 2,
    },
    {
      fromMonths: 24,
      toMonths: 36,
      halfSizeMonths: { min: 3, max: 4 },
      minRate: HALF_SIZE_MM / 4,
      maxRate: HALF_SIZE_MM / 3,
    },
    {
      fromMonths: 36,
      toMonths: 60,
      halfSizeMonths: { min: 4, max: 4 },
      minRate: HALF_SIZE_MM / 4,
      maxRate: HALF_SIZE_MM / 4,
    },
  ],
} as const
