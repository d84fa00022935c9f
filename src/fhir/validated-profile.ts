import { isResourceType } from './resource-types.ts'

const CORE = 'http://hl7.org/fhir/StructureDefinition/'
const R4 = '4.0.1'

/** Types that every resource is of. */
const ABSTRACT: ReadonlySet<string> = new Set(['Resource', 'DomainResource'])

/** Can a resource be checked against this profile? Those of R4 itself, and those of ours that are named, with their version or without. */
export function isKnownProfile(profile: string, ours: ReadonlySet<string>): boolean {
  const [url = '', version] = profile.split('|')
  if (ours.has(profile)) return true
  if (!url.startsWith(CORE) || (version !== undefined && version !== R4)) return false
  const type = url.slice(CORE.length)
  return isResourceType(type) || ABSTRACT.has(type)
}

/** The resource type that a profile of R4 itself describes; undefined for any other profile. */
export function profiledType(profile: string | undefined): string | undefined {
  const url = profile?.split('|')[0] ?? ''
  const type = url.startsWith(CORE) ? url.slice(CORE.length) : undefined
  return isResourceType(type) ? type : undefined
}
