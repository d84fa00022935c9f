import type { Atom } from '../fhir/r4/search-line.ts'
import type { Filter, ReferenceCriterion } from '../fhir/search-filter.ts'
import type { TypedColumns } from '../fhir/search-params.ts'
import { type Branch, column, rows } from './search-branch.ts'
import { anyOf, type SearchStatement } from './search-statement.ts'

type Own = Extract<ReferenceCriterion, { kind: 'own' }>
type Elsewhere = Extract<ReferenceCriterion, { kind: 'elsewhere' }>

/** Does this atom count references to the type? */
export const leadsTo = ({ targets }: Atom, type: string): boolean =>
  targets.length === 0 || targets.includes(type)

/** The one path of which references to a Patient have a column. */
export const isPatientColumn = (columns: TypedColumns, { path }: Atom): boolean =>
  path === columns.patient

export function referenceBranches(
  sql: SearchStatement,
  columns: TypedColumns,
  { atoms, values }: Extract<Filter, { kind: 'reference' }>,
): Branch[] {
  const own = values.filter((value) => value.kind === 'own')
  const elsewhere = values.filter((value) => value.kind === 'elsewhere')
  return [
    ...patientBranches(sql, columns, atoms, own),
    ...ownBranches(sql, columns, atoms, own),
    ...elsewhereBranches(sql, atoms, elsewhere),
  ]
}

function patientBranches(
  sql: SearchStatement,
  columns: TypedColumns,
  atoms: readonly Atom[],
  own: readonly Own[],
): Branch[] {
  const patients = own.filter(({ type }) => type === undefined || type === 'Patient')
  const [first] = patients
  const at = atoms.some((atom) => isPatientColumn(columns, atom) && leadsTo(atom, 'Patient'))
  if (first === undefined || !at) return []
  return [
    column((resource) =>
      sql.equals(
        `${resource}.patient_id`,
        patients.map(({ id }) => id),
      ),
    ),
  ]
}

/** Of each set of targets that is allowed: by id alone, or by type and id. */
function ownBranches(
  sql: SearchStatement,
  columns: TypedColumns,
  atoms: readonly Atom[],
  own: readonly Own[],
): Branch[] {
  // What may only be a Patient and has a column is in no row.
  const narrow = atoms.filter(
    (atom) => !(isPatientColumn(columns, atom) && atom.targets.join() === 'Patient'),
  )
  const inColumn = narrow.every((atom) => isPatientColumn(columns, atom))
  const asked = inColumn ? own.filter(({ type }) => type !== 'Patient') : own
  if (narrow.length === 0 || asked.length === 0) return []
  return [...groupedByTargets(narrow)].map(([targets, paths]) =>
    rows('index_references', (row) => {
      const allowed = targets === '' ? [] : [sql.equals(`${row}.target_type`, targets.split(','))]
      return [
        sql.equals(`${row}.path`, paths),
        ...allowed,
        anyOf(
          [...groupedByType(asked)].map(([type, ids]) =>
            [
              sql.equals(`${row}.target_id`, ids),
              ...(type === '' ? [] : [`${row}.target_type = ${sql.value(type)}`]),
            ].join(' and '),
          ),
        ),
      ].join(' and ')
    }),
  )
}

export function groupedByTargets(atoms: readonly Atom[]): Map<string, string[]> {
  const groups = new Map<string, string[]>()
  for (const { targets, path } of atoms)
    groups.set(targets.join(), [...(groups.get(targets.join()) ?? []), path])
  return groups
}

function groupedByType(own: readonly Own[]): Map<string, string[]> {
  const groups = new Map<string, string[]>()
  for (const { type = '', id } of own) groups.set(type, [...(groups.get(type) ?? []), id])
  return groups
}

function elsewhereBranches(
  sql: SearchStatement,
  atoms: readonly Atom[],
  elsewhere: readonly Elsewhere[],
): Branch[] {
  // A place that counts some types only says nothing about what stands elsewhere.
  const paths = atoms.filter(({ targets }) => targets.length === 0).map(({ path }) => path)
  if (paths.length === 0 || elsewhere.length === 0) return []
  return [
    rows('index_uris', (row) =>
      [
        sql.equals(`${row}.path`, paths),
        anyOf(
          elsewhere.map(({ url, version }) =>
            [
              `${row}.value = ${sql.value(url)}`,
              ...(version === undefined ? [] : [`${row}.version = ${sql.value(version)}`]),
            ].join(' and '),
          ),
        ),
      ].join(' and '),
    ),
  ]
}
