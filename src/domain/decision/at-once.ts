import type { RedFlagId } from './red-flags.ts'
import type { Finding } from '../truth.ts'

/** The red flags of the caution `physician-at-once`; common practice, no figure of anybody. */
const AT_ONCE: ReadonlySet<string> = new Set<RedFlagId>([
  'regression',
  'one-sided-weakness',
  'fever-or-new-limp',
])

/**
 * Which of the red flags send the child to a physician at once, rather than first?
 *
 * Only what is known to be present; a red flag that nobody recorded is unknown and is not among them.
 *
 * @see SOURCES common-practice
 */
export const atOnce = (redFlags: readonly Finding[]): readonly Finding[] =>
  redFlags.filter(({ rule, holds }) => holds === 'yes' && AT_ONCE.has(rule))
