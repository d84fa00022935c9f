import type { TempoEstimate } from './tempo.ts'

/** The delays, percent, for which the tempo gives a probability. */
export const ESTIMATED_DELAYS = [25, 33, 50] as const

/**
 * How probable is a delay of at least so many percent? 0 to 1.
 *
 * @throws RangeError for a percentage that the tempo does not estimate
 */
export function probabilityOfDelay(
  percent: number,
  { delayProbability }: Pick<TempoEstimate, 'delayProbability'>,
): number {
  switch (percent) {
    case 25:
      return delayProbability.atLeast25
    case 33:
      return delayProbability.atLeast33
    case 50:
      return delayProbability.atLeast50
    default:
      throw new RangeError(`a delay must be one of ${ESTIMATED_DELAYS.join(', ')} percent`)
  }
}
