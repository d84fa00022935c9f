import { bareCode, isBare } from '../fhir/bare-tokens.ts'
import type { Atom } from '../fhir/r4/search-line.ts'
import type { Filter, TokenCriterion } from '../fhir/search-filter.ts'
import type { TypedColumns } from '../fhir/search-params.ts'
import { type Branch, column, filled, rows } from './search-branch.ts'
import { codeCondition, codesOf } from './search-codes.ts'
import { allOf, type SearchStatement } from './search-statement.ts'

export function tokenBranches(
  sql: SearchStatement,
  columns: TypedColumns,
  filter: Extract<Filter, { kind: 'token' }>,
): Branch[] {
  return [
    ...filter.atoms
      .filter(isBare)
      .flatMap((atom) => bareBranches(sql, columns, atom, filter.values)),
    ...codedBranches(sql, columns, filter),
  ]
}

/** Of values without a system, at one place. */
function bareBranches(
  sql: SearchStatement,
  columns: TypedColumns,
  atom: Atom,
  values: readonly TokenCriterion[],
): Branch[] {
  const asked = values.flatMap((value) => bareCode(atom, value) ?? [])
  if (asked.length === 0) return []
  const codes = asked.flatMap((one) => (one === 'any' ? [] : [one.code]))
  const isAny = codes.length < asked.length
  if (atom.path === columns.status)
    return [
      isAny ? filled('status') : column((resource) => sql.equals(`${resource}.status`, codes)),
    ]
  return [
    rows('index_tokens', (row) =>
      allOf([
        sql.equals(`${row}.path`, [atom.path]),
        ...(isAny ? [] : [sql.equals(`${row}.code`, codes)]),
      ]),
    ),
  ]
}

/** Of values with a system; the first coding of one place has columns. */
function codedBranches(
  sql: SearchStatement,
  columns: TypedColumns,
  { atoms, values }: Extract<Filter, { kind: 'token' }>,
): Branch[] {
  const paths = atoms.filter((atom) => !isBare(atom)).map(({ path }) => path)
  if (paths.length === 0) return []
  return [...bySystem(values)].flatMap(([system, codes]) => {
    const token = (systemColumn: string, codeColumn: string) =>
      allOf([
        ...(system === undefined ? [] : [`${systemColumn} = ${sql.value(system)}`]),
        ...(codes === undefined
          ? []
          : [codeCondition(sql, { system: systemColumn, code: codeColumn }, codesOf(codes))]),
      ])
    const hasColumn = columns.code !== undefined && paths.includes(columns.code)
    return [
      ...(hasColumn
        ? [column((resource) => token(`${resource}.code_system`, `${resource}.code`))]
        : []),
      rows(
        'index_tokens',
        (row) => `${sql.equals(`${row}.path`, paths)} and ${token(`${row}.system`, `${row}.code`)}`,
      ),
    ]
  })
}

/** What is asked of each system; undefined when any code of it will do. */
function bySystem(
  criteria: readonly TokenCriterion[],
): Map<string | undefined, readonly TokenCriterion[] | undefined> {
  const found = new Map<string | undefined, readonly TokenCriterion[] | undefined>()
  for (const criterion of criteria) {
    const { system, code } = criterion
    if (code === undefined) found.set(system, undefined)
    else if (!found.has(system) || found.get(system) !== undefined)
      found.set(system, [...(found.get(system) ?? []), criterion])
  }
  return found
}
