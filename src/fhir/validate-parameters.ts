import type { Fault } from '../errors.ts'
import { valuesAt } from './element.ts'
import { parameterPlace, parameterRefused, sentParameters } from './sent-parameters.ts'

/** R4's resource-validation-mode. */
const MODES = ['create', 'update', 'delete', 'profile'] as const
export type ValidateMode = (typeof MODES)[number]

/** What `$validate` was asked. */
export interface ValidateParameters {
  /** Undefined where none was sent. */
  readonly resource: unknown
  readonly mode: ValidateMode | undefined
  /** Canonical URL of the profile that is to be kept as well. */
  readonly profile: string | undefined
  /** Where a simple parameter was given, or would be. */
  readonly placeOf: (name: string) => string
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
  const { given, resource, repeated } = sentParameters(body)
  const faults = repeated(['resource', 'mode', 'profile'])
  const addressed = (name: string) =>
    inAddress.find(([key, text]) => key === name && text !== '')?.[1]
  const placeOf = (name: string) =>
    addressed(name) === undefined ? parameterPlace(name) : `http.${name}`
  const simple = (name: string, elements: readonly string[]): string | undefined => {
    const found = addressed(name)
    const [parameter] = given(name)
    if (found !== undefined || parameter === undefined) return found
    const value = elements.flatMap((element) => valuesAt(parameter, element))[0]
    if (typeof value === 'string') return value
    faults.push(
      parameterRefused(
        `${parameterPlace(name)}.value`,
        `${name} is given as ${elements.join(' or ')}.`,
      ),
    )
    return undefined
  }
  const asked = simple('mode', ['valueCode'])
  const mode = MODES.find((one) => one === asked)
  if (asked !== undefined && mode === undefined) {
    const at = addressed('mode') === undefined ? `${placeOf('mode')}.value` : placeOf('mode')
    faults.push(parameterRefused(at, `mode is one of ${MODES.join(', ')}.`))
  }
  const profile = simple('profile', ['valueUri', 'valueCanonical'])
  if (faults.length > 0) return { ok: false, faults }
  return { ok: true, asked: { resource, mode, profile, placeOf } }
}
