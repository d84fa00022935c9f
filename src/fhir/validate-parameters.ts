import type { Fault } from '../errors.ts'
import { isObject, valuesAt } from './element.ts'

const MODES = ['create', 'update', 'delete'] as const
export type ValidateMode = (typeof MODES)[number]

/** What `$validate` was asked. */
export interface ValidateParameters {
  /** Undefined where none was sent. */
  readonly resource: unknown
  readonly mode: ValidateMode | undefined
  /** Canonical URL of the profile that is to be kept as well. */
  readonly profile: string | undefined
}

export type ValidateReading =
  | { readonly ok: true; readonly asked: ValidateParameters }
  | { readonly ok: false; readonly faults: readonly Fault[] }

/**
 * What is to be validated, and how: the body is the resource itself or a Parameters resource (R4
 * 3.2.0.6.1), and the simple parameters may stand in the address.
 */
export function validateParameters(
  inAddress: readonly (readonly [string, string])[],
  body: unknown,
): ValidateReading {
  const inBody = isObject(body) && body['resourceType'] === 'Parameters' ? body : undefined
  const given = (name: string): readonly unknown[] =>
    inBody === undefined
      ? []
      : valuesAt(inBody, 'parameter').filter((one) => isObject(one) && one['name'] === name)
  const faults = ['resource', 'mode', 'profile'].flatMap((name) =>
    given(name).length > 1 ? [refused(placeOf(name), `${name} is given at most once.`)] : [],
  )
  const simple = (name: string, elements: readonly string[]): string | undefined => {
    const found = inAddress.find(([key, text]) => key === name && text !== '')?.[1]
    const [parameter] = given(name)
    if (found !== undefined || parameter === undefined) return found
    const value = elements.flatMap((element) => valuesAt(parameter, element))[0]
    if (typeof value === 'string') return value
    faults.push(refused(`${placeOf(name)}.value`, `${name} is given as ${elements.join(' or ')}.`))
    return undefined
  }
  const asked = simple('mode', ['valueCode'])
  const mode = MODES.find((one) => one === asked)
  if (asked !== undefined && mode === undefined)
    faults.push(refused(`${placeOf('mode')}.value`, `mode is one of ${MODES.join(', ')}.`))
  const profile = simple('profile', ['valueUri', 'valueCanonical'])
  if (faults.length > 0) return { ok: false, faults }
  const [parameter] = given('resource')
  const resource =
    inBody === undefined ? body : isObject(parameter) ? parameter['resource'] : undefined
  return { ok: true, asked: { resource, mode, profile } }
}

const placeOf = (name: string): string => `Parameters.parameter.where(name='${name}')`

const refused = (expression: string, text: string): Fault => ({
  severity: 'error',
  code: 'value',
  expression,
  rule: 'operation-parameter',
  text,
})
