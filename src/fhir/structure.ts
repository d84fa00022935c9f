import { decided, doubtsBelow, withDoubt } from './doubt.ts'
import { type Inspection, isJsonObject, type JsonObject } from './inspection.ts'
import { MAX_NESTING } from './json-scan.ts'
import { compileProperties, type Property, type Shape } from './properties.ts'
import { DATA_TYPES, PARTS, RESOURCES } from './r4/definitions.ts'
import { checkContainedAreUsed, checkContainedIds, containerOf } from './references.ts'
import { isResourceType } from './resource-types.ts'
import { type Check, notAnObject } from './value-checks.ts'

/**
 * Checks compiled from the official definitions, each type at its first use. Data decide nothing
 * about what is compiled: only names of the definitions get here.
 */
const compiled = new Map<string, Shape>()

function shapeOf(type: string): Shape {
  const known = compiled.get(type)
  if (known !== undefined) return known
  const lines = RESOURCES[type] ?? DATA_TYPES[type] ?? PARTS[type]
  if (lines === undefined) throw new Error(`There is no definition of ${type}`)
  const shape = compileProperties(type, lines, { object: objectOf, resource: checkResource })
  compiled.set(type, shape)
  return shape
}

/** The check of a data type or a nested part, and of the invariants of that type. */
function objectOf(type: string): Check {
  // Types are made of each other, so a type is compiled when it is first met in data.
  let shape: Shape | undefined
  return (value, run) => {
    shape ??= shapeOf(type)
    checkObject(value, shape, run)
  }
}

function checkObject(value: unknown, shape: Shape, run: Inspection): void {
  if (!isJsonObject(value)) {
    run.report(notAnObject(value))
    return
  }
  if (run.path.length > MAX_NESTING) {
    run.report({ rule: 'depth', code: 'structure', text: 'The resource is nested too deeply' })
    return
  }
  const before = run.doubtful.length
  checkProperties(value, shape, run)
  if (run.doubtful.length > before) {
    judgeInDoubt(value, shape, { run, before })
    return
  }
  for (const { key, text, holds } of shape.invariants)
    if (!holds(value)) run.report({ rule: key, code: 'invariant', text })
}

/** The invariants of a node that has faults below: those are told that are broken whatever would be right there. */
function judgeInDoubt(
  value: JsonObject,
  { invariants }: Shape,
  { run, before }: { readonly run: Inspection; readonly before: number },
): void {
  // Of a resource with too many faults not everything was looked at.
  if (invariants.length === 0 || run.full) return
  const doubt = doubtsBelow(run.doubtful.slice(before), run.path.length)
  if (doubt.at !== undefined) return
  const seen = withDoubt(value, doubt)
  for (const { key, text, holds } of invariants)
    if (decided(() => holds(seen)) === false) run.report({ rule: key, code: 'invariant', text })
}

function checkProperties(value: JsonObject, shape: Shape, run: Inspection): void {
  const names = Object.keys(value)
  if (names.length === 0) {
    run.report({ rule: 'empty', code: 'structure', text: 'An object must not be empty' })
    return
  }
  let met = 0
  for (const name of names) {
    if (run.full) return
    const property = shape.properties.get(name)
    if (property === undefined) {
      reportUnknown(name, run)
      continue
    }
    if ((met & property.bit) !== 0 && property.group !== undefined)
      reportSecondChoice(value, property, run)
    met |= property.bit
    run.path.push(property)
    property.check(value[name], run, property.partner === '' ? undefined : value[property.partner])
    run.path.pop()
  }
  if ((met & shape.required) !== shape.required) reportMissing(met, shape, run)
}

function reportUnknown(name: string, run: Inspection): void {
  const text = 'R4 has no such element here'
  run.report({ rule: 'unknown-element', code: 'structure', text, below: name })
}

function reportSecondChoice(value: JsonObject, { group, step }: Property, run: Inspection): void {
  const given = (group ?? []).filter((name) => name in value || `_${name}` in value)
  if (given.length < 2) return
  const before = run.faults.at(-1)
  const text = `Only one of ${given.join(', ')} may be given`
  if (before?.rule === 'choice' && before.text === text) return
  run.report({ rule: 'choice', code: 'structure', text, below: step })
}

function reportMissing(met: number, shape: Shape, run: Inspection): void {
  for (const { bit, name, text } of shape.needed)
    if ((met & bit) === 0) run.report({ rule: 'required', code: 'required', text, below: name })
}

/** Checks a whole resource, of whatever type it says it is. */
export function checkResource(value: unknown, run: Inspection, inside?: number): void {
  if (!isJsonObject(value)) {
    const text = 'A resource must be an object'
    run.report(
      run.path.length === 0 ? { rule: 'type', code: 'structure', text } : notAnObject(value),
    )
    return
  }
  const type = value.resourceType
  if (!isResourceType(type)) {
    const text = 'resourceType must be given and be the name of an R4 resource type'
    const fault = { rule: 'resource-type', code: 'structure', text, below: 'resourceType' }
    run.report({ ...fault, unread: true })
    return
  }
  if (inside === undefined) checkContainer(value, type, run)
  else checkContained(value, type, run)
}

function checkContainer(value: JsonObject, type: string, run: Inspection): void {
  const outer = run.container
  const container = containerOf(value, { type, depth: run.path.length })
  run.container = container
  const before = run.doubtful.length
  checkObject(value, shapeOf(type), run)
  if (container.contained.length > 0) {
    checkContainedIds(container, run)
    checkContainedAreUsed(value, container, { run, doubtful: run.doubtful.slice(before) })
  }
  run.container = outer
}

/** dom-2, dom-4 and dom-5 limit what a contained resource may hold. */
function checkContained(value: JsonObject, type: string, run: Inspection): void {
  const containsOthers = Array.isArray(value.contained) && value.contained.length > 0
  if (containsOthers) {
    const text = 'A contained resource must not contain others'
    run.report({ rule: 'dom-2', code: 'invariant', text, below: 'contained' })
  }
  const meta = isJsonObject(value.meta) ? value.meta : {}
  if ('versionId' in meta || 'lastUpdated' in meta) {
    const text = 'A contained resource must not have versionId or lastUpdated'
    run.report({ rule: 'dom-4', code: 'invariant', text, below: 'meta' })
  }
  if ('security' in meta) {
    const text = 'A contained resource must not have a security label'
    run.report({ rule: 'dom-5', code: 'invariant', text, below: 'meta' })
  }
  checkObject(containsOthers ? withoutContained(value) : value, shapeOf(type), run)
}

const withoutContained = ({ contained: _others, ...rest }: JsonObject): JsonObject => rest
