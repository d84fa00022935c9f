import type { Atom } from './r4/search-line.ts'
import type { TokenCriterion } from './search-filter.ts'

/** The system of truth values: as R4 3.1.1.4.10 names it, and as the code system itself is published. */
const BOOLEANS: readonly string[] = [
  'http://terminology.hl7.org/CodeSystem/special-values',
  'http://hl7.org/fhir/special-values',
]

type Place = Pick<Atom, 'type' | 'systems'>

/** Does a code or truth value stand there, which the resource gives no system? */
export const isBare = ({ type }: Place): boolean => type === 'code' || type === 'boolean'

/**
 * What a criterion asks of a code or truth value: its system is the implied one or none, and any other finds
 * nothing (R4 3.1.1.4.10).
 *
 * @returns the code; 'any' for the implied system alone; undefined when nothing can meet it
 */
export function bareCode(
  { type, systems = [] }: Place,
  { system, code }: TokenCriterion,
): { readonly code: string } | 'any' | undefined {
  const isNamed = system !== undefined && system !== ''
  if (isNamed && !(type === 'boolean' ? BOOLEANS : systems).includes(system)) return undefined
  if (code !== undefined) return { code }
  return isNamed ? 'any' : undefined
}
