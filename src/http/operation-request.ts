import type { FastifyRequest } from 'fastify'
import { z } from 'zod'
import { askedWrongly } from '../errors.ts'
import { ANSWER_FORM, namesOf } from '../fhir/asked-parameter.ts'
import { operationParameters, type OperationParameters } from '../fhir/operation-parameters.ts'
import { parameterPairs } from '../fhir/parameter-pairs.ts'
import { untakenFaults } from '../fhir/query-values.ts'
import { fhirBody, queryPairs, rawBody } from './fhir-body.ts'

export const AsOf = z.object({ asOf: z.string().optional() })

/** What an operation is asked in its address and in a Parameters body, as names and values. */
export const askedPairs = (request: FastifyRequest): (readonly [string, string])[] => [
  ...queryPairs(request),
  ...(rawBody(request).length === 0 ? [] : parameterPairs(fhirBody(request).value)),
]

/** The same in a shape; throws with a fault at each value of another form, in the words given. */
export function readAsked<Shape extends z.ZodType>(
  shape: Shape,
  value: unknown,
  form: string,
): z.output<Shape> {
  const read = shape.safeParse(value)
  if (read.success) return read.data
  throw askedWrongly(
    read.error.issues.map(({ path }) => ({
      severity: 'error',
      code: 'value',
      expression: `http.${String(path[0])}`,
      rule: 'operation-parameter',
      text: form,
    })),
  )
}

/** What is asked of an operation that answers how things stand now: throws for a parameter that it does not have. */
export function askedOnly(
  request: FastifyRequest,
  names: readonly (keyof OperationParameters)[],
): OperationParameters {
  const asked = askedIn(request)
  const faults = untakenFaults(askedPairs(request), [...names, ...namesOf(ANSWER_FORM)])
  if (faults.length > 0) throw askedWrongly(faults)
  return asked
}

/** What an operation is asked, in its address or in a Parameters body. */
export function askedIn(request: FastifyRequest): OperationParameters {
  const hasBody = Buffer.isBuffer(request.body) && request.body.length > 0
  const body = hasBody ? fhirBody(request).value : undefined
  const reading = operationParameters(queryPairs(request), body)
  if (reading.ok) return reading.parameters
  throw askedWrongly(reading.faults)
}
