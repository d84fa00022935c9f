import type { CodeForm } from './code-forms.ts'
import { type Complaint, type Inspection, isJsonObject } from './inspection.ts'
import { narrativeComplaints } from './narrative.ts'
import { PRIMITIVES } from './primitives.ts'
import { checkReference, noteLocal } from './references.ts'

/** Checks the value at the current place; `partner` is the other of two twin arrays. */
export type Check = (value: unknown, run: Inspection, partner?: unknown) => void

/** Codes named in one message; longer value sets are described instead. */
const MAX_CODES_NAMED = 40

const NULL: Complaint = {
  rule: 'null',
  code: 'structure',
  text: 'null may only stand where the other of two twin arrays has a value',
}
const EMPTY_LIST: Complaint = {
  rule: 'empty',
  code: 'structure',
  text: 'A list must not be empty; leave the element out',
}
const NOT_A_LIST: Complaint = {
  rule: 'cardinality',
  code: 'structure',
  text: 'The element repeats: its value must be a list',
}
const NOT_ONE: Complaint = {
  rule: 'cardinality',
  code: 'structure',
  text: 'The element does not repeat: its value must not be a list',
}

/** A single value of a primitive type, from the codes of a required binding where there is one. */
export function primitive(type: string, codes: ReadonlySet<string> | undefined): Check {
  const primitiveType = PRIMITIVES[type]
  if (primitiveType === undefined) throw new Error(`There is no check of ${type}`)
  const { holds, right } = primitiveType
  const wrong = { rule: `primitive.${type}`, code: 'value', text: `The value must be ${right}` }
  const mayBeLocal = type === 'uri' || type === 'url' || type === 'canonical'
  return (value, run) => {
    if (codes !== undefined && typeof value === 'string' && codes.has(value)) return
    if (!holds(value)) run.report(complaintAbout(value, wrong))
    else if (codes !== undefined) run.report(outside(codes))
    else if (mayBeLocal && typeof value === 'string' && value.startsWith('#')) noteLocal(value, run)
  }
}

/** A single code of a value set that is too large to be listed. */
export function formedCode({ pattern, right }: CodeForm, code: Check): Check {
  const wrong = { rule: 'code', code: 'code-invalid', text: `The code must be ${right}` }
  return (value, run) => {
    if (typeof value !== 'string' || value === '' || pattern.test(value)) code(value, run)
    else run.report(wrong)
  }
}

/** element.html 2.24.0.2: the id of an element may be any text without spaces. */
export function elementId(string: Check): Check {
  const text = 'The id of an element must not have white space'
  return (value, run) => {
    if (typeof value === 'string' && /\s/.test(value))
      run.report({ rule: 'element-id', code: 'value', text })
    else string(value, run)
  }
}

function complaintAbout(value: unknown, wrong: Complaint): Complaint {
  if (value === null) return NULL
  if (value === '') return { rule: 'empty', code: 'structure', text: 'A text must not be empty' }
  return Array.isArray(value) ? NOT_ONE : wrong
}

/** What is wrong with a value that should be one object and is none. */
export function notAnObject(value: unknown): Complaint {
  return complaintAbout(value, {
    rule: 'type',
    code: 'structure',
    text: 'The value must be an object',
  })
}

function outside(codes: ReadonlySet<string>): Complaint {
  const right =
    codes.size > MAX_CODES_NAMED
      ? 'in the value set bound as required'
      : `one of ${[...codes].join(', ')}`
  return { rule: 'code', code: 'code-invalid', text: `The code must be ${right}` }
}

/** A repeating complex element. */
export function list(one: Check): Check {
  return (value, run) => {
    if (!Array.isArray(value)) return run.report(value === null ? NULL : NOT_A_LIST)
    if (value.length === 0) return run.report(EMPTY_LIST)
    for (let index = 0; index < value.length && !run.full; index += 1)
      at(index, run, () => (value[index] === null ? run.report(NULL) : one(value[index], run)))
  }
}

function at(index: number, run: Inspection, work: () => void): void {
  run.path.push(index)
  work()
  run.path.pop()
}

/** The values of a repeating primitive: null only where the twin has something. */
export const primitiveList = alignedList
/** Ids and extensions of a repeating primitive: null only where there is a value. */
export const twinList = alignedList

function alignedList(one: Check): Check {
  return (value, run, partner) => {
    if (!Array.isArray(value)) return run.report(value === null ? NULL : NOT_A_LIST)
    if (value.length === 0) return run.report(EMPTY_LIST)
    const others: readonly unknown[] = Array.isArray(partner) ? partner : []
    for (let index = 0; index < value.length && !run.full; index += 1) {
      const item: unknown = value[index]
      const padding = item === null && others[index] !== null && others[index] !== undefined
      if (!padding) at(index, run, () => one(item, run))
    }
  }
}

/** A resource may only be contained directly, so the check must know that it is. */
export function checkContainedItem(
  resource: (value: unknown, run: Inspection, inside: number) => void,
): Check {
  return (value, run) => {
    if (!Array.isArray(value)) return run.report(value === null ? NULL : NOT_A_LIST)
    if (value.length === 0) return run.report(EMPTY_LIST)
    for (let index = 0; index < value.length && !run.full; index += 1) {
      if (run.container !== undefined) run.container.inside = index
      at(index, run, () => resource(value[index], run, index))
    }
    if (run.container !== undefined) run.container.inside = undefined
  }
}

export function checkReferenceTo(targets: ReadonlySet<string>, object: Check): Check {
  return (value, run) => {
    object(value, run)
    if (isJsonObject(value)) checkReference(value, targets, run)
  }
}

/** sqty-1 */
export function checkSimpleQuantity(object: Check): Check {
  const text = 'Here the quantity is exact: it has no comparator'
  return (value, run) => {
    object(value, run)
    if (isJsonObject(value) && ('comparator' in value || '_comparator' in value))
      run.report({ rule: 'sqty-1', code: 'invariant', text, below: 'comparator' })
  }
}

/** A CodeableConcept under a required binding needs one coding from the value set. */
export function checkCodedConcept(
  { codes, system }: { codes: ReadonlySet<string>; system: string | undefined },
  object: Check,
): Check {
  const isListed = (coding: unknown) =>
    isJsonObject(coding) &&
    (coding.system === system || system === undefined) &&
    typeof coding.code === 'string' &&
    codes.has(coding.code)
  const text = `One coding must be of ${system ?? 'the value set'}: ${[...codes].join(', ')}`
  return (value, run) => {
    object(value, run)
    if (!isJsonObject(value)) return
    if (!Array.isArray(value.coding) || !value.coding.some(isListed))
      run.report({ rule: 'code', code: 'code-invalid', text })
  }
}

/** What would change the meaning of the rest must be understood, and we know none of it. */
export function checkForbidden(name: string): Check {
  const text = `${name} changes the meaning of the resource; this service knows none that it could honour`
  return (_value, run) =>
    run.report({ rule: 'unknown-modifier-extension', code: 'extension', text })
}

export function checkNarrativeDiv(value: unknown, run: Inspection): void {
  if (typeof value !== 'string' || value === '')
    return run.report(
      complaintAbout(value, {
        rule: 'primitive.xhtml',
        code: 'value',
        text: 'The value must be XHTML in one div',
      }),
    )
  for (const complaint of narrativeComplaints(value)) run.report(complaint)
}
