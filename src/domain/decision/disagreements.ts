import type { Child } from '../child.ts'
import type { Evidence } from '../facts.ts'

/** Do two records of one day disagree about this fact? Then it is not known, though it was recorded. */
export const isDisputed = ({ contradictions }: Pick<Child, 'contradictions'>, fact: string) =>
  contradictions.some((one) => one.fact === fact)

/** What disagrees, one sentence each: reported, never averaged away. */
export const disagreements = ({ contradictions }: Pick<Child, 'contradictions'>): string[] =>
  contradictions.map(
    ({ fact, on }) => `Two records of ${on} disagree on ${spoken(fact)}: it is taken as not known`,
  )

export const disputedEvidence = ({ contradictions }: Pick<Child, 'contradictions'>): Evidence[] =>
  contradictions.flatMap(({ evidence }) => evidence)

/** `openSkin.left` is "open skin, left foot". */
function spoken(fact: string): string {
  const [name = '', side] = fact.split('.')
  const words = name
    .replaceAll(/([A-Z])/g, ' $1')
    .replaceAll('-', ' ')
    .toLowerCase()
  return side === undefined ? words : `${words}, ${side} foot`
}
