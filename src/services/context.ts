import type { Language } from '../domain/messages/catalogues.ts'
import type { RuleSet } from '../domain/rules/rule-set.ts'
import type { SizeChart } from '../domain/device/sizing.ts'
import type { Database } from '../storage/database.ts'

/** Everything a service function needs and does not compute itself. State lives nowhere else. */
export interface Context {
  readonly db: Database
  readonly now: () => Date
  readonly newId: () => string
  /** Without a slash at its end, `http://127.0.0.1:3000/fhir`. */
  readonly baseUrl: string
  readonly ruleSet: RuleSet
  /** In force for a clinic that has sent none. */
  readonly chart: SizeChart
  /** Reads a stored chart; what was read before is not read again. */
  readonly readChart: (text: string) => SizeChart
  /** Of the sentences in what is stored. */
  readonly language: Language
  /** Name and version, as every result carries it. */
  readonly software: string
}
