import { choiceName, type ElementDefinition, parseElements } from './r4/definition.ts'
import { DATA_TYPES, PARTS, RESOURCES } from './r4/definitions.ts'
import { SUMMARY_ELEMENTS } from './r4/summary-elements.ts'

/** What a subset must know of an element, by the name of its JSON property. */
export interface SubsetElement {
  /** Ends in `[x]` where it is a choice. */
  readonly name: string
  /** The same without `[x]`. */
  readonly base: string
  readonly required: boolean
  /** Does it stand in the summary? */
  readonly summary: boolean
  /** Of its value. */
  readonly type: string
}

export type SubsetShape = ReadonlyMap<string, SubsetElement>

/** What an element says about itself stays with it. */
const ABOUT_ITSELF = new Set(['id', 'extension', 'modifierExtension'])

const SHAPES = new Map<string, SubsetShape>()

/** Of a resource type, data type or nested part; read at its first use. Empty for a primitive type. */
export function subsetShape(type: string): SubsetShape {
  const known = SHAPES.get(type)
  if (known !== undefined) return known
  const lines = RESOURCES[type] ?? DATA_TYPES[type] ?? PARTS[type]
  const flagged = SUMMARY_ELEMENTS[type]?.split(' ')
  const isResource = type in RESOURCES
  const inSummary = ({ name }: ElementDefinition): boolean => {
    if (!isResource && ABOUT_ITSELF.has(name)) return true
    // Where nothing is marked, all of it belongs to whatever it is a part of.
    return flagged?.includes(name) ?? !isResource
  }
  const shape = new Map<string, SubsetElement>()
  for (const element of lines === undefined ? [] : parseElements(lines))
    for (const { code } of element.types) {
      const choice = element.name.endsWith('[x]')
      shape.set(choice ? choiceName(element.name, code) : element.name, {
        name: element.name,
        base: choice ? element.name.slice(0, -3) : element.name,
        required: element.required,
        summary: inSummary(element),
        type: code,
      })
    }
  SHAPES.set(type, shape)
  return shape
}
