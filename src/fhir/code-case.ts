import type { TokenCriterion } from './search-filter.ts'
import { indexed } from './search-text.ts'

/**
 * Systems whose codes are known to differ by case: those of R4 itself, UCUM and our own. Of any other it is in
 * doubt, and R4 3.1.1.4.10 then asks for a search without regard to case: what is found too much does less
 * harm than what is missed. The tables of HL7 v2 and the classifications that R4 only gives an address are
 * among the others. Read alike by JavaScript and by PostgreSQL.
 */
export const CASE_SENSITIVE =
  '^(http://hl7[.]org/fhir/(?!sid/)|http://terminology[.]hl7[.]org/CodeSystem/(?!v2-)|http://unitsofmeasure[.]org$|https://footing[.]example/fhir/)'

const PATTERN = new RegExp(CASE_SENSITIVE)

export const isCaseSensitive = (system: string): boolean => PATTERN.test(system)

/**
 * Types whose values are codes or addresses. The value of an identifier, a version or a path is a name, of
 * which the case is part: a condition must not mean the resource of somebody else.
 */
const WITHOUT_CASE: ReadonlySet<string> = new Set(['Coding', 'CodeableConcept', 'ContactPoint'])

/** A code as the index has it: in lower case where its system is not known to tell cases apart. */
export const comparedCode = (system: string, code: string): string =>
  indexed(isCaseSensitive(system) ? code : code.toLowerCase())

/** What is asked for as it is compared at a place of these types. */
export function comparedToken(
  types: readonly string[],
  { system, code }: TokenCriterion,
): TokenCriterion {
  const named = system === undefined ? {} : { system: indexed(system) }
  if (code === undefined) return named
  if (!types.some((type) => WITHOUT_CASE.has(type))) return { ...named, code: indexed(code) }
  if (system !== undefined) return { ...named, code: comparedCode(system, code) }
  const lower = code.toLowerCase()
  return { code: indexed(code), ...(lower === code ? {} : { anyCase: indexed(lower) }) }
}
