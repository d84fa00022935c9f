import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Context } from '../services/context.ts'
import { evaluateFollowUp } from '../services/follow-up.ts'
import { proposePlan } from '../services/plan.ts'
import { triageReferral } from '../services/triage.ts'
import { askedAsDefined } from './described-operations.ts'
import { fhirJson } from './fhir-answer.ts'
import { AsOf, askedIn } from './operation-request.ts'
import { outcomes, resourceAnswer, SECURED, Target } from './schemas.ts'

const Referral = Target.pick({ id: true })
/** What every operation on a referral may be asked, each once. */
export const Asked = AsOf.extend({
  ruleset: z.string().optional(),
  chart: z.string().optional(),
  language: z.string().optional(),
  knownAt: z.string().optional(),
})

/** What every operation on a referral has in common. */
const OPERATION = {
  ...SECURED,
  params: Referral,
  querystring: Asked,
  response: {
    200: resourceAnswer('Bundle of type collection'),
    ...outcomes(400, 404, 410, 422),
  },
}

type Operation = typeof triageReferral | typeof proposePlan | typeof evaluateFollowUp

/** Operations on a referral. Paths are relative to the FHIR base. */
export const operationRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  const answering =
    (operation: Operation) =>
    async (
      request: FastifyRequest<{ Params: z.output<typeof Referral> }>,
      reply: FastifyReply,
    ): Promise<FastifyReply> => {
      const { id: referralId } = request.params
      const asked = askedIn(request)
      const found = await operation(context, request.caller, { referralId, ...asked })
      return fhirJson(request, reply).send(found)
    }

  app.route({
    method: 'POST',
    url: '/ServiceRequest/:id/$triage',
    schema: {
      ...OPERATION,
      described: askedAsDefined('ServiceRequest', 'triage'),
      operationId: 'triage',
      summary: 'Compute a referral and store the findings',
      description:
        'The same inputs, day and rule set give the same resources, stored once. For another day, rule set, size chart or instant nothing is stored.',
    },
    handler: answering(triageReferral),
  })

  app.route({
    method: ['GET', 'POST'],
    url: '/ServiceRequest/:id/$fitting-plan',
    schema: {
      ...OPERATION,
      described: askedAsDefined('ServiceRequest', 'fitting-plan'),
      summary: 'Propose a fitting plan for a suitable child',
      description: 'A proposal for the orthotist to approve. Nothing is stored.',
    },
    handler: answering(proposePlan),
  })

  app.route({
    method: ['GET', 'POST'],
    url: '/ServiceRequest/:id/$follow-up',
    schema: {
      ...OPERATION,
      described: askedAsDefined('ServiceRequest', 'follow-up'),
      summary: 'Evaluate a visit of a child that has its devices',
      description:
        'Reads the devices in use, the fit check that was answered since the delivery, signs, wear time, milestones and measurements, and says what follows. Nothing is stored.',
    },
    handler: answering(evaluateFollowUp),
  })
}
