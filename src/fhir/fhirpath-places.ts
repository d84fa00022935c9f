import type { PatchPath } from './patch-path.ts'

/** A node that FHIRPath found, and where. */
interface FoundNode {
  readonly fullPropertyName: () => string | null
}

const isFound = (value: unknown): value is FoundNode =>
  typeof value === 'object' &&
  value !== null &&
  'fullPropertyName' in value &&
  typeof value.fullPropertyName === 'function'

/**
 * Where the elements stand that a FHIRPath expression finds, as plain paths, `Patient.name[0].given[1]`.
 * Undefined for what cannot be evaluated, or finds something that is no element of the resource.
 * The resource is given as JSON text.
 */
export type PlacesOf = (resource: string, path: PatchPath) => string[] | undefined

/** The engine is loaded when it is first needed: few clients patch so, and it takes memory. */
export async function fhirPathPlaces(): Promise<PlacesOf> {
  const [{ default: fhirpath }, { default: r4 }] = await Promise.all([
    import('fhirpath'),
    import('fhirpath/fhir-context/r4'),
  ])
  return (resource, { text }) => {
    try {
      // A copy: the engine may write into what it is given, and knows numbers only.
      const copy: unknown = JSON.parse(resource)
      const found: unknown = fhirpath.evaluate(copy, text, {}, r4, {
        resolveInternalTypes: false,
        async: false,
      })
      const places = Array.isArray(found)
        ? found.map((node: unknown) => (isFound(node) ? node.fullPropertyName() : null))
        : [null]
      return places.every((place) => typeof place === 'string') ? places : undefined
    } catch {
      return undefined
    }
  }
}
