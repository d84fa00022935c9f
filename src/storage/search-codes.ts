import { CASE_SENSITIVE } from '../fhir/code-case.ts'
import type { TokenCriterion } from '../fhir/search-filter.ts'
import type { SearchStatement } from './search-statement.ts'

/** Codes that are looked for: as they are written, and in lower case where case may not count. */
export interface Codes {
  readonly written: readonly string[]
  readonly anyCase: readonly string[]
}

export const codesOf = (
  criteria: readonly { readonly [Name in 'code' | 'anyCase']?: TokenCriterion[Name] | undefined }[],
): Codes => ({
  written: criteria.flatMap(({ code }) => code ?? []),
  anyCase: criteria.flatMap(({ anyCase }) => anyCase ?? []),
})

/** The index has both in one column, so one look leads to them; then the system decides. */
export function codeCondition(
  sql: SearchStatement,
  columns: { readonly system: string; readonly code: string },
  { written, anyCase }: Codes,
): string {
  const [first] = anyCase
  if (first === undefined) return sql.equals(columns.code, written)
  return `${sql.equals(columns.code, [...new Set([...written, ...anyCase])])}
    and (${sql.equals(columns.code, written)} or ${columns.system} !~ ${sql.value(CASE_SENSITIVE)})`
}
