import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { Context } from '../services/context.ts'
import { whatIf } from '../services/what-if.ts'
import { askedAsDefined } from './described-operations.ts'
import { traceOf } from './error-handler.ts'
import { fhirJson } from './fhir-answer.ts'
import { AsOf, askedIn } from './operation-request.ts'
import { outcomes, resourceAnswer, SECURED, Target } from './schemas.ts'
import { streamedAnswer } from './streamed-answer.ts'

/** Operations on a rule set. Paths are relative to the FHIR base. */
export const libraryRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  app.route({
    method: ['GET', 'POST'],
    url: '/Library/:id/$what-if',
    // HEAD would compute it all and send nothing.
    exposeHeadRoute: false,
    schema: {
      ...SECURED,
      described: askedAsDefined('Library', 'what-if'),
      params: Target.pick({ id: true }),
      querystring: AsOf,
      summary: 'Which open referrals would be decided otherwise under a rule set',
      description:
        'Compares the rule set of the Library with the one in force, over every open referral of the clinic. For the staff of the clinic. Nothing is stored. The answer is sent while it is made; the counts stand at its end.',
      response: { 200: resourceAnswer('Parameters'), ...outcomes(400, 404) },
    },
    handler: async (request, reply) => {
      const asked = { libraryId: request.params.id, asOf: askedIn(request).asOf }
      const answer = await streamedAnswer(
        reply,
        (sink) => whatIf(context, request.caller, asked, sink),
        (error) => request.log.error({ err: traceOf(error) }, 'answer cut off'),
      )
      return fhirJson(request, reply).send(answer)
    },
  })
}
