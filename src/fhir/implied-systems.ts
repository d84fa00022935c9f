import { elementOfType } from './element-place.ts'
import { IMPLIED_SYSTEMS } from './r4/definitions.ts'

/** Of elements whose codes are not checked, by name, from the R4 pages of the types. */
const UNLISTED: Readonly<Record<string, string>> = { format: 'urn:ietf:bcp:13' }

/**
 * The code systems of a code, which the resource does not repeat (R4 3.1.1.4.10); none where no value set is
 * bound as required, as of the concepts of a CodeSystem.
 */
export function impliedSystems(type: string, path: string): readonly string[] {
  const steps = path.replaceAll(/\[[^[\]]*\]/g, '').split('.')
  let of = type
  for (const [index, name] of steps.entries()) {
    const element = elementOfType(of, name)
    if (element === undefined) return []
    if (index < steps.length - 1) {
      of = element.types[0]?.code ?? ''
      continue
    }
    const listed = element.codes === undefined ? UNLISTED[name] : IMPLIED_SYSTEMS[element.codes]
    return listed?.split('|') ?? []
  }
  return []
}
