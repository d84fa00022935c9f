import type { StandardisedResult } from '../child.ts'
import type { EstimatedDelay } from '../development/estimated-delay.ts'
import { percentDelay } from './state-age.ts'
import { standardised } from '../development/standardised.ts'
import { type Said, say } from '../messages/message.ts'
import type { Criterion } from '../tables/state-threshold.ts'
import { type Truth, truth } from '../truth.ts'
import type { Months } from '../units.ts'

/** What is known of the delay in one domain, in each of the scales a state may use. */
export interface DelayValues {
  readonly percent: number | 'unknown'
  /** Standard deviations from the mean; negative is below. */
  readonly z: number | 'unknown'
  readonly months: number | 'unknown'
  /** Standard score on the scale of mean 100 and SD 15. */
  readonly score: number | 'unknown'
}

const NOTHING: DelayValues = {
  percent: 'unknown',
  z: 'unknown',
  months: 'unknown',
  score: 'unknown',
}

/** The scale on which the score of a printed cut stands. */
const PRINTED_SCALE = { mean: 100, sd: 15 } as const

/** Far below anything measured; without it 33 % of an age would miss its own number by a rounding error. */
const EQUAL = 1e-9

/** The values of a standardised result, as given: no scale is made from another. */
export function valuesOfResult(result: StandardisedResult): DelayValues {
  const { z, percentDelay: percent } = standardised(result)
  const onPrintedScale =
    result.kind === 'standard-score' &&
    result.mean === PRINTED_SCALE.mean &&
    result.sd === PRINTED_SCALE.sd
  return {
    ...NOTHING,
    ...(z !== undefined && { z }),
    ...(percent !== undefined && { percent }),
    ...(onPrintedScale && { score: result.score }),
  }
}

/** The values that a developmental age gives against one age, months. */
export const valuesAtAge = (developmentalAge: Months, age: Months): DelayValues => ({
  ...NOTHING,
  percent: percentDelay(age, developmentalAge),
  months: age - developmentalAge,
})

/** The values of the estimate from milestones. */
export const valuesOfEstimate = ({ percent, age }: EstimatedDelay): DelayValues => ({
  ...NOTHING,
  percent,
  months: (age * percent) / 100,
})

/**
 * Does a delay in one domain reach the number of a criterion? Equality reaches it, except where the
 * text says "under"; unknown when the scale of the criterion is.
 *
 * Reading a share of expected milestones as a share of the age, and "any delay" as anything above
 * nothing, is our own.
 *
 * @see SOURCES state-az, states-table-2015, judgement
 */
export function reachesNumber(criterion: Criterion, values: DelayValues): Truth {
  switch (criterion.kind) {
    case 'percent-delay':
      return compared(values.percent, (percent) => percent >= criterion.percent - EQUAL)
    case 'sd-below-mean':
      return compared(values.z, (z) => z <= EQUAL - criterion.sd)
    case 'months-delay':
      return compared(values.months, (months) => months >= criterion.months - EQUAL)
    case 'reached-below':
      return compared(values.percent, (percent) => 100 - percent < criterion.percent - EQUAL)
    case 'any-delay':
      return compared(values.percent, (percent) => percent > EQUAL)
  }
}

/** What one source gives, completed by another; the first takes precedence. */
export function completed(first: DelayValues | undefined, second: DelayValues): DelayValues {
  if (first === undefined) return second
  const known = <Key extends keyof DelayValues>(key: Key) =>
    first[key] === 'unknown' ? second[key] : first[key]
  return {
    percent: known('percent'),
    z: known('z'),
    months: known('months'),
    score: known('score'),
  }
}

/**
 * Does the score reach the cut that a page prints for a criterion, where arithmetic says another?
 * Absent where no page does. The score does not depend on an age.
 *
 * @see SOURCES state-pa
 */
export function printedScore(
  criterion: Criterion,
  values: readonly DelayValues[],
): Truth | undefined {
  if (criterion.kind !== 'sd-below-mean' || criterion.printedScore === undefined) return undefined
  const cut = criterion.printedScore
  return compared(values[0]?.score ?? 'unknown', (score) => score <= cut)
}

/**
 * Probability by the milestones that a criterion is reached, 0 to 1; absent for standard deviations,
 * which milestones do not give.
 */
export function chanceOfNumber(criterion: Criterion, estimate: EstimatedDelay): number | undefined {
  switch (criterion.kind) {
    case 'percent-delay':
      return estimate.probabilityAtLeast(criterion.percent)
    case 'months-delay':
      // At a younger age so many months cannot be missing.
      return estimate.age > criterion.months
        ? estimate.probabilityAtLeast((100 * criterion.months) / estimate.age)
        : 0
    case 'reached-below':
      return estimate.probabilityAtLeast(100 - criterion.percent)
    case 'any-delay':
      return estimate.probabilityAtLeast(0)
    case 'sd-below-mean':
      return undefined
  }
}

/** The number in words, as a sentence names it. */
export function criterionWords(criterion: Criterion): Said {
  const { kind, domains } = criterion
  switch (kind) {
    case 'percent-delay':
      return say('state-criterion.percent-delay', { percent: criterion.percent, domains })
    case 'sd-below-mean':
      return say('state-criterion.sd-below-mean', { sd: criterion.sd, domains })
    case 'months-delay':
      return say('state-criterion.months-delay', { months: criterion.months, domains })
    case 'reached-below':
      return say('state-criterion.reached-below', { percent: criterion.percent, domains })
    case 'any-delay':
      return say('state-criterion.any-delay', { domains })
  }
}

const compared = (value: number | 'unknown', reaches: (value: number) => boolean): Truth =>
  value === 'unknown' ? 'unknown' : truth(reaches(value))
