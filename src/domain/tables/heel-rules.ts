/**
 * Rules of thumb for the heel eversion of a standing child: so many degrees less the age in years.
 *
 * Unit:       degrees, eversion positive; age in years
 * Population: none, both are opinions. Measured children of 3-6 years stood at a mean of 5.5 degrees,
 *             where "7 less the age" allows 4 at 3 years and 1 at 6.
 * Source:     Current Pedorthics 2016;48(4):19 (7); taught, from memory (8); Pfeiffer et al.,
 *             Pediatrics 2006;118:634-639 (mean, by laser scan against the Achilles line)
 * Read from:  a page that restates it; memory; the abstract
 */
export const HEEL_RULES = {
  sevenLessAge: { source: 'heel-rule-2016', start: 7 },
  eightLessAge: { source: 'memory', start: 8 },
  measured: { source: 'pfeiffer-2006', meanDegrees: 5.5, fromYears: 3, toYears: 6 },
} as const
