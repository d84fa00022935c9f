import type { TypeSearch } from '../fhir/query.ts'
import { rowOf } from '../fhir/registry.ts'
import type { Filter } from '../fhir/search-filter.ts'
import type { TypedColumns } from '../fhir/search-params.ts'
import type { SearchStatement } from './search-statement.ts'

export type TokenFilter = Extract<Filter, { kind: 'token' }>

/** How a filter finds its resources. */
export type Way =
  /** Each resource is asked for its own rows. */
  | { readonly kind: 'each' }
  /** The rows lead to the resources; alone, when nothing else could do that better. */
  | { readonly kind: 'lead' | 'lead-alone' }
  /** By the column alone; of several codes, by this part. */
  | { readonly kind: 'column'; readonly part: TokenFilter }
  /** By rows alone, what the column does not say. */
  | { readonly kind: 'rows'; readonly by: 'each' | 'lead' | 'lead-alone' }

/** The resource that a condition is about. */
export interface Subject {
  readonly sql: SearchStatement
  readonly clinicId: string
  readonly type: string
  /** Its name in the statement. */
  readonly resource: string
  /**
   * Another condition already leaves few resources: what has a column and rows is then looked up for each of
   * them, instead of for all of the clinic.
   */
  readonly few: boolean
  /** Of the filters that are answered otherwise than usually. */
  readonly ways?: ReadonlyMap<Filter, Way> | undefined
  /** What holds of another resource that a chain leads to. */
  readonly holds: (search: TypeSearch, resource: string) => string
  /** The condition of a filter, asked of the resource to which a row of an index belongs. */
  readonly asks: (filter: Filter, row: string) => string
}

/** Clinic and type lead every index; one is led by a partner too. */
export const scopeOf = (
  { sql, clinicId, type }: Pick<Subject, 'sql' | 'clinicId' | 'type'>,
  table: string,
): string =>
  [
    `${table}.clinic_id = ${sql.value(clinicId, 'uuid')} and ${table}.type = ${sql.value(type)}`,
    ...(sql.partnerId === undefined
      ? []
      : [`${table}.partner_id = ${sql.value(sql.partnerId, 'uuid')}`]),
  ].join(' and ')

/** One child, or named resources. */
export const leavesFew = (filter: Filter): boolean =>
  filter.kind === 'id' ||
  (filter.kind === 'reference' && filter.atoms.every(({ targets }) => targets.join() === 'Patient'))

/** An identifier is that of one resource, mostly. */
export const isIdentifier = ({ atoms }: TokenFilter): boolean =>
  atoms.every(({ type }) => type === 'Identifier')

export function columnsOf(type: string): TypedColumns {
  const row = rowOf(type)
  if (row === undefined) throw new Error(`${type} is not kept here`)
  return row.columns
}
