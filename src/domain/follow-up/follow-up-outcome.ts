import type { VisitFindings } from './follow-up.ts'
import type { Truth } from '../truth.ts'

/** The first outranks those after it. */
export const FOLLOW_UP_OUTCOMES = [
  'stop',
  'new-size',
  'adjust',
  'review',
  'unknown',
  'continue',
] as const
export type FollowUpOutcome = (typeof FOLLOW_UP_OUTCOMES)[number]

/**
 * What follows from a visit: the weightiest thing that was found?
 *
 * - `stop`: a stop sign, a skill lost or tone that rises, redness past the limit.
 * - `new-size`: a device is outgrown.
 * - `adjust`: the fit check asks for it.
 * - `review`: nothing gained in time, redness to be told, worn shorter or longer than scheduled.
 * - `unknown`: something was not looked at, and what was found is fine.
 * - `continue`: all is known and fine.
 */
export function followUpOutcome(found: VisitFindings): FollowUpOutcome {
  const { stopSigns, lost, fitCheck, outgrown, stalled, wear } = found
  const fit = fitCheck === 'unknown' ? 'unknown' : fitCheck.verdict
  const harms = [lost.holds, ...stopSigns.map(({ holds }) => holds)]
  const grown = outgrown.map(({ finding }) => finding.holds)
  const any = (values: readonly Truth[], value: Truth) => values.includes(value)
  if (any(harms, 'yes') || fit === 'stop') return 'stop'
  if (any(grown, 'yes')) return 'new-size'
  if (fit === 'adjust') return 'adjust'
  if (stalled.holds === 'yes' || fit === 'tell' || wear.holds === 'no') return 'review'
  const all = [...harms, ...grown, stalled.holds, wear.holds]
  // Without a device there is nothing that could be fine.
  const open = any(all, 'unknown') || fit === 'unknown' || outgrown.length === 0
  return open ? 'unknown' : 'continue'
}
