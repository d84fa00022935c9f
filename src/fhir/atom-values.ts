import { isObject } from './element.ts'
import type { Atom } from './r4/search-line.ts'

interface Step {
  readonly name: string
  /** Only elements count of which this member has this value. */
  readonly where?: readonly [member: string, value: string]
}

const STEPS = new Map<string, readonly Step[]>()

function stepsOf(path: string): readonly Step[] {
  const known = STEPS.get(path)
  if (known !== undefined) return known
  const steps = path.split('.').map((text): Step => {
    const [, name = text, member, value] = /^(\w+)\[(\w+)=([\w-]+)\]$/.exec(text) ?? []
    return member === undefined || value === undefined ? { name } : { name, where: [member, value] }
  })
  STEPS.set(path, steps)
  return steps
}

/** Every value that stands at an atom's place, below a resource or an element of it. */
export function valuesOf(root: unknown, { path }: Atom): unknown[] {
  let found: unknown[] = [root]
  for (const step of stepsOf(path)) found = found.flatMap((value) => membersOf(value, step))
  return found
}

/** The elements at a dotted path; '' is the resource itself. */
export const elementsAt = (root: unknown, path: string): unknown[] =>
  path === '' ? [root] : valuesOf(root, { path, type: '', targets: [], many: true })

function membersOf(value: unknown, { name, where }: Step): unknown[] {
  if (!isObject(value)) return []
  const next = value[name]
  if (next === undefined || next === null) return []
  const members = Array.isArray(next) ? (next as unknown[]) : [next]
  if (where === undefined) return members
  const [member, wanted] = where
  return members.filter((one) => isObject(one) && one[member] === wanted)
}
