import type { StandardisedResult } from '../child.ts'
import { type Message, say } from '../messages/message.ts'

/** A standardised result in the terms of the thresholds; what the test does not give is absent. */
export interface Standardised {
  /** Standard deviations from the mean of the test; negative is below. */
  readonly z?: number
  readonly percentDelay?: number
  readonly because: Message
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
    const percent = finite(result.percent)
    const values = { percent, result: percent > 0 ? 'below' : 'at' }
    return { percentDelay: percent, because: say('standardised.percent-delay', values) }
  }
  if (result.kind === 'z-score') {
    const z = finite(result.z)
    return { z, because: say('standardised.z-score', { z, result: against(z) }) }
  }
  const { score, mean, sd } = result
  if (!(sd > 0)) throw new RangeError('the standard deviation must be above zero')
  const z = finite((score - mean) / sd)
  const values = { score, mean, sd, z, result: against(z) }
  return { z, because: say('standardised.standard-score', values) }
}

/** Of one standard deviation either side of the mean it is usual to say "average"; common practice. */
const AVERAGE_SD = 1

/** Where a result lies against what is typical, in words of the messages. */
function against(z: number): 'below' | 'at' | 'above' {
  if (Math.abs(z) <= AVERAGE_SD) return 'at'
  return z < 0 ? 'below' : 'above'
}

function finite(value: number): number {
  if (Number.isFinite(value)) return value
  throw new RangeError('a standardised result must be a finite number')
}
