import { CODE_FORMS } from './code-forms.ts'
import { checkFullUrl } from './full-url.ts'
import type { Inspection, Named } from './inspection.ts'
import type { Invariant } from './invariant.ts'
import { invariantsOf } from './invariants.ts'
import { checkOwnExtensions } from './own-extensions.ts'
import { CODE_SYSTEMS, CODES } from './r4/definitions.ts'
import {
  choiceName,
  type ElementDefinition,
  hasTwin,
  isPrimitive,
  parseElements,
  type TypeUse,
} from './r4/definition.ts'
import { SIMPLE_QUANTITIES } from './r4/simple-quantities.ts'
import {
  type Check,
  checkCodedConcept,
  checkContainedItem,
  checkForbidden,
  checkNarrativeDiv,
  checkReferenceTo,
  checkSimpleQuantity,
  elementId,
  formedCode,
  list,
  primitive,
  primitiveList,
  twinList,
} from './value-checks.ts'

/** One JSON property that a type may have. */
export interface Property extends Named {
  /** One bit for each element that is required or a choice; 0 for all others. */
  readonly bit: number
  /** The other one of a repeating primitive and its twin, which must line up; else empty. */
  readonly partner: string
  readonly check: Check
}

/** What the properties of an object are checked against. */
export interface Shape {
  readonly properties: ReadonlyMap<string, Property>
  readonly required: number
  readonly needed: readonly { readonly bit: number; readonly name: string; readonly text: string }[]
  readonly invariants: readonly Invariant[]
}

/** The checks of nested values, given by the caller because they lead back to it. */
export interface Descent {
  readonly object: (type: string) => Check
  readonly resource: (value: unknown, run: Inspection, inside?: number) => void
}

/** Bits of a 32-bit integer that stay positive. */
const MAX_BITS = 30

interface Compiling {
  readonly path: string
  readonly descent: Descent
  readonly properties: Map<string, Property>
}

export function compileProperties(path: string, lines: string, descent: Descent): Shape {
  const properties = new Map<string, Property>()
  const needed: { bit: number; name: string; text: string }[] = []
  let bits = 0
  for (const element of parseElements(lines)) {
    const choice = element.name.endsWith('[x]')
    const bit = element.required || choice ? 1 << bits++ : 0
    if (bits > MAX_BITS) throw new Error(`${path} has too many required elements and choices`)
    addElement({ path, descent, properties }, element, bit)
    if (element.required) needed.push({ bit, ...absence(element) })
  }
  // Which type a resource is has been checked by whoever chose this shape.
  if (!path.includes('.') && isResourceShape(properties))
    properties.set('resourceType', RESOURCE_TYPE)
  const required = needed.reduce((all, { bit }) => all | bit, 0)
  return { properties, required, needed, invariants: invariantsOf(path) }
}

function isResourceShape(properties: ReadonlyMap<string, Property>): boolean {
  return properties.has('implicitRules')
}

function absence({ name, types }: ElementDefinition) {
  if (!name.endsWith('[x]')) return { name, text: 'The element is required' }
  const names = types.map(({ code }) => choiceName(name, code))
  return { name: name.slice(0, -3), text: `One of ${names.join(', ')} is required` }
}

const RESOURCE_TYPE: Property = {
  name: 'resourceType',
  step: 'resourceType',
  complex: false,
  bit: 0,
  part: undefined,
  group: undefined,
  partner: '',
  check: () => undefined,
}

function addElement(compiling: Compiling, element: ElementDefinition, bit: number): void {
  const { path, properties } = compiling
  const choice = element.name.endsWith('[x]')
  const names = element.types.map(({ code }) => choiceName(element.name, code))
  const group = choice ? names : undefined
  const step = choice ? element.name.slice(0, -3) : element.name
  for (const type of element.types) {
    const name = choice ? choiceName(element.name, type.code) : element.name
    const twin = hasTwin(`${path}.${element.name}`, element, type.code)
    const partner = twin && element.many ? `_${name}` : ''
    const check = valueCheck(compiling, element, type)
    const complex = !isPrimitive(type.code)
    const part = type.code.includes('.') ? type.code : undefined
    properties.set(name, { name, step, complex, part, bit, group, partner, check })
    if (!twin) continue
    properties.set(`_${name}`, {
      name: `_${name}`,
      step,
      complex: true,
      part: undefined,
      bit,
      group,
      partner: partner && name,
      check: twinCheck(compiling, element),
    })
  }
}

function twinCheck({ descent }: Compiling, { many }: ElementDefinition): Check {
  const one = descent.object('Element')
  return many ? twinList(one) : one
}

function valueCheck(compiling: Compiling, element: ElementDefinition, type: TypeUse): Check {
  const { descent } = compiling
  const { code } = type
  if (element.name === 'modifierExtension' || element.name === 'implicitRules')
    return checkForbidden(element.name)
  if (code === 'xhtml') return checkNarrativeDiv
  if (isPrimitive(code)) {
    const one = primitiveCheck(compiling.path, element, code)
    return element.many ? primitiveList(one) : one
  }
  if (element.name === 'contained') return checkContainedItem(descent.resource)
  const one = complexCheck(compiling, element, type)
  const all = element.many ? list(one) : one
  return element.name === 'extension' ? checkOwnExtensions(all) : all
}

function primitiveCheck(path: string, element: ElementDefinition, code: string): Check {
  const form = CODE_FORMS[element.codes ?? '']
  const any = primitive(code, codesOf(element))
  if (element.name === 'id' && code === 'string') return elementId(any)
  if (path === 'Bundle.entry' && element.name === 'fullUrl') return checkFullUrl(any)
  return form === undefined ? any : formedCode(form, any)
}

function complexCheck(
  { path, descent }: Compiling,
  element: ElementDefinition,
  type: TypeUse,
): Check {
  const { code, targets } = type
  if (code === 'Resource') return (value, run) => descent.resource(value, run)
  const object = descent.object(code)
  if (code === 'Reference') return checkReferenceTo(new Set(targets), object)
  if (code === 'Quantity' && SIMPLE_QUANTITIES.has(`${path}.${element.name}`))
    return checkSimpleQuantity(object)
  const codes = codesOf(element)
  if (codes === undefined || code !== 'CodeableConcept') return object
  return checkCodedConcept({ codes, system: CODE_SYSTEMS[element.codes ?? ''] }, object)
}

function codesOf({ codes }: ElementDefinition): ReadonlySet<string> | undefined {
  const listed = codes === undefined ? undefined : CODES[codes]
  return listed === undefined ? undefined : new Set(listed.split('|'))
}
