import { isList, isObject } from './element.ts'
import { DecimalText } from './decimal.ts'
import { MAX_NESTING } from './json-scan.ts'
import { Misfit } from './patch-misfit.ts'

/** Characters and values that the copies of one patch may have together: doubling grows without end. */
const MAX_COPIED = 1_048_576

const ABSENT = 'There is nothing at this place.'

type Container = Record<string, unknown> | unknown[]

/**
 * A document while it is patched. The original is never changed: what a step changes is copied when it is
 * first touched, and only once, so many steps in a long list cost no more than the list.
 *
 * Every method names the place in the patch that is at fault when its path does not fit.
 */
export class Draft {
  /** The copies made so far: these may be changed. */
  private readonly own = new WeakMap<object, Container>()
  private root: unknown
  private copiesLeft = MAX_COPIED

  constructor(original: unknown) {
    this.root = original
  }

  get value(): unknown {
    return this.root
  }

  read(path: readonly string[], place: string): unknown {
    return path.reduce<unknown>((value, step) => memberOf(value, step, place), this.root)
  }

  /** The value with containers of its own, so a change of one does not show in the other. */
  copy(path: readonly string[], place: string): unknown {
    return this.copied(this.read(path, place), MAX_NESTING, place)
  }

  add(path: readonly string[], value: unknown, place: string): void {
    const last = path.at(-1)
    if (last === undefined) {
      this.root = value
      return
    }
    const parent = this.parentOf(path, place)
    if (!Array.isArray(parent)) parent[last] = value
    else parent.splice(last === '-' ? parent.length : indexOf(last, parent.length, place), 0, value)
  }

  replace(path: readonly string[], value: unknown, place: string): void {
    this.read(path, place)
    const last = path.at(-1)
    if (last === undefined) {
      this.root = value
      return
    }
    put(this.parentOf(path, place), last, value)
  }

  remove(path: readonly string[], place: string): void {
    const last = path.at(-1)
    if (last === undefined) throw new Misfit(place, 'A resource is deleted, not patched away.')
    this.read(path, place)
    const parent = this.parentOf(path, place)
    if (Array.isArray(parent)) parent.splice(Number(last), 1)
    else Reflect.deleteProperty(parent, last)
  }

  private parentOf(path: readonly string[], place: string): Container {
    let holder = this.owned(this.root, place)
    this.root = holder
    for (const step of path.slice(0, -1)) {
      const inner = this.owned(memberOf(holder, step, place), place)
      put(holder, step, inner)
      holder = inner
    }
    return holder
  }

  private owned(value: unknown, place: string): Container {
    if (!isContainer(value)) throw new Misfit(place, ABSENT)
    const known = this.own.get(value)
    if (known !== undefined) return known
    const copy: Container = isList(value) ? [...value] : { ...value }
    this.own.set(copy, copy)
    return copy
  }

  private copied(value: unknown, levels: number, place: string): unknown {
    this.copiesLeft -= typeof value === 'string' ? value.length + 1 : 1
    if (this.copiesLeft < 0 || levels < 0)
      throw new Misfit(place, 'The patch copies more than a resource may hold.', 'too-costly')
    if (!isContainer(value)) return value
    if (isList(value)) return value.map((item) => this.copied(item, levels - 1, place))
    return Object.fromEntries(
      Object.entries(value).map(([name, member]) => {
        this.copiesLeft -= name.length
        return [name, this.copied(member, levels - 1, place)]
      }),
    )
  }
}

/** A decimal that carries its digits is a value: no step leads into it. */
const isContainer = (
  value: unknown,
): value is readonly unknown[] | Readonly<Record<string, unknown>> =>
  isList(value) || (isObject(value) && !(value instanceof DecimalText))

function memberOf(value: unknown, step: string, place: string): unknown {
  if (isList(value)) return value[indexOf(step, value.length - 1, place)]
  if (isContainer(value) && !isList(value) && Object.hasOwn(value, step)) return value[step]
  throw new Misfit(place, ABSENT)
}

/** An index without leading zeros (RFC 6901 4), up to the largest that is allowed. */
function indexOf(step: string, largest: number, place: string): number {
  if (!/^(?:0|[1-9]\d{0,8})$/.test(step) || Number(step) > largest) throw new Misfit(place, ABSENT)
  return Number(step)
}

function put(parent: Container, step: string, value: unknown): void {
  if (Array.isArray(parent)) parent[Number(step)] = value
  else parent[step] = value
}
