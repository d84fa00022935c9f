import type { Fault } from '../errors.ts'
import { isList, isObject, type JsonObject } from './element.ts'
import { readValue, sentValue } from './patch-parts.ts'
import type { PatchValue } from './patch-values.ts'

const TYPES = ['add', 'insert', 'delete', 'replace', 'move'] as const
type PatchType = (typeof TYPES)[number]

/** Every path is read and evaluated on its own, which costs far more than a step of a JSON Patch. */
const MAX_OPERATIONS = 200

/** One operation of a FHIRPath Patch. */
export interface PatchStep {
  readonly type: PatchType
  readonly path: string
  /** Of an addition; empty otherwise. */
  readonly name: string
  readonly index: number
  readonly source: number
  readonly destination: number
  readonly value: PatchValue | undefined
  /** Where a part stands in the patch, `Parameters.parameter[2].part[1]`. */
  readonly at: (part: string) => string
}

/** The operations of a Parameters resource; what is wrong with it is added to the faults. */
export function patchOperations(parameters: unknown, faults: Fault[]): PatchStep[] {
  const isParameters = isObject(parameters) && parameters['resourceType'] === 'Parameters'
  const sent = isParameters ? parameters['parameter'] : undefined
  if (!isList(sent) || sent.length === 0 || sent.length > MAX_OPERATIONS) {
    const text = `A FHIRPath Patch is a Parameters resource of 1 to ${MAX_OPERATIONS} operations.`
    faults.push(faultOf('Parameters.parameter', text))
    return []
  }
  return sent.flatMap((one, index) => {
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

interface Part {
  readonly at: string
  readonly part: JsonObject
}

const PART_NAMES = ['type', 'path', 'name', 'value', 'index', 'source', 'destination']

function partsOf(operation: JsonObject, at: string, faults: Fault[]): ReadonlyMap<string, Part> {
  const parts = new Map<string, Part>()
  const sent = operation['part']
  for (const [index, part] of (isList(sent) ? sent : []).entries()) {
    const place = `${at}.part[${index}]`
    const name = isObject(part) ? part['name'] : undefined
    if (!isObject(part) || typeof name !== 'string' || !PART_NAMES.includes(name))
      faults.push(faultOf(`${place}.name`, `A part is one of ${PART_NAMES.join(', ')}.`))
    else if (parts.has(name)) faults.push(faultOf(place, `There is one ${name} in an operation.`))
    else parts.set(name, { at: place, part })
  }
  return parts
}

/** What each type needs. */
const NEEDS: Readonly<Record<PatchType, readonly string[]>> = {
  add: ['path', 'name', 'value'],
  insert: ['path', 'index', 'value'],
  delete: ['path'],
  replace: ['path', 'value'],
  move: ['path', 'source', 'destination'],
}

function stepOf(operation: JsonObject, at: string, faults: Fault[]): PatchStep | undefined {
  const known = faults.length
  const parts = partsOf(operation, at, faults)
  const place = (name: string): string => parts.get(name)?.at ?? at
  const sent = (name: string): unknown => sentValue(parts.get(name)?.part)
  const type = TYPES.find((one) => one === sent('type'))
  if (type === undefined) {
    faults.push(faultOf(place('type'), `The type is one of ${TYPES.join(', ')}.`, 'required'))
    return undefined
  }
  for (const name of NEEDS[type]) {
    if (!parts.has(name)) faults.push(faultOf(at, `The operation needs a ${name}.`, 'required'))
    else if (!IS_RIGHT[name]?.(sent(name)))
      faults.push(faultOf(place(name), `This is no ${name}.`, 'value'))
  }
  const given = NEEDS[type].includes('value') ? parts.get('value') : undefined
  const value = given === undefined ? undefined : readValue(given.part, given.at)
  if (given !== undefined && value === undefined)
    faults.push(faultOf(given.at, 'The value is one value[x], or parts that have one each.'))
  if (faults.length > known) return undefined
  return { type, value, at: place, ...namesIn(sent) }
}

/** The plain parts, of which each type of operation has some. */
function namesIn(sent: (name: string) => unknown) {
  const text = (name: string): string => {
    const value = sent(name)
    return typeof value === 'string' ? value : ''
  }
  const whole = (name: string): number => Number(sent(name) ?? 0)
  return {
    path: text('path'),
    name: text('name'),
    index: whole('index'),
    source: whole('source'),
    destination: whole('destination'),
  }
}

const isText = (value: unknown): boolean => typeof value === 'string' && value !== ''
const isIndex = (value: unknown): boolean => Number.isSafeInteger(value) && Number(value) >= 0

const IS_RIGHT: Readonly<Record<string, (value: unknown) => boolean>> = {
  path: isText,
  name: isText,
  index: isIndex,
  source: isIndex,
  destination: isIndex,
  // Read with its type, see readValue.
  value: () => true,
}
