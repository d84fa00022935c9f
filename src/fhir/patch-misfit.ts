import type { Fault } from '../errors.ts'
import { DecimalText } from './decimal.ts'
import { isObject } from './element.ts'
import { MAX_NESTING } from './json-scan.ts'

/** A step of a patch that does not fit the resource, and where in the patch it stands. */
export class Misfit extends Error {
  readonly expression: string
  readonly code: string

  constructor(expression: string, text: string, code = 'processing') {
    super(text)
    this.expression = expression
    this.code = code
  }
}

export const misfitFault = (rule: string, { expression, code, message }: Misfit): Fault => ({
  severity: 'error',
  code,
  expression,
  rule,
  text: message,
})

/** What no patch may do, whatever its steps are: change the type or id, or nest beyond what a body may. */
export function checkPatched(before: unknown, after: unknown, at: string): void {
  for (const name of ['resourceType', 'id'])
    if (!isObject(before) || !isObject(after) || before[name] !== after[name])
      throw new Misfit(at, `The ${name} of a resource stays.`)
  if (isDeeper(after, MAX_NESTING))
    throw new Misfit(at, `The result is nested deeper than ${MAX_NESTING} levels.`, 'too-costly')
}

function isDeeper(value: unknown, levels: number): boolean {
  if (typeof value !== 'object' || value === null || value instanceof DecimalText) return false
  return levels === 0 || Object.values(value).some((inner) => isDeeper(inner, levels - 1))
}
