import type { Bundle, Resource } from './r4/types.ts'

/** Where the parts of an interaction stand, for the answer when one of them is wrong. */
export interface Places {
  /** `Bundle.entry[3]`, or the type for an interaction of its own. */
  readonly at: string
  /** `Bundle.entry[3].resource` */
  readonly resourceAt: string
  /** Of the condition that decides which resource is meant. */
  readonly conditionAt: string
  /** Of the version that must be the current one. */
  readonly ifMatchAt: string
}

/** Which resource is meant: by its id, or the one that a search finds. */
export type Meant = { readonly id: string } | { readonly condition: string }

interface Operation extends Places {
  readonly type: Resource['resourceType']
}

export interface CreateOperation extends Operation {
  readonly kind: 'create'
  readonly resource: Resource
  /** What the entry is called inside its Bundle. */
  readonly fullUrl: string | undefined
  /** Nothing is created when this search finds something. */
  readonly ifNoneExist: string | undefined
}

export interface UpdateOperation extends Operation {
  readonly kind: 'update'
  readonly resource: Resource
  readonly fullUrl: string | undefined
  readonly meant: Meant
  readonly ifMatch: string | undefined
  /** `*`: only where there is nothing yet. Tags: only where none is that of the current version. */
  readonly ifNoneMatch: string | undefined
}

/** What makes a new resource of the current one; throws where the patch does not fit. */
export type PatchOf = (current: unknown) => Promise<unknown>

export interface PatchOperation extends Operation {
  readonly kind: 'patch'
  readonly patch: PatchOf
  readonly meant: Meant
  readonly ifMatch: string | undefined
}

export interface DeleteOperation extends Operation {
  readonly kind: 'delete'
  readonly meant: Meant
  readonly ifMatch: string | undefined
}

export type WriteOperation = CreateOperation | UpdateOperation | PatchOperation | DeleteOperation

/** A read or search inside a Bundle. */
export interface ReadOperation {
  readonly kind: 'read'
  readonly at: string
  /** Relative to the base: `Patient/1`, `Observation?code=…`. */
  readonly url: string
  /** Of a search by POST: further parameters, as a Parameters resource. */
  readonly form?: unknown
  readonly headOnly: boolean
  readonly ifNoneMatch: string | undefined
  readonly ifModifiedSince: string | undefined
}

/** An operation that is called in a Bundle, `Observation/$validate`. */
export interface CallOperation {
  readonly kind: 'call'
  readonly at: string
  readonly type: string | undefined
  readonly id: string | undefined
  /** Without `$`. */
  readonly name: string
  readonly parameters: readonly (readonly [string, string])[]
  /** Its body, not validated. */
  readonly sent: unknown
  readonly headOnly: boolean
}

export type BundleOperation = WriteOperation | ReadOperation | CallOperation

export type SentEntry = NonNullable<Bundle['entry']>[number]

/** Places of an interaction that is asked by itself, not inside a Bundle. */
export const placesAlone = (type: string): Places => ({
  at: type,
  resourceAt: type,
  conditionAt: 'http.query',
  ifMatchAt: 'http."If-Match"',
})
