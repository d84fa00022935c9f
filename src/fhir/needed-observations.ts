import type { Side } from '../domain/child.ts'
import type { MissingFact } from '../domain/decision/suitability.ts'
import type { Message } from '../domain/messages/message.ts'
import type { Code } from './codes.ts'
import { factCodes } from './fact-codes.ts'

/** An observation that would decide, and why it is asked for. */
export interface NeededObservation {
  readonly code: Code
  readonly side?: Side
  readonly because: Message
}

/** What would decide, each observation once, most decisive first. */
export function neededObservations(missing: readonly MissingFact[]): NeededObservation[] {
  const needed = new Map<string, NeededObservation>()
  for (const { facts, because } of missing)
    for (const { code, side } of facts.flatMap(factCodes)) {
      const key = linkOf(code, side)
      if (!needed.has(key))
        needed.set(key, { code, ...(side === undefined ? {} : { side }), because })
    }
  return [...needed.values()]
}

/** The name of an observation, the same everywhere: its code, with the foot when it is of one. */
export const linkOf = ({ code }: Code, side: Side | undefined): string =>
  side === undefined ? code : `${code}.${side}`
