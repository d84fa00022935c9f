import type { Atom } from '../fhir/r4/search-line.ts'
import type { Filter } from '../fhir/search-filter.ts'
import type { TypedColumns } from '../fhir/search-params.ts'
import { type Branch, column, rows } from './search-branch.ts'
import { referenceBranches } from './search-references.ts'
import { tokenBranches } from './search-tokens.ts'
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
