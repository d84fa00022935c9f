import type { JsonObject, Step } from './inspection.ts'

/**
 * What of a node is not as R4 asks, so that an invariant of it is judged as far as the rest decides. A value
 * of the wrong form is there; what it says, nobody knows.
 */
export interface Doubt {
  /** Of the value itself: a primitive, an object or list, or what may even not belong here. */
  at?: 'primitive' | 'object' | 'anything'
  readonly below: Map<string, Doubt>
}

/** Thrown where an invariant asks what only the value in doubt could say. */
class Undecided extends Error {}
const UNDECIDED = new Undecided('The answer depends on a value of the wrong form')

const undecided = (): never => {
  throw UNDECIDED
}

/** What a question answers; undefined where the answer depends on what is in doubt. */
export function decided<Answer>(ask: () => Answer): Answer | undefined {
  try {
    return ask()
  } catch (error) {
    if (error instanceof Undecided) return undefined
    throw error
  }
}

/** Goes on as undecided, after everything else was asked. */
export const leaveUndecided = undecided

/** The doubts about a node, of all places in doubt below it, which are `depth` steps into the resource. */
export function doubtsBelow(places: readonly (readonly Step[])[], depth: number): Doubt {
  const root: Doubt = { below: new Map() }
  for (const place of places) {
    let doubt = root
    let last: Doubt['at'] = 'object'
    for (const step of place.slice(depth)) {
      if (typeof step === 'object') last = step.complex ? 'object' : 'primitive'
      else if (typeof step === 'string') last = 'anything'
      doubt = below(doubt, typeof step === 'object' ? step.name : String(step))
    }
    doubt.at ??= last
  }
  return root
}

function below({ below }: Doubt, name: string): Doubt {
  const known = below.get(name)
  if (known !== undefined) return known
  const added: Doubt = { below: new Map() }
  below.set(name, added)
  return added
}

/** The node as an invariant may see it: that something is in doubt is there can be asked, not what it is. */
export function withDoubt<Node extends object>(node: Node, doubt: Doubt): Node {
  return new Proxy(node, {
    get: (target, name) => {
      const value: unknown = Reflect.get(target, name)
      const about = typeof name === 'string' ? doubt.below.get(name) : undefined
      if (about === undefined) return value
      if (about.at === 'object' && !isNothing(value)) return UNREADABLE
      if (about.at !== undefined) return undecided()
      return isHolder(value) ? withDoubt(value, about) : value
    },
    has: (target, name) => {
      const at = typeof name === 'string' ? doubt.below.get(name)?.at : undefined
      if (at === 'anything') return undecided()
      return at !== undefined && isNothing(Reflect.get(target, name))
        ? undecided()
        : Reflect.has(target, name)
    },
  })
}

const isHolder = (value: unknown): value is JsonObject =>
  typeof value === 'object' && value !== null

/** Nobody can say whether what is empty was meant to be there. */
const isNothing = (value: unknown): boolean =>
  value === undefined ||
  value === null ||
  value === '' ||
  (isHolder(value) && Object.keys(value).length === 0)

/** Something is there: more cannot be asked of it. */
const UNREADABLE: object = new Proxy(
  {},
  {
    get: undecided,
    has: undecided,
    ownKeys: undecided,
    getPrototypeOf: undecided,
    getOwnPropertyDescriptor: undecided,
  },
)
