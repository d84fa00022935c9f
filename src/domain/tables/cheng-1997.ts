/**
 * How much longer and wider a foot becomes when it is stood on.
 *
 * Unit:       percent of the unloaded size; mean gain 2.1 to 4.4 mm
 * Population: 2,829 children, 3-18 years; no younger ones
 * Source:     Cheng et al., Clin Orthop 1997;342:123-131
 * Read from:  the abstract, which speaks of length and width together: nothing else is corrected.
 *             The percentages that are applied stand in the rule set.
 */
export const CHENG_1997 = {
  source: 'cheng-1997',
  gainPercent: { low: 3.1, high: 4.8 },
  gainMm: { low: 2.1, high: 4.4 },
  dimensions: ['foot-length', 'forefoot-breadth'],
} as const
