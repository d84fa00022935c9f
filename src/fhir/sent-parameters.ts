import type { Fault } from '../errors.ts'
import { isObject, valuesAt } from './element.ts'

/** What an operation was sent: a Parameters resource, or its resource itself (R4 3.2.0.6.1). */
export interface SentParameters {
  readonly isParameters: boolean
  /** The parameters of this name. */
  readonly given: (name: string) => readonly unknown[]
  /** Of the parameter `resource`, or the body itself. */
  readonly resource: unknown
  /** One for each of these names that is given more than once. */
  readonly repeated: (names: readonly string[]) => Fault[]
}

export function sentParameters(body: unknown): SentParameters {
  const inBody = isObject(body) && body['resourceType'] === 'Parameters' ? body : undefined
  const given = (name: string): readonly unknown[] =>
    inBody === undefined
      ? []
      : valuesAt(inBody, 'parameter').filter((one) => isObject(one) && one['name'] === name)
  const [parameter] = given('resource')
  return {
    isParameters: inBody !== undefined,
    given,
    resource: inBody === undefined ? body : isObject(parameter) ? parameter['resource'] : undefined,
    repeated: (names) =>
      names.flatMap((name) =>
        given(name).length > 1
          ? [parameterRefused(parameterPlace(name), `${name} is given at most once.`)]
          : [],
      ),
  }
}

export const parameterPlace = (name: string): string => `Parameters.parameter.where(name='${name}')`

export const parameterRefused = (expression: string, text: string): Fault => ({
  severity: 'error',
  code: 'value',
  expression,
  rule: 'operation-parameter',
  text,
})
