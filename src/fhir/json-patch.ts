import type { Fault } from '../errors.ts'
import { isList, isObject, type JsonObject } from './element.ts'
import { pointer, same } from './json-pointer.ts'
import type { PatchResult } from './patches.ts'

/** The most operations one patch may have. */
const MAX_OPERATIONS = 1000

const NAMES = ['add', 'remove', 'replace', 'move', 'copy', 'test'] as const
type Name = (typeof NAMES)[number]

interface Operation {
  readonly op: Name
  readonly at: string
  readonly path: readonly string[]
  readonly from: readonly string[] | undefined
  readonly value: unknown
}

/** A step that does not fit the document. */
class Misfit extends Error {
  readonly expression: string

  constructor(expression: string, text: string) {
    super(text)
    this.expression = expression
  }
}

/**
 * A JSON Patch (RFC 6902) of a parsed resource. The resource is not changed; what the patch does not touch
 * is in the result as it was, its decimals with their digits. The type and id of a resource stay.
 */
export function applyJsonPatch(resource: unknown, patch: unknown): PatchResult {
  const faults: Fault[] = []
  const operations = readPatch(patch, faults)
  if (faults.length > 0) return { ok: false, kind: 'malformed', faults }
  try {
    const value = operations.reduce(applied, resource)
    refuseOtherIdentity(resource, value)
    return { ok: true, value }
  } catch (error) {
    if (!(error instanceof Misfit)) throw error
    const { expression, message } = error
    return { ok: false, kind: 'failed', faults: [faultOf(expression, message, 'processing')] }
  }
}

const faultOf = (expression: string, text: string, code = 'structure'): Fault => ({
  severity: 'error',
  code,
  expression,
  rule: 'json-patch',
  text,
})

function readPatch(patch: unknown, faults: Fault[]): Operation[] {
  if (!isList(patch)) {
    faults.push(faultOf('patch', 'A JSON Patch is a list of operations.'))
    return []
  }
  if (patch.length > MAX_OPERATIONS) {
    faults.push(faultOf('patch', `At most ${MAX_OPERATIONS} operations are taken.`, 'too-costly'))
    return []
  }
  return patch.flatMap(
    (sent: unknown, index) => readOperation(sent, `patch[${index}]`, faults) ?? [],
  )
}

function readOperation(sent: unknown, at: string, faults: Fault[]): Operation | undefined {
  const operation = isObject(sent) ? sent : {}
  const op = NAMES.find((name) => name === operation['op'])
  if (op === undefined) {
    faults.push(faultOf(`${at}.op`, `An operation is one of ${NAMES.join(', ')}.`))
    return undefined
  }
  const path = pointer(operation['path'])
  if (path === undefined) faults.push(faultOf(`${at}.path`, POINTER))
  const needsFrom = op === 'move' || op === 'copy'
  const from = needsFrom ? pointer(operation['from']) : undefined
  if (needsFrom && from === undefined) faults.push(faultOf(`${at}.from`, POINTER))
  const needsValue = op === 'add' || op === 'replace' || op === 'test'
  if (needsValue && !Object.hasOwn(operation, 'value'))
    faults.push(faultOf(`${at}.value`, `The operation ${op} needs a value.`, 'required'))
  if (path === undefined) return undefined
  return { op, at, path, from, value: operation['value'] }
}

const POINTER =
  'A JSON Pointer is needed, for instance /name/0/family; ~1 stands for / and ~0 for ~.'

function applied(document: unknown, operation: Operation): unknown {
  const { op, at, path, from = [], value } = operation
  const place = `${at}.path`
  switch (op) {
    case 'add':
      return added(document, path, value, place)
    case 'remove':
      return removed(document, path, place)
    case 'replace':
      valueAt(document, path, place)
      return replaced(document, path, value, place)
    case 'copy':
      return added(document, path, valueAt(document, from, `${at}.from`), place)
    case 'move': {
      const moved = valueAt(document, from, `${at}.from`)
      if (path.length > from.length && from.every((step, index) => step === path[index]))
        throw new Misfit(place, 'Nothing can be moved into itself.')
      return added(removed(document, from, `${at}.from`), path, moved, place)
    }
    case 'test':
      if (!same(valueAt(document, path, place), value))
        throw new Misfit(place, 'The test failed: another value stands there.')
      return document
  }
}

const ABSENT = 'There is nothing at this place.'

function valueAt(document: unknown, path: readonly string[], place: string): unknown {
  let value = document
  for (const step of path) {
    if (isList(value)) value = value[indexOf(step, value.length - 1, place)]
    else if (isObject(value) && Object.hasOwn(value, step)) value = value[step]
    else throw new Misfit(place, ABSENT)
  }
  return value
}

/** An index without leading zeros, up to the largest that is allowed. */
function indexOf(step: string, largest: number, place: string): number {
  if (!/^(?:0|[1-9]\d{0,8})$/.test(step) || Number(step) > largest) throw new Misfit(place, ABSENT)
  return Number(step)
}

type Change = (parent: JsonObject | readonly unknown[], last: string) => unknown

/** The document with one member changed; only what contains it is made anew. */
function changed(
  document: unknown,
  path: readonly string[],
  place: string,
  change: Change,
): unknown {
  const [step = '', ...rest] = path
  if (!isList(document) && !isObject(document)) throw new Misfit(place, ABSENT)
  if (rest.length === 0) return change(document, step)
  const inner = changed(valueAt(document, [step], place), rest, place, change)
  return isList(document)
    ? document.with(indexOf(step, document.length - 1, place), inner)
    : { ...document, [step]: inner }
}

function added(document: unknown, path: readonly string[], value: unknown, place: string): unknown {
  if (path.length === 0) return value
  return changed(document, path, place, (parent, last) => {
    if (!isList(parent)) return { ...parent, [last]: value }
    const index = last === '-' ? parent.length : indexOf(last, parent.length, place)
    return parent.toSpliced(index, 0, value)
  })
}

function replaced(
  document: unknown,
  path: readonly string[],
  value: unknown,
  place: string,
): unknown {
  if (path.length === 0) return value
  return changed(document, path, place, (parent, last) =>
    isList(parent)
      ? parent.with(indexOf(last, parent.length - 1, place), value)
      : { ...parent, [last]: value },
  )
}

function removed(document: unknown, path: readonly string[], place: string): unknown {
  if (path.length === 0) throw new Misfit(place, 'A resource is deleted, not patched away.')
  valueAt(document, path, place)
  return changed(document, path, place, (parent, last) => {
    if (isList(parent)) return parent.toSpliced(indexOf(last, parent.length - 1, place), 1)
    const { [last]: _gone, ...rest } = parent
    return rest
  })
}

function refuseOtherIdentity(before: unknown, after: unknown): void {
  for (const name of ['resourceType', 'id'])
    if (!isObject(before) || !isObject(after) || before[name] !== after[name])
      throw new Misfit('patch', `The ${name} of a resource stays.`)
}
