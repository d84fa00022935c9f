import { searchValues } from '../fhir/search-values.ts'
import { stamped } from '../fhir/stamp.ts'
import type { AnyResource } from '../fhir/r4/types.ts'
import type { NewVersion } from '../storage/resource-writes.ts'

export interface VersionKey {
  readonly id: string
  readonly version: number
  readonly partnerId: string | undefined
  readonly updatedAt: string
}

/** A resource as the version that is about to be written. */
export function newVersion(
  resource: AnyResource,
  { baseUrl, ...key }: VersionKey & { readonly baseUrl: string },
): NewVersion {
  const type = resource.resourceType
  return {
    ...key,
    type,
    deleted: false,
    body: stamped(resource, key),
    search: searchValues({ type, id: key.id, partnerId: key.partnerId, baseUrl }, resource),
  }
}

/** What was computed has its id already, and one version. */
export const firstVersion = (
  resource: AnyResource,
  key: Omit<VersionKey, 'id' | 'version'> & { readonly baseUrl: string },
): NewVersion => newVersion(resource, { ...key, id: resource.id ?? '', version: 1 })

export const versionReference = (version: {
  readonly type: string
  readonly id: string
  readonly version: number
}): string => `${version.type}/${version.id}/_history/${version.version}`
