import { isObject } from './element.ts'

interface Step {
  readonly name: string
  /** Only elements count of which this member has this value. */
  readonly where?: readonly [member: string, value: string]
}

/** Places of a resource by their common beginnings, so that it is walked once for all of them. */
export interface PlaceTree<Leaf> {
  readonly step: Step
  readonly leaves: readonly Leaf[]
  readonly children: readonly PlaceTree<Leaf>[]
}

interface Growing<Leaf> extends PlaceTree<Leaf> {
  readonly leaves: Leaf[]
  readonly children: Growing<Leaf>[]
  readonly byText: Map<string, Growing<Leaf>>
}

const grown = <Leaf>(step: Step): Growing<Leaf> => ({
  step,
  leaves: [],
  children: [],
  byText: new Map(),
})

/** The tree of dotted paths, each with what is wanted of the values there; '' is the root itself. */
export function placeTree<Leaf>(
  places: readonly (readonly [path: string, leaf: Leaf])[],
): PlaceTree<Leaf> {
  const root = grown<Leaf>({ name: '' })
  for (const [path, leaf] of places) {
    let at = root
    for (const text of stepsOf(path)) {
      const known = at.byText.get(text)
      const next = known ?? grown<Leaf>(stepOf(text))
      if (known === undefined) {
        at.byText.set(text, next)
        at.children.push(next)
      }
      at = next
    }
    at.leaves.push(leaf)
  }
  return root
}

/** At its dots, but for those of a condition, which may be an address. */
const stepsOf = (path: string): readonly string[] => path.match(/[^.[]+(?:\[[^\]]*\])?/g) ?? []

function stepOf(text: string): Step {
  const [, name = text, member, value] = /^(\w+)\[(\w+)=([^\]]+)\]$/.exec(text) ?? []
  return member === undefined || value === undefined ? { name } : { name, where: [member, value] }
}

/** Shows every value that stands at one of the places, and what is wanted of it. */
export function visitPlaces<Leaf>(
  { leaves, children }: PlaceTree<Leaf>,
  value: unknown,
  visit: (leaf: Leaf, value: unknown) => void,
): void {
  for (const leaf of leaves) visit(leaf, value)
  if (children.length === 0 || !isObject(value)) return
  for (const child of children) {
    const next = value[child.step.name]
    if (next === undefined || next === null) continue
    if (!Array.isArray(next)) visitMember(child, next, visit)
    else for (const one of next as unknown[]) visitMember(child, one, visit)
  }
}

function visitMember<Leaf>(
  tree: PlaceTree<Leaf>,
  value: unknown,
  visit: (leaf: Leaf, value: unknown) => void,
): void {
  // Twin arrays of primitives are padded with null.
  if (value === null) return
  const { where } = tree.step
  if (where !== undefined && !(isObject(value) && value[where[0]] === where[1])) return
  visitPlaces(tree, value, visit)
}
