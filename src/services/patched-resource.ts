import type { CivilDate } from '../domain/calendar.ts'
import { AppError, type Fault } from '../errors.ts'
import { parseText } from '../fhir/json-body.ts'
import type { PatchOperation } from '../fhir/operations.ts'
import { profileFaults } from '../fhir/profiles.ts'
import type { Resource } from '../fhir/r4/types.ts'
import { isTyped, validateResource } from '../fhir/validate.ts'
import type { StoredVersion } from '../storage/resources.ts'

/** The current version with a patch applied; the result is checked like an update. */
export async function patchedResource(
  { patch, type, at }: PatchOperation,
  current: StoredVersion | undefined,
  latestDay: CivilDate,
): Promise<Resource> {
  const parsed = parseText(current?.body ?? '')
  if (!parsed.ok) throw new Error('A stored resource is not JSON')
  const patched = await patch(parsed.value)
  const faults = validateResource(patched)
  const resource = patched as Resource
  const known = faults.length === 0 && resource.resourceType === type && isTyped(resource)
  const all: Fault[] = known ? profileFaults(resource, type, latestDay) : faults
  if (!known && all.length === 0) throw new Error('A patch changed the type of a resource')
  if (all.length > 0)
    throw new AppError(
      'invalid-resource',
      'The resource would not be valid after the patch.',
      all.map((fault) => ({ ...fault, expression: expressionAt(at, fault.expression) })),
    )
  return resource
}

/** Inside a Bundle a fault is named at its entry: what it is about is not in the Bundle. */
const expressionAt = (at: string, expression: string): string =>
  at.startsWith('Bundle.') ? `${at}.resource` : expression
