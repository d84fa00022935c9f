import { type CivilDate, civilDate } from '../domain/calendar.ts'
import type { Fault } from '../errors.ts'
import { isObject, valuesAt } from './element.ts'

export type AsOf =
  | { readonly ok: true; readonly date: CivilDate | undefined }
  | { readonly ok: false; readonly fault: Fault }

/** The parameter `asOf` of an operation, from its address or else from a Parameters resource. */
export function asOfParameter(inAddress: string | undefined, body: unknown): AsOf {
  if (inAddress !== undefined) return dated(inAddress, 'http.asOf')
  if (body === undefined) return { ok: true, date: undefined }
  if (!isObject(body) || body['resourceType'] !== 'Parameters')
    return refused('Parameters', 'The body of this operation is a Parameters resource, or empty.')
  const parameter = valuesAt(body, 'parameter').find(
    (one) => isObject(one) && one['name'] === 'asOf',
  )
  if (parameter === undefined) return { ok: true, date: undefined }
  const value = isObject(parameter) ? parameter['valueDate'] : undefined
  return dated(value, "Parameters.parameter.where(name='asOf').value")
}

function dated(value: unknown, expression: string): AsOf {
  if (typeof value === 'string')
    try {
      return { ok: true, date: civilDate(value) }
    } catch {
      // Answered below, in the same words as a value of another kind.
    }
  return refused(expression, 'asOf is a date with year, month and day, YYYY-MM-DD.')
}

const refused = (expression: string, text: string): AsOf => ({
  ok: false,
  fault: { severity: 'error', code: 'value', expression, rule: 'operation-parameter', text },
})
