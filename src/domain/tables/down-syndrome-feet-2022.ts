/**
 * How feet of children with Down syndrome differ from those of other children.
 *
 * Unit:       mm, mean difference and 95 % confidence interval; length for height, the others for
 *             foot length
 * Population: 51 children and adolescents with Down syndrome and 51 without, 3D scan
 * Source:     Disabil Rehabil 2022;44(15):3959-3966
 * Read from:  the abstract
 */
export const DOWN_SYNDROME_FEET_2022 = {
  source: 'down-syndrome-feet-2022',
  lengthForHeight: { mean: -11.62, low: -15.06, high: -8.18 },
  horizontalWidth: { mean: 4.8, low: 2.88, high: 6.72 },
  ballGirth: { mean: 10.6, low: 5.96, high: 15.25 },
  instepGirth: { mean: 7.92, low: 3.02, high: 12.82 },
} as const
