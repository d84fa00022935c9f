import type { Child } from '../child.ts'
import { factTerm } from './fact-terms.ts'
import type { Evidence } from '../facts.ts'
import { day, type Message, say } from '../messages/message.ts'

/** Do two records of one day disagree about this fact? Then it is not known, though it was recorded. */
export const isDisputed = ({ contradictions }: Pick<Child, 'contradictions'>, fact: string) =>
  contradictions.some((one) => one.fact === fact)

/** What disagrees, one sentence each: reported, never averaged away. */
export const disagreements = ({ contradictions }: Pick<Child, 'contradictions'>): Message[] =>
  contradictions.map(({ fact, on }) => {
    const [name = '', side] = fact.split('.')
    const values = { fact: factTerm(name), on: day(on) }
    return side === undefined
      ? say('disagreement.of-child', values)
      : say('disagreement.of-foot', { ...values, side })
  })

export const disputedEvidence = ({ contradictions }: Pick<Child, 'contradictions'>): Evidence[] =>
  contradictions.flatMap(({ evidence }) => evidence)
