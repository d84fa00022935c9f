import type { CivilDate } from '../domain/calendar.ts'
import { AppError, type ErrorKind, type Fault } from '../errors.ts'
import { EXTENSION_RULES } from '../fhir/own-extensions.ts'
import { profileFaults } from '../fhir/profiles.ts'
import type { Resource } from '../fhir/r4/types.ts'
import { isTyped, validateResource } from '../fhir/validate.ts'

/**
 * A resource that is right but for what changes its meaning is understood, and not taken (R4 2.5.0.2.1); so is one
 * that is valid R4 but not by the definitions of our extensions.
 */
export const refusalOf = (faults: readonly Fault[]): ErrorKind =>
  faults.every(({ rule }) => rule === 'unknown-modifier-extension' || EXTENSION_RULES.has(rule))
    ? 'invalid-resource'
    : 'malformed-body'

/** What was sent as a valid resource of a type, by R4 and by our profiles; throws with all its faults. */
export function checkedResource(type: string, body: unknown, latestDay: CivilDate): Resource {
  const structure = validateResource(body)
  if (structure.length > 0)
    throw new AppError(refusalOf(structure), 'The resource is not valid FHIR R4.', structure)
  const resource = body as Resource
  if (resource.resourceType !== type || !isTyped(resource))
    throw new AppError('malformed-body', 'The resource is of another type.', [
      {
        severity: 'error',
        code: 'invalid',
        expression: `${resource.resourceType}.resourceType`,
        rule: 'type-mismatch',
        text: `The address takes a ${type}.`,
      },
    ])
  const faults = profileFaults(resource, type, latestDay)
  if (faults.length > 0)
    throw new AppError('invalid-resource', 'The resource cannot be taken.', faults)
  return resource
}
