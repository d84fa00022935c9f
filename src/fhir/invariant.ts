import { decided, leaveUndecided } from './doubt.ts'
import type { JsonObject } from './inspection.ts'
import type { TypesByPath } from './r4/types.ts'

/** One official invariant: its key, the type it hangs on, and whether an object keeps it. */
export interface Invariant {
  readonly on: string
  readonly key: string
  readonly text: string
  readonly holds: (node: JsonObject) => boolean
}

/**
 * An invariant on nodes of one type.
 *
 * What it can read is of its type. Where the structure below the node has faults, it can ask whether something
 * is there, but to read what is wrong ends it undecided (doubt.ts); so it reads what it needs, and no more.
 * What the type requires may be absent where a twin says why.
 */
export function invariant<Path extends keyof TypesByPath>(
  on: Path,
  [key, text]: readonly [key: string, text: string],
  holds: (node: TypesByPath[Path]) => boolean,
): Invariant {
  return { on, key, text, holds: (node) => holds(node as unknown as TypesByPath[Path]) }
}

/** Is the element there, if only with an extension in place of its value? */
export function has<Node extends object>(node: Node, name: keyof Node & string): boolean {
  return name in node || `_${name}` in node
}

/** Is a choice element there, with whichever of its types? */
export function chosen(node: object, name: string): boolean {
  const found = Object.keys(node).some((key) => {
    const from = key.startsWith('_') ? 1 : 0
    return key.startsWith(name, from) && /[A-Z]/.test(key.charAt(from + name.length)) && key in node
  })
  // No JSON has the bare name: to ask for it is to ask whether the choice is missing by mistake.
  return found || name in node
}

/** Does it hold of every one? One of which it does not is enough, whatever others are in doubt. */
export function every<Item>(
  items: readonly Item[] | undefined,
  holds: (item: Item) => boolean,
): boolean {
  let open = false
  for (let at = 0; at < (items?.length ?? 0); at += 1) {
    const answer = decided(() => holds(items?.[at] as Item))
    if (answer === false) return false
    open ||= answer === undefined
  }
  return open ? leaveUndecided() : true
}

/** Do all that have a key have different ones? */
export function distinct<Item>(
  items: readonly Item[] | undefined,
  keyOf: (item: Item) => string | undefined,
): boolean {
  const keys = new Set<string>()
  return every(items, (item) => {
    const key = keyOf(item)
    if (key === undefined) return true
    if (keys.has(key)) return false
    keys.add(key)
    return true
  })
}

/**
 * Is the earlier date or time not after the later one? Undefined where the precision of the two
 * leaves it open: `2024-03` and `2024-03-01` overlap.
 */
export function inOrder(earlier: string, later: string): boolean | undefined {
  if (earlier.includes('T') && later.includes('T')) return secondsOf(earlier) <= secondsOf(later)
  const [start, end] = [earlier.slice(0, 10), later.slice(0, 10)]
  const shared = Math.min(start.length, end.length)
  const [first, second] = [start.slice(0, shared), end.slice(0, shared)]
  if (first !== second) return first < second
  return earlier.length === later.length ? true : undefined
}

const INSTANT = /^(\d{4})-(\d\d)-(\d\d)T(\d\d):(\d\d):(\d\d(?:\.\d+)?)(?:Z|([+-])(\d\d):(\d\d))$/

function secondsOf(text: string): number {
  const [, year, month, day, hour, minute, second, sign, zoneHours, zoneMinutes] =
    INSTANT.exec(text) ?? []
  const zone = (Number(zoneHours ?? 0) * 60 + Number(zoneMinutes ?? 0)) * (sign === '-' ? -1 : 1)
  const minutes = Number(minute) - zone
  const whole = Date.UTC(Number(year), Number(month) - 1, Number(day), Number(hour), minutes)
  return whole / 1000 + Number(second)
}
