import type { Fault } from '../errors.ts'
import { ANSWER_FORM, namesOf } from './asked-parameter.ts'
import { isObject } from './element.ts'
import { untakenFaults } from './query-values.ts'
import { parameterPlace, parameterRefused, sentParameters } from './sent-parameters.ts'

const RESPONSE = 'questionnaire-response'

export type ExtractReading =
  | { readonly ok: true; readonly response: unknown }
  | { readonly ok: false; readonly faults: readonly Fault[] }

/**
 * The response that `$extract` was sent: as the body itself, or in Parameters by the name that Structured Data
 * Capture gives it.
 *
 * @param isKept it is asked of a response that is kept, so none is sent along
 */
export function extractParameters(
  inAddress: readonly (readonly [string, string])[],
  body: unknown,
  isKept: boolean,
): ExtractReading {
  const { isParameters, given, repeated } = sentParameters(body)
  const [parameter] = given(RESPONSE)
  const response = isParameters ? (isObject(parameter) ? parameter['resource'] : undefined) : body
  const place = isParameters || body === undefined ? parameterPlace(RESPONSE) : 'Resource'
  const wrong = isKept === (response !== undefined)
  const text = isKept
    ? 'The response is the one in the address; none is sent along.'
    : 'The response is needed, as the body or as the parameter questionnaire-response.'
  const faults = [
    ...untakenFaults(inAddress, namesOf(ANSWER_FORM)),
    ...repeated([RESPONSE]),
    ...(wrong ? [parameterRefused(place, text)] : []),
  ]
  return faults.length > 0 ? { ok: false, faults } : { ok: true, response }
}
