import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Context } from '../services/context.ts'
import { evaluateFollowUp } from '../services/follow-up.ts'
import { proposePlan } from '../services/plan.ts'
import { triageReferral } from '../services/triage.ts'
import { fhirJson } from './fhir-answer.ts'
import { AsOf, askedIn } from './operation-request.ts'
import { outcomes, resourceAnswer, SECURED, Target } from './schemas.ts'

const Referral = Target.pick({ id: true })
/** What every operation on a referral may be asked. */
export const Asked = AsOf.extend({
  ruleset: z.string().optional().meta({
    description: 'Another rule set than the one in force, by version or id|version',
  }),
  chart: z.string().optional().meta({
    description: 'Another size chart than the one in force, id|version',
  }),
  language: z.string().optional().meta({
    description: 'Of the sentences, en or es; as the service stores them by default',
  }),
  knownAt: z.string().optional().meta({
    description: 'The record, rule set and size chart as they were known at this instant',
  }),
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
      operationId: 'triage',
      summary: 'Compute a referral and store the findings',
      description:
        'The same inputs, day and rule set give the same resources, stored once. For another day, rule set, size chart or instant nothing is stored. The parameters may also come in a Parameters body.',
    },
    handler: answering(triageReferral),
  })

  app.route({
    method: ['GET', 'POST'],
    url: '/ServiceRequest/:id/$fitting-plan',
    schema: {
      ...OPERATION,
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
      summary: 'Evaluate a visit of a child that has its devices',
      description:
        'Reads the devices in use, the fit check that was answered since the delivery, signs, wear time, milestones and measurements, and says what follows. Nothing is stored.',
    },
    handler: answering(evaluateFollowUp),
  })
}
