import type { Filter, TokenCriterion } from '../fhir/search-filter.ts'
import type { TypedColumns } from '../fhir/search-params.ts'
import { type Branch, column, rows } from './search-branch.ts'
import { codeCondition, codesOf } from './search-codes.ts'
import { allOf, type SearchStatement } from './search-statement.ts'

const BOOLEAN_SYSTEMS: ReadonlySet<string | undefined> = new Set([
  undefined,
  '',
  'http://hl7.org/fhir/special-values',
])

/**
 * What a criterion asks of values that have no system: a code of a required binding has one that the
 * resource does not repeat, so any is taken; a truth value has one that R4 names.
 */
function withoutSystem(type: string, criteria: readonly TokenCriterion[]): string[] {
  return criteria.flatMap(({ system, code }) =>
    code === undefined || (type === 'boolean' && !BOOLEAN_SYSTEMS.has(system)) ? [] : [code],
  )
}

export function tokenBranches(
  sql: SearchStatement,
  columns: TypedColumns,
  filter: Extract<Filter, { kind: 'token' }>,
): Branch[] {
  return [
    ...(['code', 'boolean'] as const).flatMap((type) => bareBranches(sql, columns, type, filter)),
    ...codedBranches(sql, columns, filter),
  ]
}

/** Of values without a system. */
function bareBranches(
  sql: SearchStatement,
  columns: TypedColumns,
  type: 'code' | 'boolean',
  { atoms, values }: Extract<Filter, { kind: 'token' }>,
): Branch[] {
  const places = atoms.filter((atom) => atom.type === type).map(({ path }) => path)
  const codes = withoutSystem(type, values)
  const narrow = places.filter((path) => path !== columns.status)
  if (codes.length === 0) return []
  return [
    ...(narrow.length === places.length
      ? []
      : [column((resource) => sql.equals(`${resource}.status`, codes))]),
    ...(narrow.length === 0
      ? []
      : [
          rows(
            'index_tokens',
            (row) => `${sql.equals(`${row}.path`, narrow)} and ${sql.equals(`${row}.code`, codes)}`,
          ),
        ]),
  ]
}

/** Of values with a system; the first coding of one place has columns. */
function codedBranches(
  sql: SearchStatement,
  columns: TypedColumns,
  { atoms, values }: Extract<Filter, { kind: 'token' }>,
): Branch[] {
  const paths = atoms
    .filter(({ type }) => type !== 'code' && type !== 'boolean')
    .map(({ path }) => path)
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
