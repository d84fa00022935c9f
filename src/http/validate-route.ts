import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { askedWrongly } from '../errors.ts'
import { validateParameters, type ValidateParameters } from '../fhir/validate-parameters.ts'
import type { Context } from '../services/context.ts'
import { validate } from '../services/validate.ts'
import { resourceBody } from './described-operations.ts'
import { fhirJson } from './fhir-answer.ts'
import { fhirBody, queryPairs } from './fhir-body.ts'
import { outcomes, resourceAnswer, SECURED, Target, Type } from './schemas.ts'

const Asked = z.object({
  mode: z.string().optional().meta({ description: 'create, update, delete or profile' }),
  profile: z.string().optional().meta({ description: 'Canonical URL of a profile' }),
})

const VALIDATION = {
  ...SECURED,
  querystring: Asked,
  response: { 200: resourceAnswer('OperationOutcome'), ...outcomes(400, 404, 410) },
}

const OF_RESOURCE = 'The resource, or Parameters with it'
const BODY = z.unknown().meta({ description: OF_RESOURCE })

/** The operation $validate, on a type and on a resource. Paths are relative to the FHIR base. */
export const validateRoute: FastifyPluginAsyncZod<{
  context: Context
  /** Canonical URLs of our own. */
  knownProfiles: ReadonlySet<string>
}> = async (app, { context, knownProfiles }) => {
  app.route({
    method: 'POST',
    url: '/:type/$validate',
    schema: {
      ...VALIDATION,
      operationId: 'validateNew',
      summary: 'Say whether a resource is valid, or could be created',
      description:
        'Every fault, or one issue that says that there is none. Nothing is stored. Without a mode, and with the mode profile, what only the service itself writes may be valid too.',
      params: Type,
      body: BODY,
    },
    handler: async (request, reply) => answer(request, reply, { type: request.params.type }),
  })

  app.route({
    method: 'POST',
    url: '/:type/:id/$validate',
    schema: {
      ...VALIDATION,
      operationId: 'validateUpdate',
      described: { body: resourceBody(OF_RESOURCE, false) },
      summary: 'Say whether a resource is valid, or could be updated or deleted',
      description: 'Without a resource in the body the one that is kept is validated.',
      params: Target,
      body: BODY,
    },
    handler: async (request, reply) => answer(request, reply, request.params),
  })

  app.route({
    method: 'GET',
    url: '/:type/:id/$validate',
    schema: {
      ...VALIDATION,
      operationId: 'validateKept',
      summary: 'Validate a resource that is kept',
      params: Target,
    },
    handler: async (request, reply) => answer(request, reply, request.params),
  })

  async function answer(
    request: FastifyRequest,
    reply: FastifyReply,
    { type, id }: { readonly type: string; readonly id?: string },
  ): Promise<FastifyReply> {
    const asked = () => askedIn(request)
    const outcome = await validate(context, request.caller, { type, id, asked, knownProfiles })
    return fhirJson(request, reply).send(outcome)
  }
}

function askedIn(request: FastifyRequest): ValidateParameters {
  const sent = Buffer.isBuffer(request.body) && request.body.length > 0
  const body = sent ? fhirBody(request).value : undefined
  const reading = validateParameters(queryPairs(request), body)
  if (reading.ok) return reading.asked
  throw askedWrongly(reading.faults)
}
