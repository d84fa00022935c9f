import type { Atom } from '../fhir/r4/search-line.ts'
import { rowOf } from '../fhir/registry.ts'
import type { Filter } from '../fhir/search-filter.ts'
import type { TypedColumns } from '../fhir/search-params.ts'
import { type Branch, column, rows } from './search-branch.ts'
import { containedBranches } from './search-contained.ts'
import { isPatientColumn, leadsTo } from './search-references.ts'
import { columnsOf, scopeOf, type Subject } from './search-subject.ts'

type Chain = Extract<Filter, { kind: 'chain' }>
type Has = Extract<Filter, { kind: 'has' }>

/** The references lead to a resource of the type that fulfils the filter. */
export function chainBranches(subject: Subject, columns: TypedColumns, chain: Chain): Branch[] {
  const { sql, clinicId, holds } = subject
  const { atoms, type, filter } = chain
  const found = () => {
    const target = sql.alias('t')
    return `select ${target}.id from resources ${target} where ${holds({ type, filters: [filter] }, target)}`
  }
  const leading = atoms.filter((atom) => leadsTo(atom, type))
  const [inColumn, narrow] = parted(columns, leading, type)
  const references = narrow.filter((atom) => atom.type === 'Reference')
  const canonicals = narrow.filter((atom) => atom.type === 'canonical')
  return [
    ...(inColumn.length === 0
      ? []
      : [column((resource) => `${resource}.patient_id in (${found()})`)]),
    ...(references.length === 0
      ? []
      : [
          rows(
            'index_references',
            (row) =>
              `${sql.equals(`${row}.path`, pathsOf(references))} and ${row}.target_type = ${sql.value(type)} and ${row}.target_id in (${found()})`,
          ),
        ]),
    ...(canonicals.length === 0 || !hasUrl(type)
      ? []
      : [
          rows('index_uris', (row) => {
            const url = sql.alias('u')
            return `${sql.equals(`${row}.path`, pathsOf(canonicals))} and ${row}.value in (select ${url}.value
              from index_uris ${url} where ${scopeOf({ sql, clinicId, type }, url)}
                and ${url}.path = ${sql.value('url')} and ${url}.id in (${found()}))`
          }),
        ]),
    ...containedBranches(subject, chain),
  ]
}

/** Can it be found by its URL, as a canonical names it? */
const hasUrl = (type: string): boolean =>
  rowOf(type)?.search.some(({ code }) => code === 'url') === true

const pathsOf = (atoms: readonly Atom[]): string[] => atoms.map(({ path }) => path)

/** References to a Patient at the place that has a column stand there and in no row. */
function parted(
  columns: TypedColumns,
  atoms: readonly Atom[],
  type: string,
): readonly [Atom[], Atom[]] {
  const has = (atom: Atom) => type === 'Patient' && isPatientColumn(columns, atom)
  return [atoms.filter(has), atoms.filter((atom) => !has(atom))]
}

/** Resources that refer to this one and fulfil the filter. */
export function hasCondition(
  { sql, clinicId, type: target, resource, holds }: Subject,
  { type, atoms, filter }: Has,
): string {
  const [inColumn, narrow] = parted(
    columnsOf(type),
    atoms.filter((atom) => leadsTo(atom, target)),
    target,
  )
  const references = narrow.filter((atom) => atom.type === 'Reference')
  const canonicals = narrow.filter((atom) => atom.type === 'canonical')
  const selects: string[] = []
  if (inColumn.length > 0) {
    const other = sql.alias('h')
    selects.push(
      `select ${other}.patient_id from resources ${other} where ${other}.patient_id is not null and ${holds({ type, filters: [filter] }, other)}`,
    )
  }
  if (references.length > 0) {
    const [row, other] = [sql.alias('x'), sql.alias('h')]
    selects.push(
      `select ${row}.target_id from index_references ${row} where ${scopeOf({ sql, clinicId, type }, row)}
        and ${sql.equals(`${row}.path`, pathsOf(references))} and ${row}.target_type = ${sql.value(target)}
        and ${row}.id in (select ${other}.id from resources ${other} where ${holds({ type, filters: [filter] }, other)})`,
    )
  }
  if (canonicals.length > 0 && hasUrl(target)) {
    const [row, url, other] = [sql.alias('x'), sql.alias('u'), sql.alias('h')]
    selects.push(
      `select ${url}.id from index_uris ${url} where ${scopeOf({ sql, clinicId, type: target }, url)}
        and ${url}.path = ${sql.value('url')} and ${url}.value in (select ${row}.value
          from index_uris ${row} where ${scopeOf({ sql, clinicId, type }, row)}
            and ${sql.equals(`${row}.path`, pathsOf(canonicals))}
            and ${row}.id in (select ${other}.id from resources ${other} where ${holds({ type, filters: [filter] }, other)}))`,
    )
  }
  return selects.length === 0 ? 'false' : `${resource}.id in (${selects.join(' union all ')})`
}
