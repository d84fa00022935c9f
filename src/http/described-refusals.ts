import type { SwaggerTransformObject } from '@fastify/swagger'

type Described = ReturnType<SwaggerTransformObject>

const NAME = 'OperationOutcome'
/** Every refusal, said once. */
export const REFUSALS = {
  [NAME]: {
    description: NAME,
    content: { 'application/fhir+json': { schema: { description: NAME } } },
  },
}
const OUTCOME = { $ref: `#/components/responses/${NAME}` }
const METHODS = ['get', 'head', 'post', 'put', 'patch', 'delete'] as const
type Method = (typeof METHODS)[number]

/** What any route may answer: the caller asks too much, or the service has too much to do. */
const ALWAYS = [429, 503]
const NO_SUCH_FORM = 406
const OF_A_BODY = [413, 415]

/**
 * What every route refuses alike, said of every route in the interface description; and that a refusal is FHIR
 * in JSON, whatever else the route answers in.
 */
export const describeRefusals: SwaggerTransformObject = (made): Described => {
  if (!('openapiObject' in made)) return made.swaggerObject
  const { openapiObject } = made
  for (const path of Object.values(openapiObject.paths ?? {}))
    for (const method of METHODS) {
      const operation = path?.[method]
      const { responses } = operation ?? {}
      if (responses === undefined) continue
      const tags = operation?.tags ?? []
      for (const [status, response] of Object.entries(responses))
        if (response !== undefined && isOutcome(response)) responses[status] = OUTCOME
      for (const status of refusedBy(method, tags)) responses[status] ??= OUTCOME
    }
  return openapiObject
}

const isOutcome = (response: object): boolean =>
  'description' in response && response.description === NAME

/** @param tags of the route; what watches the process is never refused */
function refusedBy(method: Method, tags: readonly string[]): readonly number[] {
  if (tags.includes('System')) return []
  return [
    ...ALWAYS,
    ...(tags.includes('FHIR') ? [NO_SUCH_FORM] : []),
    ...(['post', 'put', 'patch'].includes(method) ? OF_A_BODY : []),
  ]
}
