/**
 * A two-parameter curve for each row of the WHO motor table.
 *
 * Unit:       median in months of 30.4375 days; `spread` is the SD (log-normal) or the scale
 *             (log-logistic) of the logarithm of the age
 * Population: as the WHO motor table
 * Source:     derived, least squares on the 11 published percentiles; the families are inferred
 * Read from:  the table; all 66 cells return after rounding, largest error 0.045 month. Beyond the
 *             1st and 99th percentile the curve is a model and nothing published.
 */
export const WHO_MOTOR_MODEL = {
  source: 'who-motor-model',
  curves: {
    'sitting-without-support': { family: 'log-normal', median: 5.871, spread: 0.19115 },
    'standing-with-assistance': { family: 'log-normal', median: 7.431, spread: 0.18551 },
    'hands-and-knees-crawling': { family: 'log-logistic', median: 8.331, spread: 0.10435 },
    'walking-with-assistance': { family: 'log-logistic', median: 9.027, spread: 0.09128 },
    'standing-alone': { family: 'log-logistic', median: 10.829, spread: 0.09677 },
    'walking-alone': { family: 'log-logistic', median: 12.0, spread: 0.08281 },
  },
} as const

/**
 * How much of the spread of a milestone is the child's own tempo, and how much is left.
 *
 * Unit:       logarithm of the age; SD for `tempoSd` and the log-normal rows, scale for the others
 * Population: as the WHO motor table
 * Source:     derived: residual SD = sqrt(total SD squared - 0.13 squared), times sqrt(3)/pi for the
 *             logistic scale. That milestones of one child move together was seen in open data of
 *             1,870 Dutch children (childdevdata, CC BY 4.0); 0.13 is a judgement, 0.12-0.14 are
 *             defensible
 */
export const TEMPO_MODEL = {
  source: 'tempo-model',
  tempoSd: 0.13,
  residualScale: {
    'sitting-without-support': 0.1401,
    'standing-with-assistance': 0.1323,
    'hands-and-knees-crawling': 0.0758,
    'walking-with-assistance': 0.0565,
    'standing-alone': 0.065,
    'walking-alone': 0.0415,
  },
} as const
