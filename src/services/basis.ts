import type { SizeChart } from '../domain/device/sizing.ts'
import type { Language } from '../domain/messages/catalogues.ts'
import { type Speaker, speaker } from '../domain/messages/speaker.ts'
import type { RuleSet } from '../domain/rules/rule-set.ts'
import type { Caller } from '../security/access-token.ts'
import { seeWholeClinic } from '../storage/scope.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { askedRuleSet, ruleSetInForce } from './rule-sets.ts'
import { askedChart, chartInForce } from './size-charts.ts'

/** What every number of an answer is computed with. */
export interface Basis {
  readonly rules: RuleSet
  readonly chart: SizeChart
  /** In whose language the answer is. */
  readonly speaker: Speaker
  /** False when something else was asked for than what is in force: then nothing is stored. */
  readonly inForce: boolean
}

/** What a caller asks for instead of what is in force. */
export interface Asked {
  /** Version of a rule set, or `id|version`. */
  readonly ruleSet?: string | undefined
  /** A size chart, `id|version`. */
  readonly chart?: string | undefined
  readonly language?: Language | undefined
  /** What was in force at this instant. */
  readonly knownAt?: string | undefined
}

/**
 * The rule set and the size chart that hold for a caller's clinic.
 *
 * Both are the clinic's own, which a partner does not see: from here on the transaction sees the whole
 * clinic, so what the caller may see has been decided before.
 */
export async function basisOf(
  tx: Tx,
  context: Context,
  caller: Caller,
  asked: Asked = {},
): Promise<Basis> {
  await seeWholeClinic(tx)
  const { clinicId } = caller
  const { knownAt, language = context.language } = asked
  const [rules, chart] = await Promise.all([
    ruleSetInForce(tx, context, clinicId, knownAt),
    chartInForce(tx, context, clinicId, knownAt),
  ])
  const otherRules =
    asked.ruleSet === undefined ? rules : await askedRuleSet(tx, context, caller, asked.ruleSet)
  const otherChart =
    asked.chart === undefined ? chart : await askedChart(tx, context, clinicId, asked.chart)
  return {
    rules: otherRules,
    chart: otherChart,
    speaker: speaker(language),
    inForce:
      knownAt === undefined &&
      isSame(otherRules, rules) &&
      isSame(otherChart, chart) &&
      language === context.language,
  }
}

interface Named {
  readonly id: string
  readonly version: string
}

const isSame = (one: Named, other: Named): boolean =>
  one.id === other.id && one.version === other.version
