import { isObject } from './element.ts'
import { choiceName, type ElementDefinition, parseElements } from './r4/definition.ts'
import { DATA_TYPES, PARTS, RESOURCES } from './r4/definitions.ts'

/** An element of a resource: where it stands in the JSON, and what it may hold. */
export interface ElementPlace {
  /** Steps of a JSON Pointer. */
  readonly pointer: readonly string[]
  /** A data type, or the path of a nested part. */
  readonly type: string
}

const ELEMENTS = new Map<string, readonly ElementDefinition[]>()

/** The elements of a resource type, data type or nested part; none for what has no definition. */
export function elementsOfType(type: string): readonly ElementDefinition[] {
  const known = ELEMENTS.get(type)
  if (known !== undefined) return known
  const lines = RESOURCES[type] ?? DATA_TYPES[type] ?? PARTS[type]
  const elements = lines === undefined ? [] : parseElements(lines)
  ELEMENTS.set(type, elements)
  return elements
}

/** The element of this name; a choice by its name without type. */
export const elementOfType = (type: string, name: string): ElementDefinition | undefined =>
  elementsOfType(type).find((one) => one.name === name || one.name === `${name}[x]`)

/**
 * The element that a plain path names, `Patient.name[0].given[1]`. Undefined where it leaves what R4 defines, or
 * leads into another resource.
 */
export function elementPlace(resource: unknown, path: string): ElementPlace | undefined {
  const [root = '', ...steps] = path.split('.')
  let value: unknown = resource
  let place: ElementPlace = { pointer: [], type: root }
  for (const step of steps) {
    const [, name = '', index] = /^(\w+)(?:\[(\d+)\])?$/.exec(step) ?? []
    const element = elementOfType(place.type, name)
    if (element === undefined || !isObject(value)) return undefined
    const use = element.types.find(({ code }) => propertyOf(element, code) in (value as object))
    const { code } = use ?? element.types[0] ?? { code: '' }
    if (code === 'Resource') return undefined
    const property = propertyOf(element, code)
    const member: unknown = value[property]
    value = Array.isArray(member) ? (member[Number(index ?? 0)] as unknown) : member
    place = {
      pointer: [...place.pointer, property, ...(Array.isArray(member) ? [index ?? '0'] : [])],
      type: code,
    }
  }
  return place
}

const propertyOf = ({ name }: ElementDefinition, code: string): string =>
  name.endsWith('[x]') ? choiceName(name, code) : name
