import { isList, isObject } from './element.ts'
import { choiceName, type ElementDefinition, isPrimitive, parseElements } from './r4/definition.ts'
import { DATA_TYPES, PARTS, RESOURCES } from './r4/definitions.ts'

/** The resource itself. */
interface RootPlace {
  readonly kind: 'root'
  readonly type: string
}

/** An element of a resource: where it stands in the JSON, and what it may hold. */
export interface MemberPlace {
  readonly kind: 'member'
  /** A data type, or the path of a nested part. */
  readonly type: string
  /** Steps of a JSON Pointer to the object that has it. */
  readonly parent: readonly string[]
  /** Its JSON name there: `valueQuantity`. */
  readonly property: string
  /** Its number in a repeating element. */
  readonly index: number | undefined
  readonly element: ElementDefinition
}

export type ElementPlace = RootPlace | MemberPlace

const ELEMENTS = new Map<string, readonly ElementDefinition[]>()

/** The elements of a resource type, data type or nested part; none for what has no definition. */
export function elementsOfType(type: string): readonly ElementDefinition[] {
  const known = ELEMENTS.get(type)
  if (known !== undefined) return known
  const name = isPrimitive(type) ? 'Element' : type
  const lines = [RESOURCES, DATA_TYPES, PARTS].find((table) => Object.hasOwn(table, name))?.[name]
  const elements = lines === undefined ? [] : parseElements(lines)
  if (lines !== undefined) ELEMENTS.set(type, elements)
  return elements
}

/** The element of this name; a choice by its name without type. */
export const elementOfType = (type: string, name: string): ElementDefinition | undefined =>
  elementsOfType(type).find((one) => one.name === name || one.name === `${name}[x]`)

/** The JSON name of an element that holds a value of this type. */
export const propertyOf = ({ name }: ElementDefinition, code: string): string =>
  name.endsWith('[x]') ? choiceName(name, code) : name

/** Where the elements of an element stand: those of a primitive (id, extension) in its twin `_name`. */
export function insideOf(place: ElementPlace): readonly string[] {
  if (place.kind === 'root') return []
  const { parent, property, index, type } = place
  const name = isPrimitive(type) ? `_${property}` : property
  return [...parent, name, ...(index === undefined ? [] : [String(index)])]
}

/**
 * The element that a plain path names, `Patient.name[0].given[1]`. Undefined where it leaves what R4 defines, or
 * leads into another resource.
 */
export function elementPlace(resource: unknown, path: string): ElementPlace | undefined {
  const [root = '', ...steps] = path.split('.')
  let holder: unknown = resource
  let place: ElementPlace = { kind: 'root', type: root }
  for (const step of steps) {
    const next = placeIn(holder, place, step)
    if (next === undefined) return undefined
    const name = insideOf(next)[next.parent.length] ?? ''
    const member = isObject(holder) ? holder[name] : undefined
    holder = isList(member) ? member[next.index ?? 0] : member
    place = next
  }
  return place
}

function placeIn(holder: unknown, place: ElementPlace, step: string): MemberPlace | undefined {
  const [, name = '', index = '0'] = /^(\w+)(?:\[(\d+)\])?$/.exec(step) ?? []
  const element = elementOfType(place.type, name)
  if (element === undefined || !isObject(holder)) return undefined
  const use = element.types.find(({ code }) => {
    const property = propertyOf(element, code)
    return Object.hasOwn(holder, property) || Object.hasOwn(holder, `_${property}`)
  })
  if (use === undefined || use.code === 'Resource') return undefined
  return {
    kind: 'member',
    type: use.code,
    parent: insideOf(place),
    property: propertyOf(element, use.code),
    index: element.many ? Number(index) : undefined,
    element,
  }
}
