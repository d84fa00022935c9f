import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { acceptPlan } from '../services/accept-plan.ts'
import type { Context } from '../services/context.ts'
import { decisionsOf } from '../services/decisions.ts'
import { askedAsDefined } from './described-operations.ts'
import { fhirJson } from './fhir-answer.ts'
import { askedOnly } from './operation-request.ts'
import { outcomes, resourceAnswer, SECURED, Target } from './schemas.ts'

const Referral = Target.pick({ id: true })

/** What keeps a referral going after its triage. Paths are relative to the FHIR base. */
export const loopRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (app, { context }) => {
  app.route({
    method: 'POST',
    url: '/ServiceRequest/:id/$accept-plan',
    schema: {
      ...SECURED,
      params: Referral,
      described: askedAsDefined('ServiceRequest', 'accept-plan'),
      operationId: 'acceptPlan',
      summary: 'Keep the proposed fitting plan, in force',
      description:
        'For the staff of the clinic. The same proposal again changes nothing; another one takes the place of the plan in force. Visits bring the plan that is kept up to date.',
      response: {
        200: resourceAnswer('Bundle of type collection'),
        ...outcomes(400, 404, 410, 422),
      },
    },
    handler: async (request, reply) => {
      const { language } = askedOnly(request, ['language'])
      const question = { referralId: request.params.id, language }
      return fhirJson(request, reply).send(await acceptPlan(context, request.caller, question))
    },
  })

  app.route({
    method: ['GET', 'POST'],
    url: '/ServiceRequest/:id/$decisions',
    schema: {
      ...SECURED,
      params: Referral,
      summary: 'Every decision about a referral that was kept, and what differs between them',
      description:
        'Oldest first: when, suitability, urgency, rule set, size chart, the versions it was made from, and the difference from the decision before.',
      response: { 200: resourceAnswer('Parameters'), ...outcomes(404, 410, 422) },
    },
    handler: async (request, reply) =>
      fhirJson(request, reply).send(await decisionsOf(context, request.caller, request.params.id)),
  })
}
