import { AppError, type Fault } from '../errors.ts'
import { Inspection, isJsonObject } from './inspection.ts'
import { type AnyResource, type Resource, TYPED_RESOURCES } from './r4/types.ts'
import { isResourceType } from './resource-types.ts'
import { checkResource } from './structure.ts'

interface Options {
  /** Expression of the place where the resource stands; its own type where it stands alone. */
  readonly at?: string
}

/**
 * Everything that is wrong with a resource by the rules of R4 itself, up to a cap: structure,
 * narrative and the invariants we check. An empty list means that it is a valid resource of any R4
 * type; what this service asks beyond R4 is checked elsewhere.
 */
export function validateResource(resource: unknown, { at }: Options = {}): Fault[] {
  const run = new Inspection(at ?? rootOf(resource))
  checkResource(resource, run)
  return run.faults
}

/**
 * The faults of structure of a resource in which something is given twice, so that its sender learns of all at once. Of
 * invariants nothing is said: nobody knows which of the two is meant.
 */
export const faultsBeside = (readable: unknown): readonly Fault[] =>
  isJsonObject(readable) && isResourceType(readable.resourceType)
    ? validateResource(readable).filter(({ code }) => code !== 'invariant')
    : []

function rootOf(resource: unknown): string {
  const type = isJsonObject(resource) ? resource.resourceType : undefined
  return isResourceType(type) ? type : 'Resource'
}

/** Is the value a valid resource of one of the types this service works with? */
export function isResource(value: unknown): value is Resource {
  return hasTypedName(value) && validateResource(value).length === 0
}

/** The value as a valid resource, or an AppError that lists all its faults. */
export function asResource(value: unknown, options: Options = {}): Resource {
  const faults = validateResource(value, options)
  if (faults.length > 0)
    throw new AppError('invalid-resource', 'The resource is not valid FHIR R4', faults)
  if (!hasTypedName(value))
    throw new AppError('not-supported', 'This service does not work with this resource type')
  return value
}

/**
 * Of a resource inside one that has been validated: is it of a type this service works with? Its
 * content was checked together with the resource around it.
 */
export function isTyped(resource: AnyResource): resource is Resource {
  return hasTypedName(resource)
}

/** The one narrowing without a check of its own: every caller has validated or does so next. */
function hasTypedName(value: unknown): value is Resource {
  return (
    isJsonObject(value) &&
    typeof value.resourceType === 'string' &&
    TYPED_RESOURCES.has(value.resourceType)
  )
}
