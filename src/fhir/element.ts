/** Reading a parsed resource without knowing its type. */

export type JsonObject = Readonly<Record<string, unknown>>

export const isObject = (value: unknown): value is JsonObject =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

/** A list of whatever: what Array.isArray says, without its any. */
export const isList = (value: unknown): value is readonly unknown[] => Array.isArray(value)

/** Every value at a dotted path; arrays on the way are walked through. */
export function valuesAt(root: unknown, path: string): unknown[] {
  let found: unknown[] = [root]
  for (const name of path.split('.'))
    found = found.flatMap((value) => {
      if (!isObject(value)) return []
      const next = value[name]
      if (next === undefined || next === null) return []
      return Array.isArray(next) ? (next as unknown[]) : [next]
    })
  return found
}
