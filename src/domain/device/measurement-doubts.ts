import { type CivilDate, daysBetween } from '../calendar.ts'
import type { Dimension, Measurement, Side } from '../child.ts'
import type { Evidence, Fact } from '../facts.ts'
import type { FootMeasure } from './growth.ts'
import { footLengthForAge } from './growth-rates.ts'
import type { Expected, Plausibility } from './plausibility.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { SourceId } from '../tables/sources.ts'
import type { Finding, Truth } from '../truth.ts'
import { DAYS_PER_MONTH, type Months } from '../units.ts'

interface Reason {
  readonly because: string
  readonly holds?: Truth
  readonly sources?: readonly SourceId[]
  readonly evidence?: readonly Evidence[]
}

/** What sizing warns of; it holds unless told otherwise. */
export function warning(rule: string, reason: Reason): Finding {
  const { because, holds = 'yes', sources = ['judgement'], evidence = [] } = reason
  return { rule, holds, because, sources, evidence }
}

/** Dimensions that choose the size; the edges and the closure speak for themselves. */
const ASKED: readonly Dimension[] = ['foot-length', 'forefoot-breadth', 'ankle-circumference']

const WHY_MISSED: Readonly<Partial<Record<Dimension, string>>> = {
  'foot-length': 'without it no size can be chosen: measure heel to longest toe, child standing',
  'forefoot-breadth': 'the size is chosen without it: measure across the ball, child standing',
  'ankle-circumference':
    'the size is chosen without it, and it cannot be inferred from the length: measure it',
}

/** What should be measured, when it is not on record. */
export function missing(dimension: Dimension, side: Side): readonly Finding[] {
  if (!ASKED.includes(dimension)) return []
  const because = `${words(dimension)} is not on record; ${WHY_MISSED[dimension] ?? 'measure it'}`
  const rule = `measurement-missing.${dimension}.${side}`
  return [warning(rule, { because, holds: 'unknown', sources: ['common-practice'] })]
}

/** What is said about a value that was, or could not be, compared with what is expected. */
export function questioned(
  { dimension, side }: { readonly dimension: Dimension; readonly side: Side },
  { value, on, evidence }: Fact<Measurement>,
  { doubt, expected }: { readonly doubt: Plausibility; readonly expected: Expected | 'unknown' },
): readonly Finding[] {
  const name = `${dimension}.${side}`
  const said = `${words(dimension)}, ${value.mm} mm on ${on},`
  if (expected === 'unknown') {
    const because = `${said} could not be compared: no published size for it at this age`
    const reason: Reason = { because, holds: 'unknown', evidence: [evidence] }
    return [warning(`implausible-measurement.${name}`, reason)]
  }
  if (doubt === 'plausible') return []

  const slip = doubt === 'unit-slip'
  const because = slip
    ? `${said} is off by a factor of ten, as when cm and mm are mixed up, and is not used; ${expected.words}; send it in mm`
    : `${said} is far from what is usual; ${expected.words}; measure again`
  const rule = slip ? `unit-slip.${name}` : `implausible-measurement.${name}`
  const sources: readonly SourceId[] = [...expected.sources, 'judgement']
  return [warning(rule, { because, sources, evidence: [evidence] })]
}

/**
 * Has the foot probably grown by more than the reserve since it was measured?
 *
 * Nothing is said where the curve has no value.
 */
export function stale(
  length: FootMeasure,
  { asOf, age, side }: { readonly asOf: CivilDate; readonly age: Months; readonly side: Side },
  rules: RuleSet,
): readonly Finding[] {
  const then = footLengthForAge(age - daysBetween(length.on, asOf) / DAYS_PER_MONTH)
  const now = footLengthForAge(age)
  if (then === 'unknown' || now === 'unknown') return []

  const grown = (length.mm / then) * (now - then)
  if (grown <= rules.sizing.growthReserveMm) return []
  const because =
    `the foot was measured on ${length.on} and has probably grown ${grown.toFixed(1)} mm since, more ` +
    `than the reserve of ${rules.sizing.growthReserveMm} mm: measure again before ordering`
  const sources: readonly SourceId[] = ['foot-length-curve', 'judgement']
  return [warning(`stale-measurement.${side}`, { because, sources, evidence: [length.evidence] })]
}

const words = (dimension: Dimension): string => dimension.replaceAll('-', ' ')
