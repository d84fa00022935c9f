import { type CivilDate, daysBetween } from '../calendar.ts'
import type { Dimension, Measurement, Side } from '../child.ts'
import type { Evidence, Fact } from '../facts.ts'
import type { FootMeasure } from './growth.ts'
import { footLengthForAge } from './growth-rates.ts'
import type { MessageKey } from '../messages/catalogues.ts'
import { day, type Message, say } from '../messages/message.ts'
import type { Expected, Plausibility } from './plausibility.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { SourceId } from '../tables/sources.ts'
import type { Finding, Truth } from '../truth.ts'
import { DAYS_PER_MONTH, type Months } from '../units.ts'

interface Reason {
  readonly because: Message
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
const ASKED: Readonly<Partial<Record<Dimension, MessageKey>>> = {
  'foot-length': 'device-missing.foot-length',
  'forefoot-breadth': 'device-missing.forefoot-breadth',
  'ankle-circumference': 'device-missing.ankle-circumference',
}

/** What should be measured, when it is not on record. */
export function missing(dimension: Dimension, side: Side): readonly Finding[] {
  const asks = ASKED[dimension]
  if (asks === undefined) return []
  const rule = `measurement-missing.${dimension}.${side}`
  return [warning(rule, { because: say(asks), holds: 'unknown', sources: ['common-practice'] })]
}

/** Two measurements of one day that cannot both be right, so that neither is used. */
export function contradicting(
  { dimension, side }: { readonly dimension: Dimension; readonly side: Side },
  on: CivilDate,
  evidence: readonly Evidence[],
): Finding {
  const because = say('device-doubt.contradicting', {
    dimension: say(`dimension.${dimension}`),
    on: day(on),
  })
  return warning(`contradicting-measurements.${dimension}.${side}`, { because, evidence })
}

/** What is said about a value that was, or could not be, compared with what is expected. */
export function questioned(
  { dimension, side }: { readonly dimension: Dimension; readonly side: Side },
  { value, on, evidence }: Fact<Measurement>,
  { doubt, expected }: { readonly doubt: Plausibility; readonly expected: Expected | 'unknown' },
): readonly Finding[] {
  const name = `${dimension}.${side}`
  const said = { dimension: say(`dimension.${dimension}`), mm: value.mm, on: day(on) }
  if (expected === 'unknown') {
    const because = say('device-doubt.not-compared', said)
    const reason: Reason = { because, holds: 'unknown', evidence: [evidence] }
    return [warning(`implausible-measurement.${name}`, reason)]
  }
  if (doubt === 'plausible') return []

  const slip = doubt === 'unit-slip'
  const because = say(slip ? 'device-doubt.unit-slip' : 'device-doubt.implausible', {
    ...said,
    expected: expected.words,
  })
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
  const reserve = rules.sizing.growthReserveMm
  if (grown <= reserve) return []
  const because = say('device-doubt.stale', { on: day(length.on), grown, reserve })
  const sources: readonly SourceId[] = ['foot-length-curve', 'judgement']
  return [warning(`stale-measurement.${side}`, { because, sources, evidence: [length.evidence] })]
}
