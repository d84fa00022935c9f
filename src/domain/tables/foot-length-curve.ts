/**
 * Foot length for age: mean = scale x ln(months + shift) - offset, both sexes.
 *
 * Unit:       mm, months; valid from 1 to 82 months, no value outside
 * Population: as Snyder et al. 1977; cross-sectional, so it understates the spurts of one child
 * Source:     our own fit (derived) to the band means of Snyder et al. 1977: 1.4 mm weighted root
 *             mean square error, largest misfits -4.5 mm at 22 and -3.7 mm at 18 months
 * Age:        chronological, as in the study
 */
export const FOOT_LENGTH_CURVE = {
  source: 'foot-length-curve',
  scale: 59.07,
  shiftMonths: 15,
  offset: 83.85,
  fromMonths: 1,
  toMonths: 82,
  /** SD of the length as a share of the mean. */
  relativeSd: 0.059,
} as const
