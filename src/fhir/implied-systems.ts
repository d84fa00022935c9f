import { elementOfType } from './element-place.ts'
import { IMPLIED_SYSTEMS } from './r4/definitions.ts'

/** Required bindings that cannot be enumerated, by the element's name, from the R4 pages of the types. */
const UNLISTED: Readonly<Record<string, string>> = {
  language: 'urn:ietf:bcp:47',
  contentType: 'urn:ietf:bcp:13',
  format: 'urn:ietf:bcp:13',
  payload: 'urn:ietf:bcp:13',
  confidentiality: 'http://terminology.hl7.org/CodeSystem/v3-Confidentiality',
}

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
