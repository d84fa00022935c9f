import type { Filter } from '../fhir/search-filter.ts'
import { identifierPath, textPath } from '../fhir/search-index.ts'
import type { TypedColumns } from '../fhir/search-params.ts'
import { type Branch, filled, type IndexName, rows } from './search-branch.ts'
import { groupedByTargets } from './search-references.ts'
import type { SearchStatement } from './search-statement.ts'

type Missing = Extract<Filter, { kind: 'missing' }>

/** The ways in which a parameter may have any value at all, for `:missing`. */
export function presentBranches(
  sql: SearchStatement,
  columns: TypedColumns,
  { of, atoms }: Missing,
): Branch[] {
  const paths = atoms.map(({ path }) => path)
  const at = (table: IndexName, places: readonly string[]) =>
    rows(table, (row) => sql.equals(`${row}.path`, places))
  const has = (path: string | undefined) => path !== undefined && paths.includes(path)
  switch (of) {
    case 'token':
      return [
        ...(has(columns.status) ? [filled('status')] : []),
        ...(has(columns.code) ? [filled('code')] : []),
        at('index_tokens', paths),
        at('index_strings', paths.map(textPath)),
      ]
    case 'reference':
      return [
        ...(has(columns.patient) ? [filled('patient_id')] : []),
        ...referencePresence(sql, atoms),
      ]
    case 'date':
      return [...(columns.date.some(has) ? [filled('date_start')] : []), at('index_dates', paths)]
    case 'string':
      return [at('index_strings', paths)]
    case 'uri':
      return [at('index_uris', paths)]
    case 'number':
    case 'quantity':
      return [at('index_quantities', paths)]
    case 'composite':
      return []
  }
}

/** A reference that leaves this service or names an identifier alone is also a value. */
function referencePresence(sql: SearchStatement, atoms: Missing['atoms']): Branch[] {
  return [...groupedByTargets(atoms)].flatMap(([targets, paths]) =>
    targets === ''
      ? [
          rows('index_references', (row) => sql.equals(`${row}.path`, paths)),
          rows('index_uris', (row) => sql.equals(`${row}.path`, paths)),
          rows('index_tokens', (row) => sql.equals(`${row}.path`, paths.map(identifierPath))),
        ]
      : [
          rows(
            'index_references',
            (row) =>
              `${sql.equals(`${row}.path`, paths)} and ${sql.equals(`${row}.target_type`, targets.split(','))}`,
          ),
        ],
  )
}
