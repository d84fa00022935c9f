import type { FastifyRequest } from 'fastify'
import { z } from 'zod'
import { AppError } from '../errors.ts'
import { operationParameters, type OperationParameters } from '../fhir/operation-parameters.ts'
import { fhirBody, queryPairs } from './fhir-body.ts'

export const AsOf = z.object({
  asOf: z
    .string()
    .optional()
    .meta({ description: 'The day for which the answer holds, YYYY-MM-DD; today by default' }),
})

/** What an operation is asked, in its address or in a Parameters body. */
export function askedIn(request: FastifyRequest): OperationParameters {
  const hasBody = Buffer.isBuffer(request.body) && request.body.length > 0
  const body = hasBody ? fhirBody(request).value : undefined
  const reading = operationParameters(queryPairs(request), body)
  if (reading.ok) return reading.parameters
  throw new AppError('invalid-request', 'The operation cannot be asked so.', reading.faults)
}
