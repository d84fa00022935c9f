import { ownParamsOf } from './own-search-params.ts'
import type { Resource } from './r4/types.ts'
import {
  COMMON_PARAMS,
  searchParamsOf,
  type SearchParam,
  type TypedColumns,
  typedColumnsOf,
} from './search-params.ts'

export type Interaction =
  | 'create'
  | 'read'
  | 'vread'
  | 'update'
  | 'patch'
  | 'delete'
  | 'history-instance'
  | 'history-type'
  | 'search-type'

export interface ResourceTypeRow {
  readonly type: Resource['resourceType']
  readonly interactions: readonly Interaction[]
  /** Its own parameters and those of every type, beside `_id` and `_lastUpdated`. */
  readonly search: readonly SearchParam[]
  readonly columns: TypedColumns
  /** Written by the clinic's own staff alone; a partner does not see what they wrote. */
  readonly staffOnly?: true
  /** Published by the service itself, the same for everybody, kept in no table. */
  readonly published?: true
  /** Comes only where its type is named: not with a whole clinic's or child's resources. */
  readonly byNameOnly?: true
  /** Created with others in one transaction, and in no other way. */
  readonly togetherOnly?: true
  /** An update must name the version that it replaces. */
  readonly needsIfMatch?: true
}

const READ: readonly Interaction[] = [
  'read',
  'vread',
  'history-instance',
  'history-type',
  'search-type',
]

const ALL: readonly Interaction[] = [...READ, 'create', 'update', 'patch', 'delete']

function rowWith(
  type: Resource['resourceType'],
  interactions: readonly Interaction[],
): ResourceTypeRow {
  const own = searchParamsOf(type)
  const search = [...own, ...ownParamsOf(type), ...COMMON_PARAMS]
  return { type, interactions, search, columns: typedColumnsOf(own) }
}

/** Of anyone whose scopes allow it. */
export const row = (type: Resource['resourceType']): ResourceTypeRow => rowWith(type, ALL)

/** The service's own log of what was done. */
export const logged = (type: Resource['resourceType']): ResourceTypeRow => ({
  ...rowWith(type, READ),
  byNameOnly: true,
})

/** What a clinic sets for itself; what has been set is not taken back. */
export const ofClinic = (
  type: Resource['resourceType'],
  ...more: Interaction[]
): ResourceTypeRow => ({
  ...rowWith(type, [...READ, ...more]),
  staffOnly: true,
  needsIfMatch: true,
})

/** Of a clinic too, and taken as a whole: several resources that mean something together. */
export const sentTogether = (type: Resource['resourceType']): ResourceTypeRow => ({
  ...ofClinic(type),
  togetherOnly: true,
})

/** What the service says about itself. */
export const published = (type: Resource['resourceType']): ResourceTypeRow => ({
  ...rowWith(type, ['read', 'search-type']),
  published: true,
})
