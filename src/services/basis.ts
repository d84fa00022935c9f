import type { SizeChart } from '../domain/device/sizing.ts'
import type { RuleSet } from '../domain/rules/rule-set.ts'
import type { Caller } from '../security/access-token.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'

/** What every number of an answer is computed with. */
export interface Basis {
  readonly rules: RuleSet
  readonly chart: SizeChart
}

/** What a caller asks for instead of what is in force. */
export interface Asked {
  /** Version of a rule set, or `id|version`. */
  readonly ruleSet?: string | undefined
  /** What was in force at this instant. */
  readonly knownAt?: string | undefined
}

/** The rule set and the size chart that hold for a caller's clinic. */
export async function basisOf(
  _tx: Tx,
  { ruleSet, chart }: Context,
  _caller: Caller,
  _asked: Asked = {},
): Promise<Basis> {
  return { rules: ruleSet, chart }
}
