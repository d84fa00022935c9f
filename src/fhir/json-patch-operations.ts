import type { Fault } from '../errors.ts'
import { isList, isObject } from './element.ts'
import { namesNoElement, pointer } from './json-pointer.ts'

/** The most operations one patch may have. */
const MAX_OPERATIONS = 1000

const NAMES = ['add', 'remove', 'replace', 'move', 'copy', 'test'] as const

/** One operation of a JSON Patch; `from` and `value` are there where the operation needs them. */
export interface JsonOperation {
  readonly op: (typeof NAMES)[number]
  /** `patch[2]` */
  readonly at: string
  readonly path: readonly string[]
  readonly from: readonly string[] | undefined
  readonly value: unknown
}

/** The operations of a JSON Patch; what is wrong with it is added to the faults. */
export function jsonOperations(patch: unknown, faults: Fault[]): JsonOperation[] {
  if (!isList(patch)) {
    faults.push(faultOf('patch', 'A JSON Patch is a list of operations.'))
    return []
  }
  if (patch.length > MAX_OPERATIONS) {
    faults.push(faultOf('patch', `At most ${MAX_OPERATIONS} operations are taken.`, 'too-costly'))
    return []
  }
  return patch.flatMap((sent, index) => operationOf(sent, `patch[${index}]`, faults) ?? [])
}

const faultOf = (expression: string, text: string, code = 'structure'): Fault => ({
  severity: 'error',
  code,
  expression,
  rule: 'json-patch',
  text,
})

function operationOf(sent: unknown, at: string, faults: Fault[]): JsonOperation | undefined {
  const operation = isObject(sent) ? sent : {}
  const op = NAMES.find((name) => name === operation['op'])
  if (op === undefined) {
    faults.push(faultOf(`${at}.op`, `An operation is one of ${NAMES.join(', ')}.`))
    return undefined
  }
  const path = pointer(operation['path'])
  if (path === undefined) faults.push(pointerFault(`${at}.path`, operation['path']))
  const needsFrom = op === 'move' || op === 'copy'
  const from = needsFrom ? pointer(operation['from']) : undefined
  if (needsFrom && from === undefined) faults.push(pointerFault(`${at}.from`, operation['from']))
  const needsValue = op === 'add' || op === 'replace' || op === 'test'
  if (needsValue && !Object.hasOwn(operation, 'value'))
    faults.push(faultOf(`${at}.value`, `The operation ${op} needs a value.`, 'required'))
  return path === undefined ? undefined : { op, at, path, from, value: operation['value'] }
}

const pointerFault = (expression: string, sent: unknown): Fault =>
  faultOf(
    expression,
    namesNoElement(sent)
      ? 'No element of a resource has such a name.'
      : 'A JSON Pointer is needed, for instance /name/0/family; ~1 stands for / and ~0 for ~.',
  )
