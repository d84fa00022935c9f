import type { Fault } from '../errors.ts'
import { isList, isObject, type JsonObject } from './element.ts'
import { elementOfType } from './element-place.ts'

const TYPES = ['add', 'insert', 'delete', 'replace', 'move'] as const
const MAX_OPERATIONS = 1000

/** A value that is written into a resource. */
export interface PatchValue {
  /** Its data type, `HumanName`; undefined where it is made of parts. */
  readonly type: string | undefined
  /** What is written where an element of this type stands. */
  readonly of: (type: string) => unknown
}

/** One operation of a FHIRPath Patch. */
export interface PatchStep {
  /** `Parameters.parameter[2]` */
  readonly at: string
  readonly type: (typeof TYPES)[number]
  readonly path: string
  readonly name?: string
  readonly index?: number
  readonly source?: number
  readonly destination?: number
  readonly value?: PatchValue
}

/** The operations of a Parameters resource; what is wrong with it is added to the faults. */
export function patchOperations(parameters: unknown, faults: Fault[]): PatchStep[] {
  const sent = isObject(parameters) ? parameters['parameter'] : undefined
  if (!Array.isArray(sent) || sent.length > MAX_OPERATIONS) {
    const text = `A FHIRPath Patch is a Parameters resource of 1 to ${MAX_OPERATIONS} operations.`
    faults.push(faultOf('Parameters.parameter', text))
    return []
  }
  return sent.flatMap((one: unknown, index) => {
    const at = `Parameters.parameter[${index}]`
    if (isObject(one) && one['name'] === 'operation') return stepOf(one, at, faults) ?? []
    faults.push(faultOf(`${at}.name`, 'Every parameter of a FHIRPath Patch is called operation.'))
    return []
  })
}

const faultOf = (expression: string, text: string, code = 'structure'): Fault => ({
  severity: 'error',
  code,
  expression,
  rule: 'fhirpath-patch',
  text,
})

const partsOf = (one: JsonObject): readonly JsonObject[] =>
  Array.isArray(one['part']) ? one['part'].filter(isObject) : []

/** What each type needs besides its path. */
const NEEDS = {
  add: ['name', 'value'],
  insert: ['index', 'value'],
  delete: [],
  replace: ['value'],
  move: ['source', 'destination'],
} as const

function stepOf(operation: JsonObject, at: string, faults: Fault[]): PatchStep | undefined {
  const parts = new Map(partsOf(operation).map((part) => [part['name'], part]))
  const type = TYPES.find((one) => one === simpleValue(parts.get('type')))
  const path = simpleValue(parts.get('path'))
  const missing = [
    ...(type === undefined ? [`type, one of ${TYPES.join(', ')}`] : []),
    ...(typeof path === 'string' ? [] : ['path']),
    ...(type === undefined ? [] : NEEDS[type].filter((name) => !parts.has(name))),
  ]
  if (missing.length > 0) {
    faults.push(faultOf(at, `The operation needs ${missing.join(' and ')}.`, 'required'))
    return undefined
  }
  const name = simpleValue(parts.get('name'))
  const value = parts.get('value')
  return {
    at,
    type: type ?? 'delete',
    path: String(path),
    ...(typeof name === 'string' ? { name } : {}),
    ...numberIn('index', parts),
    ...numberIn('source', parts),
    ...numberIn('destination', parts),
    ...(value === undefined ? {} : { value: valueOf(value) }),
  }
}

function numberIn(name: string, parts: ReadonlyMap<unknown, JsonObject>): Record<string, number> {
  const value = simpleValue(parts.get(name))
  return typeof value === 'number' && Number.isInteger(value) && value >= 0 ? { [name]: value } : {}
}

const memberOf = (part: JsonObject): readonly [string, unknown] | undefined =>
  Object.entries(part).find(([name]) => /^value[A-Z]/.test(name))

const simpleValue = (part: JsonObject | undefined): unknown =>
  part === undefined ? undefined : memberOf(part)?.[1]

function valueOf(part: JsonObject): PatchValue {
  const member = memberOf(part)
  if (member === undefined) return { type: undefined, of: (type) => assembled(partsOf(part), type) }
  const [name, value] = member
  const word = name.slice('value'.length)
  // The types of FHIR are told apart by their first letter: primitives are written small.
  const type = isObject(value) ? word : word.charAt(0).toLowerCase() + word.slice(1)
  return { type, of: () => value }
}

/** An element without a name of its own type, given part by part: `Patient.contact`. */
function assembled(parts: readonly JsonObject[], type: string): JsonObject {
  const members = new Map<string, unknown>()
  for (const part of parts) {
    const name = String(part['name'])
    const element = elementOfType(type, name)
    const inner = valueOf(part)
    const property =
      element?.name.endsWith('[x]') === true && inner.type !== undefined
        ? name + inner.type.charAt(0).toUpperCase() + inner.type.slice(1)
        : name
    const value = inner.of(element?.types[0]?.code ?? '')
    const before = members.get(property)
    members.set(
      property,
      element?.many === true ? [...(isList(before) ? before : []), value] : value,
    )
  }
  return Object.fromEntries(members)
}
