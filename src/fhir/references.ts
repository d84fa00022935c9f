import type { Complaint, Container, Inspection, JsonObject, Step } from './inspection.ts'
import { isJsonObject } from './inspection.ts'
import { isResourceType } from './resource-types.ts'

/** `Patient/1`, the same at the end of an absolute URL, a version of it, or a search by criteria. */
const LITERAL =
  /^(https?:\/\/[^?#\s]*\/)?([A-Z][A-Za-z]+)(?:\/[A-Za-z0-9\-.]{1,64}(?:\/_history\/[A-Za-z0-9\-.]{1,64})?|\?.+)$/

/**
 * Checks that a Reference points to a type the element allows, as far as its text or its `type`
 * says. `urn:` references say nothing about the type and are left to the transaction.
 */
export function checkReference(
  reference: JsonObject,
  targets: ReadonlySet<string>,
  run: Inspection,
): void {
  const { reference: literal, type } = reference
  if (saysNothing(reference)) run.report(SAYS_NOTHING)
  if (typeof literal === 'string' && SPACED.test(literal)) report(run, 'reference', NO_URL)
  const pointed = typeof literal === 'string' ? typeOf(literal, run) : undefined
  const stated = typeof type === 'string' ? statedType(type) : undefined
  if (pointed !== undefined) report(run, 'reference', targetComplaint(pointed, targets))
  if (stated === undefined) return
  report(run, 'type', targetComplaint(stated, targets))
  if (pointed !== undefined && isResourceType(pointed) && pointed !== stated)
    report(run, 'type', {
      rule: 'reference-type',
      code: 'value',
      text: 'The stated type must be the type of the reference',
    })
}

/** R4 2.3.0: one of the three, unless an extension says why not. What is empty is told already. */
const saysNothing = (reference: JsonObject): boolean =>
  Object.keys(reference).length > 0 &&
  !SAYING.some((name) => name in reference || `_${name}` in reference)

const SAYING = ['reference', 'identifier', 'display', 'extension']
const SAYS_NOTHING: Complaint = {
  rule: 'reference-content',
  code: 'invariant',
  text: 'A reference needs at least one of reference, identifier and display',
}

/** A URL has no white space; in the values of a search by criteria nothing is said of it. */
const SPACED = /^[^?\s]*\s/
const NO_URL: Complaint = {
  rule: 'reference-literal',
  code: 'value',
  text: 'A literal reference is a URL, without white space',
}

function report(run: Inspection, below: string, complaint: Complaint | undefined): void {
  if (complaint !== undefined) run.report({ ...complaint, below })
}

function typeOf(literal: string, run: Inspection): string | undefined {
  if (literal.startsWith('#')) return localType(literal, run)
  const found = LITERAL.exec(literal)
  if (found === null) return undefined
  const [, base, type = ''] = found
  // A URL of another kind of server may end in any two words.
  return base === undefined || isResourceType(type) ? type : undefined
}

/** `Patient`, or the same as the URL of its definition. */
function statedType(type: string): string | undefined {
  const name = type.slice(type.lastIndexOf('/') + 1)
  return isResourceType(name) ? name : undefined
}

function targetComplaint(type: string, targets: ReadonlySet<string>): Complaint | undefined {
  if (!isResourceType(type))
    return {
      rule: 'reference-target',
      code: 'value',
      text: 'The reference must name an R4 resource type',
    }
  if (targets.size === 0 || targets.has(type)) return undefined
  return {
    rule: 'reference-target',
    code: 'value',
    text: `The reference must be to ${[...targets].join(' or ')}, not to ${type}`,
  }
}

function localType(literal: string, run: Inspection): string | undefined {
  const { container } = run
  noteLocal(literal, run)
  if (literal === '#') return container?.type
  const target = container?.contained.find(
    (resource) => isJsonObject(resource) && resource.id === literal.slice(1),
  )
  if (isJsonObject(target))
    return typeof target.resourceType === 'string' ? target.resourceType : undefined
  if (container?.unreadable === true) return undefined
  run.report({
    rule: 'ref-1',
    code: 'invariant',
    text: 'A reference that starts with # must name a contained resource',
    below: 'reference',
  })
  return undefined
}

export function containerOf(
  { contained }: JsonObject,
  { type, depth }: Pick<Container, 'type' | 'depth'>,
): Container {
  const list: readonly unknown[] = Array.isArray(contained) ? contained : []
  return {
    type,
    depth,
    contained: list,
    unreadable: list.some(isUnnamed) || (contained !== undefined && !Array.isArray(contained)),
    used: new Set(),
    referringBack: new Set(),
    inside: undefined,
  }
}

/** Of the wrong form, so that nobody knows which reference would lead to it. */
const isUnnamed = (resource: unknown): boolean =>
  !isJsonObject(resource) || ('id' in resource && typeof resource.id !== 'string')

/**
 * dom-3: every contained resource is referred to, or refers to the resource around it.
 *
 * @param doubtful where the resource around it has faults: a reference may stand where none was read
 */
export function checkContainedAreUsed(
  around: JsonObject,
  container: Container,
  { run, doubtful }: { readonly run: Inspection; readonly doubtful: Inspection['doubtful'] },
): void {
  // A reference of the wrong form may be meant for any of them.
  if (doubtful.some(mayBeReference)) return
  const isFaulty = doubtful.length > 0
  const texts = isFaulty ? localTexts(around) : container.used
  for (const [index, resource] of container.contained.entries()) {
    if (!isJsonObject(resource) || isUnnamed(resource)) continue
    if (container.referringBack.has(index)) continue
    if (typeof resource.id === 'string' && texts.has(`#${resource.id}`)) continue
    if (isFaulty && localTexts(resource).has('#')) continue
    run.path.push('contained', index)
    run.report({
      rule: 'dom-3',
      code: 'invariant',
      text: 'A contained resource must be referred to, or refer to the resource around it with #',
    })
    run.path.length -= 2
  }
}

/** R4 2.3.0.2: the id of a contained resource is its own within the resource around it. */
export function checkContainedIds({ contained }: Container, run: Inspection): void {
  const met = new Set<string>()
  for (const [index, resource] of contained.entries()) {
    if (!isJsonObject(resource) || typeof resource.id !== 'string') continue
    const text = 'Another contained resource has this id'
    run.path.push('contained', index)
    if (met.has(resource.id))
      run.report({ rule: 'contained-id', code: 'invariant', text, below: 'id' })
    run.path.length -= 2
    met.add(resource.id)
  }
}

/** Every text that would refer to a contained resource or to the one around it, wherever it stands. */
function localTexts(value: unknown, found = new Set<string>()): ReadonlySet<string> {
  if (typeof value === 'string' && value.startsWith('#')) found.add(value)
  else if (typeof value === 'object' && value !== null)
    for (const member of Object.values(value)) localTexts(member, found)
  return found
}

function mayBeReference(place: readonly Step[]): boolean {
  const last = place.findLast((step) => typeof step !== 'number')
  return typeof last === 'object' && (last.complex || last.step === 'reference')
}

/** Remembers a text that may refer to a contained resource. */
export function noteLocal(literal: string, { container }: Inspection): void {
  if (container === undefined) return
  container.used.add(literal)
  if (literal === '#' && container.inside !== undefined)
    container.referringBack.add(container.inside)
}
