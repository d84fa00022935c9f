import type { Atom } from '../fhir/r4/search-line.ts'
import type { Filter, TokenCriterion } from '../fhir/search-filter.ts'
import type { TypedColumns } from '../fhir/search-params.ts'
import { type Branch, column, rows } from './search-branch.ts'
import { referenceBranches } from './search-references.ts'
import {
  dateCondition,
  numberCondition,
  prefixCondition,
  stringCondition,
  unitConditions,
} from './search-ranges.ts'
import { anyOf, type SearchStatement } from './search-statement.ts'
import { pairCondition } from './search-pairs.ts'

/** Filters that are answered by the values of one resource alone. */
export type PlainFilter = Extract<
  Filter,
  { kind: 'token' | 'reference' | 'string' | 'uri' | 'date' | 'quantity' | 'pair' }
>

/** The ways in which a filter may hold, its negation aside; any of them is enough. */
export function branchesOf(
  sql: SearchStatement,
  columns: TypedColumns,
  filter: PlainFilter,
): Branch[] {
  switch (filter.kind) {
    case 'token':
      return tokenBranches(sql, columns, filter)
    case 'reference':
      return referenceBranches(sql, columns, filter)
    case 'string':
      return [
        rows('index_strings', (row) =>
          atPaths(sql, row, filter.atoms, filter.values, (value) =>
            stringCondition(sql, row, value),
          ),
        ),
      ]
    case 'uri':
      return [
        rows('index_uris', (row) =>
          atPaths(sql, row, filter.atoms, filter.values, ({ values, below, version }) => {
            const url = below
              ? anyOf(
                  values.flatMap((value) => [
                    `${row}.value = ${sql.value(value)}`,
                    prefixCondition(sql, `${row}.value`, `${value}/`),
                  ]),
                )
              : sql.equals(`${row}.value`, values)
            return version === undefined
              ? url
              : `(${url} and ${row}.version = ${sql.value(version)})`
          }),
        ),
      ]
    case 'date':
      return dateBranches(sql, columns, filter)
    case 'quantity':
      return [
        rows('index_quantities', (row) =>
          atPaths(sql, row, filter.atoms, filter.values, (value) =>
            [
              numberCondition(sql, { row, hasNear: true }, value),
              ...unitConditions(
                sql,
                { system: `${row}.system`, code: `${row}.code`, unit: `${row}.unit` },
                value,
              ),
            ].join(' and '),
          ),
        ),
      ]
    case 'pair':
      return [
        rows(
          'index_pairs',
          (row) =>
            `${sql.equals(`${row}.path`, filter.paths)} and ${anyOf(
              filter.values.map((value) => pairCondition(sql, row, value)),
            )}`,
        ),
      ]
  }
}

function atPaths<Value>(
  sql: SearchStatement,
  row: string,
  atoms: readonly Atom[],
  values: readonly Value[],
  condition: (value: Value) => string,
): string {
  const paths = atoms.map(({ path }) => path)
  return `${sql.equals(`${row}.path`, paths)} and ${anyOf(values.map(condition))}`
}

function dateBranches(
  sql: SearchStatement,
  columns: TypedColumns,
  { atoms, values }: Extract<Filter, { kind: 'date' }>,
): Branch[] {
  const narrow = atoms.filter(({ path }) => !columns.date.includes(path))
  return [
    ...(narrow.length === atoms.length
      ? []
      : [
          column((resource) => {
            const span = { start: `${resource}.date_start`, end: `${resource}.date_end` }
            return anyOf(values.map((value) => dateCondition(sql, span, value)))
          }),
        ]),
    ...(narrow.length === 0
      ? []
      : [
          rows('index_dates', (row) => {
            const span = { start: `${row}."start"`, end: `${row}."end"` }
            return atPaths(sql, row, narrow, values, (value) => dateCondition(sql, span, value))
          }),
        ]),
  ]
}

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

function tokenBranches(
  sql: SearchStatement,
  columns: TypedColumns,
  { atoms, values }: Extract<Filter, { kind: 'token' }>,
): Branch[] {
  const branches: Branch[] = []
  for (const type of ['code', 'boolean'] as const) {
    const of = atoms.filter((atom) => atom.type === type)
    const codes = withoutSystem(type, values)
    if (codes.length === 0 || of.length === 0) continue
    if (of.some(({ path }) => path === columns.status))
      branches.push(column((resource) => sql.equals(`${resource}.status`, codes)))
    const paths = of.map(({ path }) => path).filter((path) => path !== columns.status)
    if (paths.length > 0)
      branches.push(
        rows(
          'index_tokens',
          (row) => `${sql.equals(`${row}.path`, paths)} and ${sql.equals(`${row}.code`, codes)}`,
        ),
      )
  }
  const others = atoms.filter(({ type }) => type !== 'code' && type !== 'boolean')
  if (others.length === 0) return branches
  const paths = others.map(({ path }) => path)
  for (const [system, codes] of bySystem(values)) {
    const token = (systemColumn: string, codeColumn: string) =>
      [
        ...(system === undefined ? [] : [`${systemColumn} = ${sql.value(system)}`]),
        ...(codes === undefined ? [] : [sql.equals(codeColumn, codes)]),
      ].join(' and ')
    if (columns.code !== undefined && paths.includes(columns.code))
      branches.push(column((resource) => token(`${resource}.code_system`, `${resource}.code`)))
    branches.push(
      rows(
        'index_tokens',
        (row) => `${sql.equals(`${row}.path`, paths)} and ${token(`${row}.system`, `${row}.code`)}`,
      ),
    )
  }
  return branches
}

/** Codes of each system; undefined instead of codes when any will do. */
function bySystem(
  criteria: readonly TokenCriterion[],
): Map<string | undefined, readonly string[] | undefined> {
  const found = new Map<string | undefined, readonly string[] | undefined>()
  for (const { system, code } of criteria)
    if (code === undefined) found.set(system, undefined)
    else if (!found.has(system) || found.get(system) !== undefined)
      found.set(system, [...(found.get(system) ?? []), code])
  return found
}
