import { z } from 'zod'

// An address of which this does not hold is no address of a type: see what the error handler does with it.
const type = z
  .string()
  .regex(/^[A-Z][A-Za-z]{0,63}$/)
  .meta({ description: 'A resource type', example: 'ServiceRequest' })
const id = z.string().regex(/^[A-Za-z0-9\-.]{1,64}$/)

export const Type = z.object({ type })
export const Target = z.object({ type, id })
export const Version = z.object({ type, id, version: z.string().min(1).max(64) })

/** Tag and security of every route below the FHIR base. */
export const SECURED = {
  tags: ['FHIR'],
  security: [{ bearer: [] }],
  consumes: ['application/fhir+json'],
  produces: ['application/fhir+json'],
}

/** Sent as stored text; the schema is for the interface description only. */
export const resourceAnswer = (description: string) => z.unknown().meta({ description })

/** The answers that carry an OperationOutcome; 401 and 403 are always possible. */
export const outcomes = (...statuses: readonly number[]) =>
  Object.fromEntries(
    [401, 403, ...statuses].map((status) => [
      status,
      z.unknown().meta({ description: 'OperationOutcome' }),
    ]),
  )

/** The caller has it already: If-None-Match names the version, or nothing came since If-Modified-Since. */
export const UNCHANGED = { 304: z.undefined().meta({ description: 'The caller has it already' }) }
