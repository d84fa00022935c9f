import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Context } from '../services/context.ts'
import { deadLetters, discardDeadLetter, retryDeadLetter } from '../services/dead-letters.ts'
import { outcomes, Target } from './schemas.ts'

const DeadLetter = z.object({
  subscriptionId: z.string(),
  partnerId: z.string().optional(),
  clientId: z.string(),
  topic: z.string(),
  error: z.string(),
  firstEvent: z.number().optional(),
  lastEvent: z.number().optional(),
})

const SECURED = {
  tags: ['Administration'],
  security: [{ bearer: [] }],
}
const ONE = { ...SECURED, params: Target.pick({ id: true }) }
const DONE = { 204: z.undefined().meta({ description: 'Done' }), ...outcomes(404) }

/** Subscriptions that were given up; for staff with the scope `admin`. Paths are relative to `/admin`. */
export const deadLetterRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  app.route({
    method: 'GET',
    url: '/dead-letters',
    schema: {
      ...SECURED,
      operationId: 'listDeadLetters',
      summary: 'Subscriptions that were given up, with the events that they were not told',
      response: { 200: z.object({ deadLetters: z.array(DeadLetter) }), ...outcomes() },
    },
    handler: async (request) => ({ deadLetters: await deadLetters(context, request.caller) }),
  })
  app.route({
    method: 'POST',
    url: '/dead-letters/:id/retry',
    schema: {
      ...ONE,
      operationId: 'retryDeadLetter',
      summary: 'Ask for the subscription again, and tell what it was not told',
      response: DONE,
    },
    handler: async (request, reply) => {
      await retryDeadLetter(context, request.caller, request.params.id)
      return reply.status(204).send()
    },
  })
  app.route({
    method: 'DELETE',
    url: '/dead-letters/:id',
    schema: {
      ...ONE,
      operationId: 'discardDeadLetter',
      summary: 'Do not tell what was not told; the subscription stays in error',
      response: DONE,
    },
    handler: async (request, reply) => {
      await discardDeadLetter(context, request.caller, request.params.id)
      return reply.status(204).send()
    },
  })
}
