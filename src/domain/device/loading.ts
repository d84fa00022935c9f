import type { Dimension, Measurement } from '../child.ts'
import type { Fact } from '../facts.ts'
import type { FootMeasure } from './growth.ts'
import { warning } from './measurement-doubts.ts'
import { say } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { CHENG_1997 } from '../tables/cheng-1997.ts'
import type { Finding } from '../truth.ts'
import { millimetres } from '../units.ts'

/** The unit holds no more; an implausible value must not break the answer that questions it. */
const LONGEST_MM = 1000

/** Along the sole, so that standing on it would stretch them too; no published gain was seen. */
const UNCORRECTED: readonly Dimension[] = [
  'heel-to-first-metatarsal-head',
  'heel-to-fifth-toe-sulcus',
]

/**
 * How large would the measurement be with the child standing on the foot?
 *
 * Foot length and breadth taken unloaded get the middle of the published gain and a warning with
 * its range. Nothing else is corrected. A loading that is not on record leaves the value as it is
 * and says so.
 *
 * @param name dimension and side, as in the rule's identifier
 * @see CHENG_1997
 */
export function asLoaded(
  name: string,
  dimension: Dimension,
  { value, on, evidence }: Fact<Measurement>,
  rules: RuleSet,
): { readonly measure: FootMeasure; readonly warnings: readonly Finding[] } {
  const given = { on, mm: value.mm, loading: value.loading, evidence }
  const corrected = CHENG_1997.dimensions.some((name) => name === dimension)
  if (value.loading === 'loaded' || !(corrected || UNCORRECTED.includes(dimension)))
    return { measure: given, warnings: [] }

  const { unloadedGainLowPercent: low, unloadedGainHighPercent: high } = rules.sizing
  const term = say(`dimension.${dimension}`)
  const reason = { sources: [CHENG_1997.source], evidence: [evidence] } as const
  if (value.loading === 'unknown') {
    const because = say('device-loading.unknown', { dimension: term, low, high })
    const finding = warning(`loading-unknown.${name}`, { ...reason, because, holds: 'unknown' })
    return { measure: given, warnings: [finding] }
  }
  if (!corrected) {
    const because = say('device-loading.uncorrected', { dimension: term })
    return {
      measure: given,
      warnings: [warning(`unloaded-uncorrected.${name}`, { ...reason, because })],
    }
  }
  const gain = (low + high) / 2
  const mm = millimetres(Math.min(value.mm * (1 + gain / 100), LONGEST_MM))
  const values = { dimension: term, gain, low, high, measured: value.mm, mm }
  const because = say('device-loading.corrected', values)
  const finding = warning(`unloaded-correction.${name}`, { ...reason, because })
  return { measure: { ...given, mm }, warnings: [finding] }
}
