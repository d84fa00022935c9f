/** One age group of the study, in mm. */
export interface AgeBand {
  /** Completed months, inclusive. */
  readonly fromMonths: number
  /** Exclusive: the next band starts here. */
  readonly toMonths: number
  readonly n: number
  readonly mean: number
  readonly sd: number
  readonly p5: number
  readonly p50: number
  readonly p95: number
}

type Row = readonly [number, number, number, number, number, number, number, number]
const band = ([fromMonths, toMonths, n, mean, sd, p5, p50, p95]: Row): AgeBand => ({
  fromMonths,
  toMonths,
  n,
  mean,
  sd,
  p5,
  p50,
  p95,
})

/**
 * Foot and ankle size of children by age, both sexes.
 *
 * Unit:       mm; from and to in months, then n, mean, SD, 5th, 50th and 95th percentile
 * Population: children in the USA, 1975-77. Whether the foot was loaded was not checked.
 * Source:     Snyder et al. 1977, UM-HSRI-77-17
 * Read from:  under 24 months the tables as issued by NIST; from 24 months computed from the
 *             individual records of the study, whose 2-3.5 year means and SDs reproduce the
 *             printed row (length 147 SD 11, breadth 61 SD 5, ankle circumference 148 SD 10)
 */
export const SNYDER_1977 = {
  source: 'snyder-1977',
  footLength: [
    band([0, 3, 31, 82, 5, 74, 81, 90]),
    band([3, 6, 44, 91, 6, 82, 90, 102]),
    band([6, 9, 31, 100, 7, 90, 99, 110]),
    band([9, 12, 27, 109, 6, 98, 107, 121]),
    band([12, 16, 32, 117, 8, 102, 116, 131]),
    band([16, 20, 29, 119, 10, 98, 120, 133]),
    band([20, 24, 31, 125, 9, 108, 125, 140]),
    band([24, 42, 212, 147.5, 10.6, 130.6, 148, 164.4]),
    band([42, 54, 227, 160.9, 9.5, 147, 161, 177.7]),
    band([54, 66, 263, 170.3, 9.3, 155.1, 170, 184]),
    band([66, 78, 220, 179.6, 10.6, 163, 179, 198.1]),
  ],
  footBreadth: [
    band([0, 3, 31, 36, 4, 30, 35, 43]),
    band([3, 6, 44, 40, 3, 34, 39, 46]),
    band([6, 9, 31, 42, 3, 37, 41, 48]),
    band([9, 12, 27, 47, 4, 41, 47, 53]),
    band([12, 16, 32, 49, 3, 44, 49, 55]),
    band([16, 20, 29, 50, 4, 41, 49, 57]),
    band([20, 24, 31, 52, 4, 42, 52, 58]),
    band([24, 42, 212, 61.2, 4.5, 54, 61, 69]),
    band([42, 54, 226, 65, 4.1, 58, 64.5, 72]),
    band([54, 66, 263, 67.9, 4.3, 61, 68, 76]),
    band([66, 78, 220, 71, 4.8, 64, 71, 79]),
  ],
  ankleCircumference: [
    band([0, 3, 31, 102, 15, 73, 100, 129]),
    band([3, 6, 44, 116, 10, 98, 115, 130]),
    band([6, 9, 31, 123, 9, 109, 122, 137]),
    band([9, 12, 27, 129, 10, 113, 128, 145]),
    band([12, 16, 32, 132, 10, 116, 131, 149]),
    band([16, 20, 29, 133, 11, 112, 131, 150]),
    band([20, 24, 31, 136, 9, 118, 135, 148]),
    band([24, 42, 67, 148.4, 9.9, 133.9, 149, 163.8]),
    band([42, 54, 77, 149.5, 9.5, 135, 148, 167.4]),
    band([54, 66, 93, 154.7, 9.2, 139.6, 154, 170.4]),
    band([66, 78, 80, 159.8, 11.2, 145.9, 159, 176.2]),
  ],
  /** Where exactly the breadth was taken was not checked; no infant table. */
  ankleBreadth: [
    band([24, 42, 66, 41.4, 3.5, 35.2, 41, 47]),
    band([42, 54, 76, 41.7, 3.3, 37, 42, 46.2]),
    band([54, 66, 93, 42.8, 3.2, 38, 43, 48]),
    band([66, 78, 80, 43.6, 3.5, 39, 43, 49.1]),
  ],
} as const

/**
 * What follows from foot length at 2-7 years; `see` is the standard error of the estimate, mm.
 *
 * Read from: computed from the individual records of Snyder et al. 1977. Ankle size follows
 * foot length poorly (r2 0.34): measure it, never infer it.
 */
export const SNYDER_REGRESSIONS = {
  source: 'snyder-1977',
  breadth: { intercept: 16.61, slope: 0.3023, see: 3.55 },
  ankleCircumference: { intercept: 85, slope: 0.4159, see: 9.47 },
} as const
