import type { Language } from '../domain/messages/catalogues.ts'
import type { RuleSet } from '../domain/rules/rule-set.ts'
import type { SizeChart } from '../domain/device/sizing.ts'
import type { CheckpointKeys } from '../security/checkpoint-keys.ts'
import type { Audit } from './audit.ts'
import type { Copies } from '../storage/copy.ts'
import type { Database } from '../storage/database.ts'

/** Everything a service function needs and does not compute itself. State lives nowhere else. */
export interface Context {
  readonly db: Database
  readonly audit: Audit
  readonly checkpointKeys: CheckpointKeys
  /** Streams large answers, beside the pool. */
  readonly copies: Copies
  readonly now: () => Date
  readonly newId: () => string
  /** Without a slash at its end, `http://127.0.0.1:3000/fhir`. */
  readonly baseUrl: string
  /** May scripts in a browser call the service? */
  readonly cors: boolean
  /** Where notifications may go although it is no HTTPS, or not on the open Internet. */
  readonly notifyOrigins: readonly string[]
  /** Signs where a page ended, so that nobody makes a link to another place. */
  readonly pageKey: Uint8Array
  /** In force for a clinic that has made none of its own active. */
  readonly ruleSet: RuleSet
  /** Reads the Library of a rule set; what was read before is not read again. */
  readonly readRuleSet: (text: string) => RuleSet
  /** In force for a clinic that has sent none. */
  readonly chart: SizeChart
  /** Reads a stored chart; what was read before is not read again. */
  readonly readChart: (text: string) => SizeChart
  /** Of the sentences in what is stored. */
  readonly language: Language
  /** Name and version, as every result carries it. */
  readonly software: string
}

/** The name and the version of what runs. */
export function softwareOf({ software }: Pick<Context, 'software'>): {
  readonly name: string
  readonly version: string
} {
  const [name = '', version = ''] = software.split(' ')
  return { name, version }
}
