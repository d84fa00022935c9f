import type { StandardisedResult } from '../child.ts'

/** A standardised result in the terms of the thresholds; what the test does not give is absent. */
export interface Standardised {
  /** Standard deviations from the mean of the test; negative is below. */
  readonly z?: number
  readonly percentDelay?: number
  readonly text: string
}

/**
 * What does a standardised gross motor result say for thresholds?
 *
 * Taken as given: no norms of a test are held here, and neither a percentage nor a z is made from
 * the other, since a fixed percentage is not a fixed rarity. A standard score becomes
 * z = (score - mean) / SD with the mean and SD sent with it.
 *
 * @throws RangeError for numbers that are not finite or an SD that is not above zero
 */
export function standardised(result: StandardisedResult): Standardised {
  if (result.kind === 'percent-delay') {
    const percentDelay = finite(result.percent)
    return { percentDelay, text: `standardised test: delay ${percentDelay} %` }
  }
  if (result.kind === 'z-score') {
    const z = finite(result.z)
    return { z, text: `standardised test: z ${z}` }
  }
  const { score, mean, sd } = result
  if (!(sd > 0)) throw new RangeError('the standard deviation must be above zero')
  const z = finite((score - mean) / sd)
  const text = `standardised test: score ${score} (mean ${mean}, SD ${sd}), z ${z.toFixed(2)}`
  return { z, text }
}

function finite(value: number): number {
  if (Number.isFinite(value)) return value
  throw new RangeError('a standardised result must be a finite number')
}
