import type { SearchValues } from '../fhir/search-index.ts'

type IndexName = 'tokens' | 'references' | 'strings' | 'uris' | 'dates' | 'quantities' | 'pairs'

/** A narrow index table: the member of SearchValues it holds, and its columns with their types. */
export interface IndexTable {
  readonly name: IndexName
  readonly table: string
  readonly columns: readonly (readonly [member: string, column: string, type: string])[]
}

const path = ['path', 'path', 'text'] as const
const system = ['system', 'system', 'text'] as const
const code = ['code', 'code', 'text'] as const
const unit = ['unit', 'unit', 'text'] as const
const low = ['low', 'low', 'numeric'] as const
const high = ['high', 'high', 'numeric'] as const
const targetType = ['targetType', 'target_type', 'text'] as const
const targetId = ['targetId', 'target_id', 'text'] as const

const table = (name: IndexName, ...columns: IndexTable['columns']): IndexTable => ({
  name,
  table: `index_${name}`,
  columns: [path, ...columns],
})

export const INDEX_TABLES: readonly IndexTable[] = [
  table('tokens', system, code),
  table('references', targetType, targetId),
  table('strings', ['value', 'value', 'text'], ['exact', 'exact', 'text']),
  table('uris', ['value', 'value', 'text'], ['version', 'version', 'text']),
  table('dates', ['start', '"start"', 'timestamptz'], ['end', '"end"', 'timestamptz']),
  table('quantities', low, high, system, code, unit),
  table(
    'pairs',
    system,
    code,
    ['secondSystem', 'second_system', 'text'],
    ['secondCode', 'second_code', 'text'],
    unit,
    low,
    high,
    targetType,
    targetId,
  ),
]

interface Indexed {
  readonly type: string
  readonly id: string
  readonly partnerId: string | undefined
  readonly search: SearchValues
}

const OWNER_COLUMNS = [
  ['type', 'text'],
  ['id', 'text'],
  ['partner_id', 'uuid'],
  ['ordinal', 'int'],
] as const

/** The rows of an index table as one array per column, as `unnest` takes them. */
export function indexArrays(
  { name, columns }: IndexTable,
  resources: readonly Indexed[],
): unknown[][] {
  const arrays: unknown[][] = [...OWNER_COLUMNS, ...columns].map(() => [])
  for (const { type, id, partnerId, search } of resources) {
    for (const [ordinal, value] of search[name].entries()) {
      const of = columns.map(([member]): unknown => Reflect.get(value, member))
      for (const [place, cell] of [type, id, partnerId, ordinal, ...of].entries())
        arrays[place]?.push(cell ?? null)
    }
  }
  return arrays
}

export const indexArrayCount = ({ columns }: IndexTable): number =>
  OWNER_COLUMNS.length + columns.length

/** The insert of an index table, its arrays being the parameters from a number on. */
export function indexInsert({ table: into, columns }: IndexTable, firstParameter: number): string {
  const names = [...OWNER_COLUMNS.map(([column]) => column), ...columns.map(([, column]) => column)]
  const types = [...OWNER_COLUMNS.map(([, type]) => type), ...columns.map(([, , type]) => type)]
  const arrays = types.map((type, index) => `$${firstParameter + index}::${type}[]`)
  return `insert into ${into} (clinic_id, ${names.join(', ')})
    select $1::uuid, * from unnest(${arrays.join(', ')})`
}

/**
 * Removes the rows of some resources, their types and ids being the parameters 2 and 3. The two lists alone
 * lead to the index whatever the statistics of the table say; the pairs decide.
 */
export const indexDelete = ({ table: from }: IndexTable): string =>
  `delete from ${from} where clinic_id = $1
    and type = any($2::text[]) and id = any($3::text[])
    and (type, id) in (select * from unnest($2::text[], $3::text[]))`
