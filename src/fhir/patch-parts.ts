import { isList, isObject, type JsonObject } from './element.ts'
import type { NamedValue, PatchValue } from './patch-values.ts'
import { DATA_TYPES } from './r4/definitions.ts'

const VALUE = /^_?value(?=[A-Z])/

/** The plain value that a part has, whatever its type. */
export function sentValue(part: JsonObject | undefined): unknown {
  const name = Object.keys(part ?? {}).find((one) => one.startsWith('value'))
  return name === undefined ? undefined : part?.[name]
}

/**
 * The value of a part: one `value[x]`, or parts for an element that has no type of its own. Undefined where it is
 * neither, or both. A resource is no such value: no patch puts one into another.
 */
export function readValue(part: JsonObject, at: string): PatchValue | undefined {
  const words = new Set(
    Object.keys(part)
      .filter((name) => VALUE.test(name))
      .map((name) => name.replace(VALUE, '')),
  )
  const [word] = words
  const sent = part['part']
  if (word === undefined) return isList(sent) && sent.length > 0 ? readParts(sent, at) : undefined
  if (words.size > 1 || sent !== undefined) return undefined
  const value = part[`value${word}`] ?? undefined
  const twin = part[`_value${word}`] ?? undefined
  return value === undefined && twin === undefined
    ? undefined
    : { at, type: typeOf(word), item: { value, twin } }
}

function readParts(sent: readonly unknown[], at: string): PatchValue | undefined {
  const parts: NamedValue[] = []
  for (const [index, part] of sent.entries()) {
    const place = `${at}.part[${index}]`
    const name = isObject(part) ? part['name'] : undefined
    const value = isObject(part) ? readValue(part, place) : undefined
    if (typeof name !== 'string' || value === undefined) return undefined
    parts.push({ name, at: place, value })
  }
  return { at, type: undefined, parts }
}

/** `Quantity` of valueQuantity, `dateTime` of valueDateTime: what is no complex type is a primitive. */
const typeOf = (word: string): string =>
  Object.hasOwn(DATA_TYPES, word) ? word : word.charAt(0).toLowerCase() + word.slice(1)
