import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { AppError } from '../errors.ts'
import { asOfParameter } from '../fhir/operation-parameters.ts'
import type { Context } from '../services/context.ts'
import { evaluateFollowUp } from '../services/follow-up.ts'
import { proposePlan } from '../services/plan.ts'
import { triageReferral } from '../services/triage.ts'
import { fhirBody, queryPairs } from './fhir-body.ts'
import { fhirJson } from './fhir-routes.ts'
import { outcomes, resourceAnswer, SECURED, Target } from './schemas.ts'

const Referral = Target.pick({ id: true })
const AsOf = z.object({
  asOf: z
    .string()
    .optional()
    .meta({ description: 'The day for which the answer holds, YYYY-MM-DD; today by default' }),
})

/** What every operation on a referral has in common. */
const OPERATION = {
  ...SECURED,
  params: Referral,
  querystring: AsOf,
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
      const asOf = asOfOf(request)
      const { id: referralId } = request.params
      const found = await operation(context, request.caller, { referralId, asOf })
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
        'The same inputs, day and rule set give the same resources, stored once. The day may also come as parameter asOf of a Parameters body.',
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

/** From the address, or from a Parameters body. */
function asOfOf(request: FastifyRequest) {
  const inAddress = queryPairs(request).find(([name]) => name === 'asOf')?.[1]
  const hasBody = Buffer.isBuffer(request.body) && request.body.length > 0
  const asOf = asOfParameter(inAddress, hasBody ? fhirBody(request).value : undefined)
  if (!asOf.ok)
    throw new AppError('invalid-request', 'The parameter asOf cannot be read.', [asOf.fault])
  return asOf.date
}
