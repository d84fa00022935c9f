import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { Context } from '../services/context.ts'
import { nextReferral } from '../services/next-referral.ts'
import { fhirJson } from './fhir-answer.ts'
import { outcomes, resourceAnswer, SECURED } from './schemas.ts'

/** The operation $next of Task. Paths are relative to the FHIR base. */
export const worklistRoute: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  app.route({
    method: ['GET', 'POST'],
    url: '/Task/$next',
    exposeHeadRoute: false,
    schema: {
      ...SECURED,
      summary: 'Who is next',
      description:
        'The most urgent referral whose next step is the clinic’s, then the one that is due first, with its request, its patient and the findings that say why. For the staff of the clinic.',
      response: { 200: resourceAnswer('Bundle of type searchset'), ...outcomes() },
    },
    handler: async (request, reply) =>
      fhirJson(request, reply).send(await nextReferral(context, request.caller)),
  })
}
