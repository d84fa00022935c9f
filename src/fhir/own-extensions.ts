import { type Extension, EXTENSIONS } from './conformance/extensions.ts'
import { CANONICAL } from './codes.ts'
import { type Inspection, isJsonObject, type Step } from './inspection.ts'
import { choiceName } from './r4/definition.ts'
import type { Check } from './value-checks.ts'

const OWN = `${CANONICAL}/StructureDefinition/`
const BY_URL = new Map(EXTENSIONS.map((extension) => [`${OWN}${extension.id}`, extension]))

/** Rules of the extensions that we publish: their StructureDefinitions, not R4 itself, are broken. */
export const EXTENSION_RULES: ReadonlySet<string> = new Set([
  'extension-context',
  'extension-value',
  'extension-repeated',
])

/**
 * The extensions of one element. One that we publish stands where its definition says, once, with the one
 * value that it has (R4 2.5.0, StructureDefinition.context); any other is whoever else's.
 */
export function checkOwnExtensions(list: Check): Check {
  return (value, run) => {
    list(value, run)
    if (!Array.isArray(value)) return
    const seen = new Set<string>()
    for (const [index, extension] of value.entries()) {
      const url: unknown = isJsonObject(extension) ? extension.url : undefined
      if (!isJsonObject(extension) || typeof url !== 'string' || !url.startsWith(OWN)) continue
      const own = BY_URL.get(url)
      if (own === undefined) continue
      run.path.push(index)
      if (seen.has(url)) run.report(told('extension-repeated', 'This extension is given once'))
      else checkOne(own, extension, run)
      run.path.pop()
      seen.add(url)
    }
  }
}

function checkOne({ on, type }: Extension, extension: object, run: Inspection): void {
  const place = placeOf(run)
  if (place !== undefined && !on.includes(place))
    run.report(told('extension-context', `This extension stands on ${on.join(' or ')}`))
  const name = choiceName('value[x]', type)
  if (!(name in extension) && !(`_${name}` in extension))
    run.report({ ...told('extension-value', `This extension has a ${name}`), below: 'value' })
}

const told = (rule: string, text: string) => ({ rule, code: 'extension', text })

/** The element that has the extension here, as definitions name it: `Questionnaire.item`, however deep the item is. */
function placeOf({ container, path }: Inspection): string | undefined {
  if (container === undefined) return undefined
  const { inside, contained, type, depth } = container
  const resource = inside === undefined ? undefined : contained[inside]
  const root = isJsonObject(resource) ? resource.resourceType : type
  // Above the element are its list of extensions, and the index in it.
  const steps = path.slice(inside === undefined ? depth : depth + 2, -2)
  return steps.reduce<string>(below, String(root))
}

function below(place: string, step: Step): string {
  if (typeof step !== 'object') return place
  return step.part ?? `${place}.${step.group === undefined ? step.step : `${step.step}[x]`}`
}
