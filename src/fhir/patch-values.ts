import type { Item } from './element-items.ts'
import { itemsOf, withItems } from './element-items.ts'
import type { JsonObject } from './element.ts'
import { elementOfType, propertyOf } from './element-place.ts'
import { Misfit } from './patch-misfit.ts'
import { type ElementDefinition, isPrimitive } from './r4/definition.ts'

/** A value that is written into a resource. */
export type PatchValue =
  | { readonly at: string; readonly type: string; readonly item: Item }
  /** One that is made of parts, for an element without a type of its own. */
  | { readonly at: string; readonly type: undefined; readonly parts: readonly NamedValue[] }

export interface NamedValue {
  readonly name: string
  /** Where the name stands in the patch. */
  readonly at: string
  readonly value: PatchValue
}

/** Types that differ in what they allow, not in how they are written: the result is checked anyway. */
const ALIKE = [
  ['string', 'markdown', 'code', 'id', 'xhtml'],
  ['uri', 'url', 'canonical', 'oid', 'uuid'],
  ['integer', 'unsignedInt', 'positiveInt'],
  ['Quantity', 'Age', 'Count', 'Distance', 'Duration'],
]

/** The type that an element has with this value in it. */
export function typeWith(element: ElementDefinition, value: PatchValue): string {
  const isChoice = element.name.endsWith('[x]')
  const use = element.types.find(({ code }) => {
    if (code === 'Resource') return false
    if (value.type === undefined) return !isChoice && !isPrimitive(code)
    if (code === value.type) return true
    return !isChoice && ALIKE.some((types) => types.includes(code) && types.includes(value.type))
  })
  if (use !== undefined) return use.code
  const right = element.types.map(({ code }) => code).join(', ')
  throw new Misfit(value.at, `The element takes no value of this type, but ${right}.`)
}

/** What is written where an element of this type stands. */
export function itemOf(value: PatchValue, type: string): Item {
  if (value.type !== undefined) return value.item
  const assembled = value.parts.reduce<JsonObject>((made, part) => withAdded(made, type, part), {})
  return { value: assembled, twin: undefined }
}

/** An object of this type with one value more: the last of a repeating element, the only one of another. */
export function withAdded(parent: JsonObject, type: string, added: NamedValue): JsonObject {
  const { name, at, value } = added
  const element = elementOfType(type, name)
  if (element === undefined) throw new Misfit(at, 'R4 has no element of this name there.')
  const code = typeWith(element, value)
  const isPresent = element.types.some((use) => {
    return itemsOf(parent, propertyOf(element, use.code)).length > 0
  })
  if (isPresent && !element.many)
    throw new Misfit(at, 'The element is there already, and does not repeat: replace it.')
  const property = propertyOf(element, code)
  const items = [...itemsOf(parent, property), itemOf(value, code)]
  return withItems(parent, property, items, element.many)
}
