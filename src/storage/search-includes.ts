import type { Include } from '../fhir/query-controls.ts'
import type { Scope } from './database.ts'
import { columnsOf, scopeOf } from './search-subject.ts'
import { namedByUrl, namingByUrl } from './search-canonicals.ts'
import { groupedByTargets, isPatientColumn, leadsTo } from './search-references.ts'
import { readResources, type StoredVersion } from './resources.ts'
import { SearchStatement } from './search-statement.ts'
import type { Asking } from './transaction.ts'

interface Key {
  readonly type: string
  readonly id: string
}

export interface Included {
  readonly resources: readonly StoredVersion[]
  /** There was more than may come along. */
  readonly tooMany: boolean
}

/** How far `:iterate` follows. */
const MAX_ROUNDS = 5
/** Beside one page of matches. */
export const MAX_INCLUDED = 1_000

/** What comes along with the matches: each once, none of the matches, none of a type that may not be read. */
export async function includesOf(
  tx: Asking,
  scope: Scope,
  {
    includes,
    matches,
  }: { readonly includes: readonly Include[]; readonly matches: readonly Key[] },
  mayRead: (type: string) => boolean,
): Promise<Included> {
  const seen = new Set(matches.map(nameOf))
  const resources: StoredVersion[] = []
  let sources: readonly Key[] = matches
  let asked = includes
  for (let round = 0; round < MAX_ROUNDS && sources.length > 0 && asked.length > 0; round += 1) {
    const keys = (await referredKeys(tx, scope, asked, sources)).filter(
      (key) => mayRead(key.type) && !seen.has(nameOf(key)),
    )
    if (resources.length + keys.length > MAX_INCLUDED) return { resources, tooMany: true }
    for (const key of keys) seen.add(nameOf(key))
    const found = keys.length === 0 ? [] : await readResources(tx, scope.clinicId, keys)
    const present = found.filter(({ deleted }) => !deleted)
    resources.push(...present)
    sources = present
    asked = includes.filter(({ iterate }) => iterate)
  }
  return { resources, tooMany: false }
}

const nameOf = ({ type, id }: Key): string => `${type}/${id}`

async function referredKeys(
  tx: Asking,
  { clinicId, partnerId }: Scope,
  includes: readonly Include[],
  sources: readonly Key[],
): Promise<Key[]> {
  const sql = new SearchStatement({ partnerId })
  const selects = includes.flatMap((include) =>
    include.kind === 'include'
      ? referredBy(sql, clinicId, include, sources)
      : referring(sql, clinicId, include, sources),
  )
  if (selects.length === 0) return []
  return tx.query<{ type: string; id: string }>({
    text: `select type, id from (${selects.join(' union ')}) found
      order by type, id limit ${sql.value(MAX_INCLUDED * 2, 'int')}`,
    values: sql.values,
  })
}

const idsOf = (sources: readonly Key[], type: string): string[] =>
  sources.filter((source) => source.type === type).map(({ id }) => id)

/** What the sources of the include's type refer to. */
function referredBy(
  sql: SearchStatement,
  clinicId: string,
  include: Include,
  sources: readonly Key[],
): string[] {
  const { type, param, target } = include
  const ids = idsOf(sources, type)
  if (ids.length === 0) return []
  const columns = columnsOf(type)
  const atoms = param.atoms.filter((atom) => target === undefined || leadsTo(atom, target))
  const references = [...groupedByTargets(atoms)].map(([targets, paths]) => {
    const row = sql.alias('x')
    const allowed = target === undefined ? targets.split(',').filter((one) => one !== '') : [target]
    return `select ${row}.target_type as type, ${row}.target_id as id from index_references ${row}
      where ${scopeOf({ sql, clinicId, type }, row)} and ${row}.id = any(${sql.list(ids)})
        and ${sql.equals(`${row}.path`, paths)}
        ${allowed.length === 0 ? '' : `and ${sql.equals(`${row}.target_type`, allowed)}`}`
  })
  const selects = [...references, ...namedByUrl(sql, { clinicId, type, ids }, include)]
  const inColumn = atoms.some((atom) => isPatientColumn(columns, atom) && leadsTo(atom, 'Patient'))
  if (!inColumn || (target !== undefined && target !== 'Patient')) return selects
  const resource = sql.alias('r')
  return [
    ...selects,
    `select 'Patient' as type, ${resource}.patient_id as id from resources ${resource}
      where ${scopeOf({ sql, clinicId, type }, resource)} and ${resource}.id = any(${sql.list(ids)})
        and ${resource}.patient_id is not null`,
  ]
}

/** What refers to the sources. */
function referring(
  sql: SearchStatement,
  clinicId: string,
  include: Include,
  sources: readonly Key[],
): string[] {
  const { type, param, target } = include
  const columns = columnsOf(type)
  const types = [...new Set(sources.map((source) => source.type))].filter(
    (one) => target === undefined || target === one,
  )
  return types.flatMap((of) => {
    const ids = idsOf(sources, of)
    const atoms = param.atoms.filter((atom) => leadsTo(atom, of))
    if (atoms.length === 0) return []
    const row = sql.alias('x')
    const resource = sql.alias('r')
    const inColumn = of === 'Patient' && atoms.some((atom) => isPatientColumn(columns, atom))
    return [
      `select ${row}.type, ${row}.id from index_references ${row}
        where ${scopeOf({ sql, clinicId, type }, row)} and ${row}.target_id = any(${sql.list(ids)})
          and ${row}.target_type = ${sql.value(of)}
          and ${sql.equals(
            `${row}.path`,
            atoms.map(({ path }) => path),
          )}`,
      ...(inColumn
        ? [
            `select ${resource}.type, ${resource}.id from resources ${resource}
              where ${scopeOf({ sql, clinicId, type }, resource)}
                and ${resource}.patient_id = any(${sql.list(ids)}) and not ${resource}.deleted`,
          ]
        : []),
      ...namingByUrl(sql, { clinicId, type: of, ids }, include),
    ]
  })
}
