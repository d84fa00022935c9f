import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { writeJson } from '../fhir/decimal.ts'
import { CONTENTS } from '../fhir/subscription-terms.ts'
import type { Context } from '../services/context.ts'
import {
  subscriptionEvents,
  subscriptionStatus,
  subscriptionStatuses,
} from '../services/subscription-status.ts'
import { askedAsDefined } from './described-operations.ts'
import { fhirJson } from './fhir-answer.ts'
import { askedPairs, readAsked } from './operation-request.ts'
import { outcomes, resourceAnswer, SECURED, Target } from './schemas.ts'

const Id = Target.pick({ id: true })
const STATUSES = ['requested', 'active', 'error', 'off'] as const
const FORM =
  'id and status (requested, active, error, off) may be repeated; event numbers are whole numbers; content is empty, id-only or full-resource.'

const StatusAsked = z.object({
  id: z.array(z.string()),
  status: z.array(z.enum(STATUSES)),
})
const number = z
  .string()
  .regex(/^\d{1,9}$/)
  .transform(Number)
const EventsAsked = z.object({
  eventsSinceNumber: number.optional(),
  eventsUntilNumber: number.optional(),
  content: z.enum(CONTENTS).optional(),
})

const repeated = z.union([z.string(), z.array(z.string())]).optional()
const once = z.string().optional()

const ANSWER = {
  ...SECURED,
  response: { 200: resourceAnswer('Bundle'), ...outcomes(400, 404, 410) },
}

/** Where subscriptions stand, and what they have counted. Paths are relative to the FHIR base. */
export const subscriptionRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  app.route({
    method: ['GET', 'POST'],
    url: '/Subscription/:id/$status',
    schema: { ...ANSWER, params: Id, summary: 'Where a subscription stands' },
    handler: async (request, reply) => {
      const found = await subscriptionStatus(context, request.caller, request.params.id)
      return fhirJson(request, reply).send(writeJson(found))
    },
  })

  app.route({
    method: ['GET', 'POST'],
    url: '/Subscription/$status',
    schema: {
      ...ANSWER,
      described: askedAsDefined('Subscription', 'status'),
      querystring: z.object({ id: repeated, status: repeated }),
      summary: 'Where the subscriptions stand that the caller sees',
    },
    handler: async (request, reply) => {
      const pairs = askedPairs(request)
      const all = (name: string) =>
        pairs.flatMap(([key, value]) => (key === name ? value.split(',') : []))
      const asked = readAsked(StatusAsked, { id: all('id'), status: all('status') }, FORM)
      const named = { ids: asked.id, statuses: asked.status }
      const found = await subscriptionStatuses(context, request.caller, named)
      return fhirJson(request, reply).send(writeJson(found))
    },
  })

  app.route({
    method: ['GET', 'POST'],
    url: '/Subscription/:id/$events',
    schema: {
      ...ANSWER,
      params: Id,
      described: askedAsDefined('Subscription', 'events'),
      querystring: z.object({ eventsSinceNumber: once, eventsUntilNumber: once, content: once }),
      summary: 'What a subscription has counted, a hundred events at most',
      description:
        'Events are kept for 30 days after they happened; those that a subscription in error was not told, for 90. Of what is asked for and no longer kept the response of the first entry has an OperationOutcome.',
    },
    handler: async (request, reply) => {
      const asked = readAsked(EventsAsked, Object.fromEntries(askedPairs(request)), FORM)
      const found = await subscriptionEvents(context, request.caller, {
        id: request.params.id,
        since: asked.eventsSinceNumber ?? 1,
        until: asked.eventsUntilNumber,
        content: asked.content,
      })
      return fhirJson(request, reply).send(writeJson(found))
    },
  })
}
