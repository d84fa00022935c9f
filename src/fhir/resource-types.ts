import { RESOURCES } from './r4/definitions.ts'

const NAMES: ReadonlySet<unknown> = new Set(Object.keys(RESOURCES))

/** Is this the name of an R4 resource type? */
export function isResourceType(name: unknown): name is string {
  return NAMES.has(name)
}
