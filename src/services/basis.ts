import type { SizeChart } from '../domain/device/sizing.ts'
import type { Language } from '../domain/messages/catalogues.ts'
import { type Speaker, speaker } from '../domain/messages/speaker.ts'
import type { RuleSet } from '../domain/rules/rule-set.ts'
import type { Caller } from '../security/access-token.ts'
import { seeWholeClinic } from '../storage/scope.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
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
  { clinicId }: Caller,
  asked: Asked = {},
): Promise<Basis> {
  await seeWholeClinic(tx)
  const chart = await chartInForce(tx, context, clinicId, asked.knownAt)
  const wanted = asked.chart
  const other = wanted === undefined ? chart : await askedChart(tx, context, clinicId, wanted)
  const language = asked.language ?? context.language
  const inForce =
    other.id === chart.id && other.version === chart.version && language === context.language
  return { rules: context.ruleSet, chart: other, speaker: speaker(language), inForce }
}
