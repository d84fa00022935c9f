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

/** What is published beside what is kept, and the canonical by which it is named. */
export interface PublishedKey extends Key {
  readonly url: string
}

/** What is in no table: how what is kept names it, and what of it comes along with what of it. */
export interface PublishedBeside {
  readonly keys: readonly PublishedKey[]
  readonly alongside: (includes: readonly Include[], sources: readonly Key[]) => readonly Key[]
}

export interface Included {
  readonly resources: readonly StoredVersion[]
  /** Those that are in no table. */
  readonly published: readonly PublishedKey[]
  /** There was more than may come along. */
  readonly tooMany: boolean
}

/** How far `:iterate` follows. */
export const MAX_ROUNDS = 5
/** Beside one page of matches. */
export const MAX_INCLUDED = 1_000

/** What comes along with the matches: each once, none of the matches, none of a type that may not be read. */
export async function includesOf(
  tx: Asking,
  scope: Scope,
  {
    includes,
    matches,
    published = { keys: [], alongside: () => [] },
  }: {
    readonly includes: readonly Include[]
    readonly matches: readonly Key[]
    readonly published?: PublishedBeside
  },
  mayRead: (type: string) => boolean,
): Promise<Included> {
  const seen = new Set(matches.map(nameOf))
  const resources: StoredVersion[] = []
  const beside: PublishedKey[] = []
  let sources: readonly Key[] = matches
  let asked = includes
  for (let round = 0; round < MAX_ROUNDS && sources.length > 0 && asked.length > 0; round += 1) {
    const named = [
      ...(await referredKeys(tx, scope, { includes: asked, published: published.keys }, sources)),
      ...published.alongside(asked, sources),
    ]
    const keys = [...new Map(named.map((key) => [nameOf(key), key])).values()].filter(
      (key) => mayRead(key.type) && !seen.has(nameOf(key)),
    )
    const ours = published.keys.filter((one) => keys.some((key) => nameOf(key) === nameOf(one)))
    if (resources.length + keys.length > MAX_INCLUDED)
      return { resources, published: beside, tooMany: true }
    for (const key of keys) seen.add(nameOf(key))
    const found = keys.length === 0 ? [] : await readResources(tx, scope.clinicId, keys)
    const present = found.filter(({ deleted }) => !deleted)
    resources.push(...present)
    beside.push(...ours)
    sources = [...present, ...ours]
    asked = includes.filter(({ iterate }) => iterate)
  }
  return { resources, published: beside, tooMany: false }
}

const nameOf = ({ type, id }: Key): string => `${type}/${id}`

async function referredKeys(
  tx: Asking,
  { clinicId, partnerId }: Scope,
  {
    includes,
    published,
  }: { readonly includes: readonly Include[]; readonly published: readonly PublishedKey[] },
  sources: readonly Key[],
): Promise<Key[]> {
  const sql = new SearchStatement({ partnerId })
  const selects = includes.flatMap((include) =>
    include.kind === 'include'
      ? referredBy(sql, { clinicId, published }, include, sources)
      : referring(sql, { clinicId, published }, include, sources),
  )
  if (selects.length === 0) return []
  return tx.query<{ type: string; id: string }>({
    // One select alone names a resource as often as it is referred to.
    text: `select distinct type, id from (${selects.join(' union ')}) found
      order by type, id limit ${sql.value(MAX_INCLUDED * 2, 'int')}`,
    values: sql.values,
  })
}

interface Kept {
  readonly clinicId: string
  readonly published: readonly PublishedKey[]
}

const idsOf = (sources: readonly Key[], type: string): string[] =>
  sources.filter((source) => source.type === type).map(({ id }) => id)

/** What the sources of the include's type refer to. */
function referredBy(
  sql: SearchStatement,
  { clinicId, published }: Kept,
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
  const selects = [...references, ...namedByUrl(sql, { clinicId, published, type, ids }, include)]
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
  { clinicId, published }: Kept,
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
      ...namingByUrl(sql, { clinicId, published, type: of, ids }, include),
    ]
  })
}
