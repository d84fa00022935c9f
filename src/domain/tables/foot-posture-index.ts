/**
 * Bands of the sum of the six items of the Foot Posture Index.
 *
 * Unit:       points, -12 to +12; both ends belong to the band
 * Population: general; not children in particular
 * Source:     Redmond, Crosbie, Ouvrier, Clin Biomech 2006;21:89-98
 * Read from:  a public note. Gijon-Nogueron 2019 counts +6 as normal and as pronated; here it is
 *             pronated.
 */
export const FPI6_BANDS = {
  source: 'fpi-redmond-2006',
  items: [1, 2, 3, 4, 5, 6],
  itemLow: -2,
  itemHigh: 2,
  bands: [
    { band: 'highly-supinated', from: -12, to: -5 },
    { band: 'supinated', from: -4, to: -1 },
    { band: 'normal', from: 0, to: 5 },
    { band: 'pronated', from: 6, to: 9 },
    { band: 'highly-pronated', from: 10, to: 12 },
  ],
} as const

/**
 * Foot Posture Index of children.
 *
 * Unit:       points
 * Population: 3,217 children, 3-15 years. No norm below 3 years was found.
 * Source:     Gijon-Nogueron et al., BMJ Open 2019;9:e023341
 * Read from:  the abstract
 */
export const FPI6_CHILDREN_2019 = {
  source: 'fpi-gijon-nogueron-2019',
  mean: 4,
  sd: 3,
  fromYears: 3,
  toYears: 15,
} as const

/**
 * Right minus left sum of the Foot Posture Index.
 *
 * Unit:       points, without sign; the limit belongs to the milder band
 * Population: 930 adults. No figures for children were found.
 * Source:     Normative values for the foot posture index between right and left foot
 * Read from:  the abstract
 */
export const FPI6_SIDE_DIFFERENCE = {
  source: 'fpi-side-difference',
  usualTo: 2,
  asymmetryTo: 4,
} as const
