import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { DOCREF_PARAMETERS } from '../fhir/docref.ts'
import type { Context } from '../services/context.ts'
import { documentsOf } from '../services/docref.ts'
import { askedBy } from './described-operations.ts'
import { fhirJson } from './fhir-answer.ts'
import { askedPairs } from './operation-request.ts'
import { outcomes, resourceAnswer, SECURED } from './schemas.ts'

/** The operation $docref of US Core. Paths are relative to the FHIR base. */
export const docrefRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  app.route({
    method: ['GET', 'POST'],
    url: '/DocumentReference/$docref',
    exposeHeadRoute: false,
    schema: {
      ...SECURED,
      described: askedBy(DOCREF_PARAMETERS),
      summary: 'The documents about a child, the reply to its referral among them',
      description:
        'Without a period the newest document of each type. Of a child that is not in sight there are none.',
      response: { 200: resourceAnswer('Bundle of type searchset'), ...outcomes(400) },
    },
    handler: async (request, reply) => {
      const found = await documentsOf(context, request.caller, askedPairs(request))
      return fhirJson(request, reply).send(found)
    },
  })
}
