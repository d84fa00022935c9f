import type { Include } from '../fhir/query-controls.ts'
import { targetsOf } from '../fhir/query-parameters.ts'
import { rowOf } from '../fhir/registry.ts'
import type { SearchStatement } from './search-statement.ts'
import { scopeOf } from './search-subject.ts'

interface Sources {
  readonly clinicId: string
  /** Of the resources that are given. */
  readonly type: string
  readonly ids: readonly string[]
  /** What is in no table, and has a URL too. */
  readonly published: readonly {
    readonly type: string
    readonly id: string
    readonly url: string
  }[]
}

const URL_PATH = 'url'

/** The types a canonical may lead to that have a URL to be found by. */
const withUrl = (types: readonly string[]): string[] =>
  types.filter((type) => rowOf(type)?.search.some(({ code }) => code === URL_PATH) === true)

const pathsOf = ({ param }: Include): string[] =>
  param.atoms.filter(({ type }) => type === 'canonical').map(({ path }) => path)

/** What the given resources name by its URL. */
export function namedByUrl(
  sql: SearchStatement,
  { clinicId, type, ids, published }: Sources,
  include: Include,
): string[] {
  const paths = pathsOf(include)
  const targets = withUrl(
    include.target === undefined ? targetsOf(include.param) : [include.target],
  )
  if (paths.length === 0 || targets.length === 0) return []
  const ours = published.filter((one) => targets.includes(one.type))
  const [row, url, beside] = [sql.alias('x'), sql.alias('u'), sql.alias('p')]
  const ofSources = `${scopeOf({ sql, clinicId, type }, row)} and ${row}.id = any(${sql.list(ids)})
        and ${sql.equals(`${row}.path`, paths)}`
  // Made only where it is used: a value that no text names is refused by the database.
  const besides = () => `select ${beside}.type, ${beside}.id from index_uris ${row}
      join unnest(${sql.list(ours.map((one) => one.type))}, ${sql.list(ours.map(({ id }) => id))},
          ${sql.list(ours.map((one) => one.url))}) as ${beside}(type, id, url)
        on ${beside}.url = ${row}.value
      where ${ofSources}`
  return [
    ...(ours.length === 0 ? [] : [besides()]),
    `select ${url}.type, ${url}.id from index_uris ${row} join index_uris ${url}
        on ${url}.clinic_id = ${row}.clinic_id and ${sql.equals(`${url}.type`, targets)}
          and ${url}.path = ${sql.value(URL_PATH)} and ${url}.value = ${row}.value
      where ${ofSources}`,
  ]
}

/** What names the given resources by their URL. */
export function namingByUrl(
  sql: SearchStatement,
  { clinicId, type, ids, published }: Sources,
  include: Include,
): string[] {
  const paths = pathsOf(include)
  const targets = targetsOf(include.param)
  const isTarget = targets.length === 0 || targets.includes(type)
  if (paths.length === 0 || !isTarget || withUrl([type]).length === 0) return []
  const ours = published.filter((one) => one.type === type && ids.includes(one.id))
  const [row, url] = [sql.alias('x'), sql.alias('u')]
  const besides = () => `select ${row}.type, ${row}.id from index_uris ${row}
      where ${scopeOf({ sql, clinicId, type: include.type }, row)}
        and ${sql.equals(`${row}.path`, paths)} and ${row}.value = any(${sql.list(ours.map((one) => one.url))})`
  return [
    ...(ours.length === 0 ? [] : [besides()]),
    `select ${row}.type, ${row}.id from index_uris ${url} join index_uris ${row}
        on ${scopeOf({ sql, clinicId, type: include.type }, row)}
          and ${sql.equals(`${row}.path`, paths)} and ${row}.value = ${url}.value
      where ${scopeOf({ sql, clinicId, type }, url)} and ${url}.id = any(${sql.list(ids)})
        and ${url}.path = ${sql.value(URL_PATH)}`,
  ]
}
