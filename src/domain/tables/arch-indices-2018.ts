/**
 * Footprint indices from which an arch counts as flat.
 *
 * Unit:       Staheli arch index a ratio, Chippaux-Smirak index percent; ages in years, from the first
 *             birthday named to the day before the second
 * Population: children of the ages given; no younger ones
 * Source:     Banwell et al., J Foot Ankle Res 2018;11:21
 * Read from:  the abstract. Its rows come from different studies and the Staheli limit rises with
 *             age. From 6 to 7 years two Chippaux-Smirak rows apply (62.7 and 59 %): the row listed
 *             first is used.
 */
export const ARCH_INDICES_2018 = {
  source: 'banwell-2018',
  staheli: [
    { fromYears: 3, toYears: 6, limit: 1.07, flat: 'above' },
    { fromYears: 6, toYears: 9, limit: 1.28, flat: 'at or above' },
  ],
  chippauxSmirak: [
    { fromYears: 3, toYears: 7, limit: 62.7, flat: 'above' },
    { fromYears: 6, toYears: 9, limit: 59, flat: 'above' },
  ],
} as const
