import type { Fault } from '../errors.ts'
import { isObject, type JsonObject } from './element.ts'
import { elementOfType, elementPlace, type ElementPlace } from './element-place.ts'
import { fhirPathPlaces } from './fhirpath-places.ts'
import { applyJsonPatch } from './json-patch.ts'
import type { PatchResult } from './patches.ts'
import { patchOperations, type PatchStep } from './patch-parameters.ts'

/** A step that does not fit the resource. */
class Misfit extends Error {
  readonly expression: string

  constructor(expression: string, text: string) {
    super(text)
    this.expression = expression
  }
}

/**
 * A FHIRPath Patch (R4 3.1.5) of a parsed resource: its operations in their order, all or none. The resource
 * is not changed. No path leads into a contained resource.
 */
export async function applyFhirPathPatch(
  resource: unknown,
  parameters: unknown,
): Promise<PatchResult> {
  const faults: Fault[] = []
  const steps = patchOperations(parameters, faults)
  if (faults.length > 0) return { ok: false, kind: 'malformed', faults }
  let value = resource
  try {
    for (const step of steps) value = await applied(value, step)
    return { ok: true, value }
  } catch (error) {
    if (!(error instanceof Misfit)) throw error
    return {
      ok: false,
      kind: 'failed',
      faults: [
        {
          severity: 'error',
          code: 'processing',
          expression: error.expression,
          rule: 'fhirpath-patch',
          text: error.message,
        },
      ],
    }
  }
}

type JsonStep = JsonObject

async function applied(resource: unknown, step: PatchStep): Promise<unknown> {
  const found = await fhirPathPlaces(resource, step.path)
  if (found === undefined)
    throw new Misfit(step.at, 'The path is no FHIRPath that can be evaluated.')
  const places = found.map((path) => elementPlace(resource, path))
  if (places.length === 0 && step.type === 'delete') return resource
  const inside = places.filter((place) => place !== undefined)
  if (inside.length < places.length)
    throw new Misfit(step.at, 'The path leads out of the resource itself.')
  const json = jsonStep(resource, step, inside)
  const result = applyJsonPatch(resource, [json])
  if (result.ok) return result.value
  throw new Misfit(step.at, result.faults[0]?.text ?? 'The patch does not fit the resource.')
}

function jsonStep(resource: unknown, step: PatchStep, places: readonly ElementPlace[]): JsonStep {
  const { at, type } = step
  if (type === 'insert' || type === 'move') return listStep(step, places)
  const [place, ...others] = places
  if (place === undefined || others.length > 0)
    throw new Misfit(at, `The path must give exactly one element; it gives ${places.length}.`)
  const path = pointerText(place.pointer)
  if (type === 'delete') return { op: 'remove', path }
  if (type === 'replace') return { op: 'replace', path, value: step.value?.of(place.type) }
  return addition(resource, step, place)
}

/** Of a repeating element a further one; of a single one the first. */
function addition(
  resource: unknown,
  { at, name = '', value }: PatchStep,
  place: ElementPlace,
): JsonStep {
  const element = elementOfType(place.type, name)
  if (element === undefined) throw new Misfit(at, 'R4 has no element of this name there.')
  const isChoice = element.name.endsWith('[x]')
  const use = isChoice ? element.types.find(({ code }) => code === value?.type) : element.types[0]
  if (use === undefined)
    throw new Misfit(at, 'The value is of a type that this element does not take.')
  const { code } = use
  const property = isChoice ? name + code.charAt(0).toUpperCase() + code.slice(1) : name
  const parent = place.pointer.reduce<unknown>(
    (one, key) => (Array.isArray(one) ? one[Number(key)] : isObject(one) ? one[key] : undefined),
    resource,
  )
  const present = isObject(parent) ? parent[property] : undefined
  const path = pointerText([...place.pointer, property])
  const content = value?.of(code)
  if (!element.many) {
    if (present !== undefined) throw new Misfit(at, 'The element is there already: replace it.')
    return { op: 'add', path, value: content }
  }
  return present === undefined
    ? { op: 'add', path, value: [content] }
    : { op: 'add', path: `${path}/-`, value: content }
}

/** An insertion or a move inside one list, which the path names as a whole. */
function listStep(step: PatchStep, places: readonly ElementPlace[]): JsonStep {
  const { at, type, index = 0, source = 0, destination = 0, value } = step
  const lists = new Set(places.map(({ pointer }) => pointerText(pointer.slice(0, -1))))
  const [list] = lists
  const [first] = places
  if (
    first === undefined ||
    list === undefined ||
    lists.size > 1 ||
    !/^\d+$/.test(first.pointer.at(-1) ?? '')
  )
    throw new Misfit(at, 'The path must give the elements of one list.')
  if (type === 'move')
    return { op: 'move', from: `${list}/${source}`, path: `${list}/${destination}` }
  return { op: 'add', path: `${list}/${index}`, value: value?.of(first.type) }
}

const pointerText = (steps: readonly string[]): string =>
  steps.map((step) => `/${step.replaceAll('~', '~0').replaceAll('/', '~1')}`).join('')
