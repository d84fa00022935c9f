import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { adviceUse } from '../services/advice-use.ts'
import type { Context } from '../services/context.ts'
import { outcomes } from './schemas.ts'

const Period = z.strictObject({
  start: z.iso.date().optional().meta({ description: 'The first day, in UTC' }),
  end: z.iso.date().optional().meta({ description: 'The day after the last one, in UTC' }),
})

const Outcome = z.object({
  service: z.string(),
  outcome: z.enum(['accepted', 'overridden']),
  reasonSystem: z.string().optional(),
  reasonCode: z.string().optional(),
  cards: z.number(),
  last: z.string(),
})

/** What became of our advice; for staff with the scope `admin`. Paths are relative to `/admin`. */
export const adviceRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  app.route({
    method: 'GET',
    url: '/advice',
    schema: {
      tags: ['Administration'],
      security: [{ bearer: [] }],
      operationId: 'countAdvice',
      summary: 'How often cards of CDS Hooks were accepted and overridden, and why',
      querystring: Period,
      response: { 200: z.object({ outcomes: z.array(Outcome) }), ...outcomes(400) },
    },
    handler: async (request) => ({
      outcomes: await adviceUse(context, request.caller, request.query),
    }),
  })
}
