import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { parameterPairs } from '../fhir/parameter-pairs.ts'
import type { Parameters } from '../fhir/r4/types.ts'
import { periodOf } from '../services/audit-period.ts'
import { disclosures, partCAccess } from '../services/audit-reports.ts'
import {
  awaitingReview,
  recordReview,
  unrelatedAccess,
  unusualUse,
} from '../services/audit-review.ts'
import type { Context } from '../services/context.ts'
import { askedAsDefined, parametersBody } from './described-operations.ts'
import { fhirJson } from './fhir-answer.ts'
import { fhirBody } from './fhir-body.ts'
import { askedPairs, readAsked } from './operation-request.ts'
import { integrityRoutes } from './integrity-routes.ts'
import { outcomes, resourceAnswer, SECURED, Target } from './schemas.ts'

const Within = z.object({ start: z.string().optional(), end: z.string().optional() })
const Limit = z.coerce.number().int().min(0).max(1_000_000).optional()
const WithinLimits = Within.extend({
  calls: Limit,
  children: Limit,
  refused: Limit,
  atNight: Limit,
})
const PatientId = Target.pick({ id: true })

/** 45 CFR 164.528: six years before the request. */
const SIX_YEARS_DAYS = 6 * 365 + 2
const A_WEEK_DAYS = 7
const A_MONTH_DAYS = 31

const ANSWER = {
  ...SECURED,
  response: { 200: resourceAnswer('Parameters'), ...outcomes(400, 404, 422) },
}

const FORM = 'Limits are whole numbers; start and end are dates or instants.'

const askedOf = <Shape extends z.ZodType>(request: FastifyRequest, shape: Shape) =>
  readAsked(shape, Object.fromEntries(askedPairs(request)), FORM)

/** What administrators ask of the log. For the clinic's staff. Paths are relative to the FHIR base. */
export const auditRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  await app.register(integrityRoutes, { context })
  const now = () => context.now()
  const answer = (request: FastifyRequest, reply: FastifyReply, found: Parameters) =>
    fhirJson(request, reply).send(JSON.stringify(found))

  for (const [name, ask, summary] of [
    ['disclosures', disclosures, 'Accounting of the disclosures of a child (45 CFR 164.528)'],
    ['part-c-access', partCAccess, 'Who had access to early intervention records (34 CFR 303.406)'],
  ] as const)
    app.route({
      method: ['GET', 'POST'],
      url: `/Patient/:id/$${name}`,
      exposeHeadRoute: false,
      schema: {
        ...ANSWER,
        described: askedAsDefined('Patient', name),
        params: PatientId,
        querystring: Within,
        summary,
      },
      handler: async (request, reply) => {
        const period = periodOf(askedOf(request, Within), { now: now(), days: SIX_YEARS_DAYS })
        const { id: patientId } = request.params
        return answer(request, reply, await ask(context, request.caller, { patientId, period }))
      },
    })

  app.route({
    method: ['GET', 'POST'],
    url: '/AuditEvent/$unusual-use',
    exposeHeadRoute: false,
    schema: {
      ...ANSWER,
      described: askedAsDefined('AuditEvent', 'unusual-use'),
      querystring: WithinLimits,
      summary: 'Days on which a system did more than is usual',
    },
    handler: async (request, reply) => {
      const { start, end, ...limits } = askedOf(request, WithinLimits)
      const period = periodOf({ start, end }, { now: now(), days: A_WEEK_DAYS })
      return answer(request, reply, await unusualUse(context, request.caller, { period, limits }))
    },
  })

  for (const [name, ask, summary] of [
    ['unrelated-access', unrelatedAccess, 'Staff access to children without an open referral'],
    ['awaiting-review', awaitingReview, 'Emergency access that nobody has reviewed'],
  ] as const)
    app.route({
      method: ['GET', 'POST'],
      url: `/AuditEvent/$${name}`,
      exposeHeadRoute: false,
      schema: {
        ...ANSWER,
        described: askedAsDefined('AuditEvent', name),
        querystring: Within,
        summary,
      },
      handler: async (request, reply) => {
        const period = periodOf(askedOf(request, Within), { now: now(), days: A_MONTH_DAYS })
        return answer(request, reply, await ask(context, request.caller, { period }))
      },
    })

  app.route({
    method: 'POST',
    url: '/AuditEvent/$review',
    schema: {
      ...ANSWER,
      described: { body: parametersBody(true) },
      summary: 'Record that the log was reviewed',
      description: 'Parameters: start, end, result (no-finding or finding), and event, repeated.',
    },
    handler: async (request, reply) => {
      const pairs = parameterPairs(fhirBody(request).value)
      const one = (name: string) => pairs.find(([key]) => key === name)?.[1]
      const sent = {
        start: one('start'),
        end: one('end'),
        result: one('result'),
        events: pairs.filter(([key]) => key === 'event').map(([, value]) => value),
      }
      return answer(request, reply, await recordReview(context, request.caller, sent))
    },
  })
}
