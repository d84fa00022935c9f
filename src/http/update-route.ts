import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { AppError } from '../errors.ts'
import type { Context } from '../services/context.ts'
import { update } from '../services/update.ts'
import { fhirBody } from './fhir-body.ts'
import { sendWritten } from './fhir-routes.ts'
import { outcomes, resourceAnswer, SECURED, Target } from './schemas.ts'

/** Update of what exists. Paths are relative to the FHIR base. */
export const updateRoute: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  app.route({
    method: 'PUT',
    url: '/:type/:id',
    schema: {
      ...SECURED,
      operationId: 'update',
      summary: 'Replace a resource by a new version',
      description:
        'The types that have it are listed in the CapabilityStatement. If-Match names the version that is replaced; nothing is created.',
      params: Target,
      headers: z.object({ 'if-match': z.string().max(64).optional() }),
      body: z.unknown().meta({ description: 'The resource' }),
      response: {
        200: resourceAnswer('The new version'),
        ...outcomes(400, 404, 405, 412, 422),
      },
    },
    handler: async (request, reply) => {
      try {
        const kept = await update(context, request.caller, {
          ...request.params,
          body: () => fhirBody(request).value,
          ifMatch: request.headers['if-match'],
        })
        return sendWritten(request, reply, kept)
      } catch (error) {
        if (error instanceof AppError && error.kind === 'method-not-allowed')
          reply.header('allow', 'GET, HEAD, POST')
        throw error
      }
    },
  })
}
