import type { Resource } from './r4/types.ts'
import type { SearchParam } from './search-params.ts'

export type Interaction = 'create' | 'read' | 'vread' | 'update' | 'search-type'

export interface ResourceTypeRow {
  readonly type: Resource['resourceType']
  readonly interactions: readonly Interaction[]
  readonly search: readonly SearchParam[]
  /** Written by the clinic's own staff alone; a partner does not see what they wrote. */
  readonly staffOnly?: true
}

const ALL: readonly Interaction[] = ['create', 'read', 'vread', 'search-type']

const OWN: readonly Interaction[] = ['read', 'vread', 'search-type']

/** Of anyone whose scopes allow it. */
export const row = (type: Resource['resourceType'], ...search: SearchParam[]): ResourceTypeRow => ({
  type,
  interactions: ALL,
  search,
})

/** Written by the service itself. */
export const computed = (
  type: Resource['resourceType'],
  ...search: SearchParam[]
): ResourceTypeRow => ({
  type,
  interactions: OWN,
  search,
})

/** What a clinic sets for itself. */
export const ofClinic = (
  type: Resource['resourceType'],
  ...search: SearchParam[]
): ResourceTypeRow => ({
  ...row(type, ...search),
  staffOnly: true,
})

/** What may be replaced by a new version. */
export const updatable = (entry: ResourceTypeRow): ResourceTypeRow => ({
  ...entry,
  interactions: [...entry.interactions, 'update'],
})
