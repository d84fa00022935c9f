import type { Evidence, Recorded } from './facts.ts'
import type { Message } from './messages/message.ts'
import type { SourceId } from './tables/sources.ts'

/** Kleene's three values. `unknown` is an answer: nobody has looked, or it cannot be told. */
export const TRUTHS = ['yes', 'no', 'unknown'] as const
export type Truth = (typeof TRUTHS)[number]

/** One step of an explanation: which rule, what it found, why, from which data, on whose authority. */
export interface Finding {
  /** The rule's identifier, the same word as in the rule set and in the answer. */
  readonly rule: string
  readonly holds: Truth
  /** One plain sentence for the therapist and one for the family, without identifying data. */
  readonly because: Message
  /** Keys of `SOURCES`: the publication, or `common-practice`, `judgement`, `memory`. */
  readonly sources: readonly SourceId[]
  /** The versions of the resources that were used, in a stable order. */
  readonly evidence: readonly Evidence[]
}

/** `no` outranks `unknown`. Of nothing at all, everything holds. */
export function allOf(values: readonly Truth[]): Truth {
  if (values.includes('no')) return 'no'
  return values.includes('unknown') ? 'unknown' : 'yes'
}

/** `yes` outranks `unknown`. Of nothing at all, nothing holds. */
export function anyOf(values: readonly Truth[]): Truth {
  if (values.includes('yes')) return 'yes'
  return values.includes('unknown') ? 'unknown' : 'no'
}

export function not(value: Truth): Truth {
  if (value === 'unknown') return 'unknown'
  return value === 'yes' ? 'no' : 'yes'
}

export const truth = (value: boolean): Truth => (value ? 'yes' : 'no')

/** What somebody answered; `unknown` when nobody was asked. */
export const truthOf = (recorded: Recorded<boolean>): Truth =>
  recorded === 'unknown' ? 'unknown' : truth(recorded.value)
