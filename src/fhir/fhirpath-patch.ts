import type { Fault } from '../errors.ts'
import { writeJson } from './decimal.ts'
import { changedAt, type Item, itemsOf, withItems } from './element-items.ts'
import type { JsonObject } from './element.ts'
import {
  elementPlace,
  type ElementPlace,
  insideOf,
  type MemberPlace,
  propertyOf,
} from './element-place.ts'
import { fhirPathPlaces } from './fhirpath-places.ts'
import { checkPatched, Misfit, misfitFault } from './patch-misfit.ts'
import { MOST_PATCH_COST, pathCost } from './patch-cost.ts'
import { patchOperations, type PatchStep } from './patch-parameters.ts'
import { type PatchPath, patchPath } from './patch-path.ts'
import { itemOf, type PatchValue, typeWith, withAdded } from './patch-values.ts'
import type { PatchResult } from './patches.ts'

/**
 * A FHIRPath Patch (R4 3.1.5) of a parsed resource: its operations in their order, all or none. The resource
 * is not changed. No path leads into a contained resource; the type and id of a resource stay.
 */
export async function applyFhirPathPatch(
  resource: unknown,
  parameters: unknown,
): Promise<PatchResult> {
  const faults: Fault[] = []
  const steps = patchOperations(parameters, faults)
  if (faults.length > 0) return { ok: false, kind: 'malformed', faults }
  const placesOf = await fhirPathPlaces()
  let value = resource
  try {
    let costLeft = MOST_PATCH_COST
    for (const step of steps) {
      const text = writeJson(value)
      const path = readPath(step)
      costLeft -= pathCost(path, value, text)
      if (costLeft < 0) throw new Misfit(step.at('path'), TOO_COSTLY, 'too-costly')
      value = applied(value, step, placesOf(text, path))
    }
    checkPatched(resource, value, 'Parameters.parameter')
    return { ok: true, value }
  } catch (error) {
    if (!(error instanceof Misfit)) throw error
    return { ok: false, kind: 'failed', faults: [misfitFault('fhirpath-patch', error)] }
  }
}

const TOO_COSTLY =
  'The paths up to this one take more time on this resource than a patch may. Send fewer or shorter ones, or an update.'

function readPath(step: PatchStep): PatchPath {
  const path = patchPath(step.path)
  if (path.ok) return path
  throw new Misfit(step.at('path'), path.text, path.code)
}

function applied(
  resource: unknown,
  step: PatchStep,
  found: readonly string[] | undefined,
): unknown {
  const at = step.at('path')
  if (found === undefined) throw new Misfit(at, 'The path is no FHIRPath that finds an element.')
  const places = found.flatMap((path) => elementPlace(resource, path) ?? [])
  if (places.length < found.length)
    throw new Misfit(at, 'The path leads out of the resource itself.')
  if (step.type === 'insert' || step.type === 'move') return relisted(resource, step, places)
  const [place, ...others] = places
  if (place === undefined && step.type === 'delete') return resource
  if (place === undefined || others.length > 0)
    throw new Misfit(at, `The path must give exactly one element; it gives ${places.length}.`)
  if (step.type === 'add') return added(resource, step, place)
  if (place.kind === 'root')
    throw new Misfit(at, 'A resource is not deleted or replaced by a patch.')
  return changedAt(resource, place.parent, (parent) =>
    step.type === 'delete' ? without(parent, place) : replaced(parent, place, valueOf(step)),
  )
}

function added(resource: unknown, step: PatchStep, place: ElementPlace): unknown {
  const addition = { name: step.name, at: step.at('name'), value: valueOf(step) }
  return changedAt(resource, insideOf(place), (parent) => withAdded(parent, place.type, addition))
}

function without(parent: JsonObject, { property, index = 0, element }: MemberPlace): JsonObject {
  return withItems(parent, property, itemsOf(parent, property).toSpliced(index, 1), element.many)
}

/** A choice changes its name with the type of what it holds. */
function replaced(parent: JsonObject, place: MemberPlace, value: PatchValue): JsonObject {
  const { property, index = 0, element } = place
  const type = typeWith(element, value)
  const renamed = propertyOf(element, type)
  const items = itemsOf(parent, property).with(index, itemOf(value, type))
  const emptied = renamed === property ? parent : without(parent, place)
  return withItems(emptied, renamed, items, element.many)
}

/** An insertion or a move inside one list, which the path names as a whole. */
function relisted(resource: unknown, step: PatchStep, places: readonly ElementPlace[]): unknown {
  const [first] = places
  const at = step.at('path')
  if (
    first?.kind !== 'member' ||
    !first.element.many ||
    !places.every((one) => isNextTo(first, one))
  )
    throw new Misfit(at, 'The path must give the elements of one list.')
  const { parent: steps, property } = first
  return changedAt(resource, steps, (parent) => {
    const items = itemsOf(parent, property)
    if (items.length !== places.length) throw new Misfit(at, 'The path must give the whole list.')
    const changed = step.type === 'move' ? moved(items, step) : inserted(items, step, first)
    return withItems(parent, property, changed, true)
  })
}

const isNextTo = (first: MemberPlace, other: ElementPlace): boolean =>
  other.kind === 'member' &&
  other.property === first.property &&
  other.parent.join('/') === first.parent.join('/')

function inserted(items: readonly Item[], step: PatchStep, place: MemberPlace): readonly Item[] {
  const value = valueOf(step)
  const index = within(step.index, items.length, step.at('index'))
  return items.toSpliced(index, 0, itemOf(value, typeWith(place.element, value)))
}

/** The destination is counted in the list without the element, as JSON Patch counts it. */
function moved(items: readonly Item[], step: PatchStep): readonly Item[] {
  const source = within(step.source, items.length - 1, step.at('source'))
  const destination = within(step.destination, items.length - 1, step.at('destination'))
  return items.toSpliced(source, 1).toSpliced(destination, 0, ...items.slice(source, source + 1))
}

function within(index: number, largest: number, at: string): number {
  if (index <= largest) return index
  throw new Misfit(at, `The list ends before this index; the largest here is ${largest}.`)
}

function valueOf({ value }: PatchStep): PatchValue {
  if (value === undefined) throw new Error('An operation that needs a value was read without one')
  return value
}
