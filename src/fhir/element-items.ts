import { isList, isObject, type JsonObject } from './element.ts'

/** One value of an element, with the twin that holds the id and extensions of a primitive. */
export interface Item {
  readonly value: unknown
  readonly twin: unknown
}

/** All values that an object has under a name; of an element that does not repeat at most one. */
export function itemsOf(parent: JsonObject, property: string): Item[] {
  const values = listed(parent[property])
  const twins = listed(parent[`_${property}`])
  return Array.from({ length: Math.max(values.length, twins.length) }, (_, index) => ({
    value: values[index] ?? undefined,
    twin: twins[index] ?? undefined,
  }))
}

const listed = (member: unknown): readonly unknown[] =>
  isList(member) ? member : member === undefined ? [] : [member]

/** The object with these values instead; a list of primitives and the list of its twins stay in step. */
export function withItems(
  parent: JsonObject,
  property: string,
  items: readonly Item[],
  many: boolean,
): JsonObject {
  const member = (held: readonly unknown[]): unknown => {
    // JSON has no empty list in FHIR; null stands for what one of the two lists lacks.
    if (held.every((one) => one === undefined)) return undefined
    return many ? held.map((one) => one ?? null) : held[0]
  }
  const values = member(items.map(({ value }) => value))
  const twins = member(items.map(({ twin }) => twin))
  return withMember(withMember(parent, property, values), `_${property}`, twins)
}

function withMember(parent: JsonObject, name: string, value: unknown): JsonObject {
  if (value !== undefined) return { ...parent, [name]: value }
  if (!Object.hasOwn(parent, name)) return parent
  const { [name]: _gone, ...rest } = parent
  return rest
}

/** The resource with one object in it changed; only what contains it is made anew, the rest is shared. */
export function changedAt(
  value: unknown,
  steps: readonly string[],
  change: (parent: JsonObject) => JsonObject,
): unknown {
  const [step, ...rest] = steps
  if (step === undefined) return change(isObject(value) ? value : {})
  if (/^\d/.test(step)) {
    const list = isList(value) ? value : []
    return Array.from({ length: Math.max(list.length, Number(step) + 1) }, (_, index) =>
      index === Number(step) ? changedAt(list[index], rest, change) : (list[index] ?? null),
    )
  }
  const parent = isObject(value) ? value : {}
  const inner = changedAt(parent[step], rest, change)
  return withMember(parent, step, step.startsWith('_') ? tidyTwin(inner) : inner)
}

/** A twin that holds nothing any more is not written. */
function tidyTwin(twin: unknown): unknown {
  if (!isList(twin)) return isObject(twin) && Object.keys(twin).length === 0 ? undefined : twin
  const twins = twin.map((one) => tidyTwin(one) ?? null)
  return twins.every((one) => one === null) ? undefined : twins
}
