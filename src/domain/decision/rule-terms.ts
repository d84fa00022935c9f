import { CRITERIA, EXCLUSIONS } from './decision.ts'
import { type Message, say } from '../messages/message.ts'
import { isRedFlag, RED_FLAG_RULES } from './red-flags.ts'
import type { Finding, Truth } from '../truth.ts'

const TERMS: ReadonlyMap<string, Message> = new Map<string, Message>([
  ...CRITERIA.map((id): [string, Message] => [id, say(`criterion.${id}`)]),
  ...EXCLUSIONS.map((id): [string, Message] => [id, say(`exclusion.${id}`)]),
  ...Object.keys(RED_FLAG_RULES)
    .filter(isRedFlag)
    .map((id): [string, Message] => [id, say(`red-flag.${id}`)]),
])

/**
 * What are the criteria, exclusions and red flags called of which this is found? In their order.
 *
 * @throws RangeError for another rule, rather than leave out what was found
 */
export const termsOf = (findings: readonly Finding[], holds: Truth): readonly Message[] =>
  findings.filter((finding) => finding.holds === holds).map(({ rule }) => termOf(rule))

function termOf(rule: string): Message {
  const term = TERMS.get(rule)
  if (term === undefined) throw new RangeError(`${rule} has no term`)
  return term
}
